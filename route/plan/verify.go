package plan

import (
	"fmt"
	"math"
	"strings"
)

// Tolerances of the contract: amounts, litres and kilograms within
// amountSlack; money within moneySlack of the total.
const (
	amountSlack = 1e-6
	moneySlack  = 1e-6
)

// Rule names what a plan can break.
type Rule string

// The rules, in the order of the contract's section 2, then of section 3.
const (
	RuleShape       Rule = "document"    // a value no plan may hold
	RuleOffer       Rule = "offer"       // bought what is not offered, or at another price
	RuleLimit       Rule = "limit"       // more packs than there are
	RuleMin         Rule = "min"         // fewer packs than must be bought
	RulePacks       Rule = "packs"       // eaten in port and stowed exceed what was bought
	RuleStowed      Rule = "stowed"      // into a space where the item does not keep, or at the last stop
	RuleLot         Rule = "lot"         // a draw or discard of a lot that is not there
	RuleTime        Rule = "time"        // a draw or discard before the lot can serve, or past the route
	RuleBalance     Rule = "balance"     // more taken from a lot than it held
	RuleSurrender   Rule = "surrender"   // eaten after it was taken away
	RuleUse         Rule = "use"         // more eaten than the period uses
	RuleExpiry      Rule = "expiry"      // eaten after its expiry, or faster than the use before it
	RuleRoom        Rule = "room"        // a space over-full on departure
	RulePayload     Rule = "payload"     // too heavy on departure
	RuleTrips       Rule = "trips"       // not the least count of trips that carries
	RuleMissing     Rule = "missing"     // unmet use not as recomputed
	RuleReserve     Rule = "reserve"     // lacking reserve not as recomputed
	RuleUnreachable Rule = "unreachable" // called out of reach, but is not
	RuleCost        Rule = "cost"        // a part of the cost not as recomputed
	RuleBound       Rule = "bound"       // a bound above the total
	RuleGap         Rule = "gap"         // a gap that is not (total - bound) / total
)

// Violation is one rule broken at one place.
type Violation struct {
	Rule   Rule
	Where  string // "space fridge, departure from stop 2"
	Detail string // the numbers
}

// String is rule, place and numbers in one line.
func (v Violation) String() string { return fmt.Sprintf("%s: %s: %s", v.Rule, v.Where, v.Detail) }

// Violations is everything Verify found. It is never an empty error.
type Violations []Violation

// Error names the first 20 violations and counts the rest.
func (vs Violations) Error() string {
	shown := vs[:min(len(vs), 20)]
	lines := make([]string, len(shown))
	for i, v := range shown {
		lines[i] = v.String()
	}
	text := fmt.Sprintf("plan breaks %d rules: %s", len(vs), strings.Join(lines, "; "))
	if more := len(vs) - len(shown); more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return text
}

// Verify says whether the plan keeps every rule of the contract for the
// brief. It trusts only purchases, stowage, draws and discards, and
// recomputes all else. The error is Violations naming every rule broken, or
// the error of b.Check. That a bound is proven it cannot see, only that it is
// not above the total.
func Verify(b Brief, p Plan) error {
	if err := b.Check(); err != nil {
		return fmt.Errorf("verify: %w", err)
	}
	if broken := violations(b, p); len(broken) > 0 {
		return broken
	}
	return nil
}

// violations is every rule broken of a brief that is sound.
func violations(b Brief, p Plan) Violations {
	a := newAudit(b, p)
	if a.shape(); len(a.found) > 0 {
		return a.found // numbers that are none cannot be reckoned with
	}
	a.purchases()
	a.limits()
	a.draws()
	a.discards()
	a.balance()
	a.eating()
	a.stowage()
	a.statements()
	return a.found
}

func (a *audit) broken(r Rule, where, format string, numbers ...any) {
	a.found = append(a.found, Violation{r, where, fmt.Sprintf(format, numbers...)})
}

// shape holds the plan to what any plan document must be.
func (a *audit) shape() {
	ps := &problems{}
	a.plan.check(ps)
	for _, p := range ps.list {
		a.broken(RuleShape, p.Path, "%s, expected %s", p.Found, p.Want)
	}
	if a.plan.Currency != a.brief.Currency {
		a.broken(RuleShape, "currency", "is %s, the brief's is %s", a.plan.Currency, a.brief.Currency)
	}
}

func differ(x, y, slack float64) bool {
	// Written so that NaN differs from everything.
	return !(math.Abs(x-y) <= slack*(1+1e-9))
}
