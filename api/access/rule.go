package access

import "slices"

// Role is what an account is.
type Role string

// The roles. A boat has keys and no password, a skipper a password too.
const (
	Boat      Role = "boat"
	Skipper   Role = "skipper"
	Moderator Role = "moderator"
)

// Roles are all of them.
func Roles() []Role { return []Role{Boat, Skipper, Moderator} }

// Scope is what a key may be used for.
type Scope string

// The scopes.
const (
	Reports  Scope = "reports"  // report prices, exchange, see one's own reports
	Accounts Scope = "accounts" // make and revoke keys, end the account
	Moderate Scope = "moderate" // with a moderator's account only
)

// ScopesOf are those an account's key may have.
func ScopesOf(r Role) []Scope {
	switch r {
	case Moderator:
		return []Scope{Reports, Accounts, Moderate}
	case Boat, Skipper:
		return []Scope{Reports, Accounts}
	}
	return nil
}

// Who may use an endpoint of a shared server.
type Who int

// From nobody to everybody. The zero value is the narrowest.
const (
	BoatOnly  Who = iota // not on a shared server: route and stores never leave the boat
	Moderated            // moderators
	Member               // any account, for what is its own
	Anybody
)

// Rule is what an endpoint asks of the one who calls.
type Rule struct {
	Who   Who
	Scope Scope // of a key, for Member and Moderated
}

// Caller is the one who calls. The zero value is nobody known.
type Caller struct {
	Account string
	Role    Role
	Scopes  []Scope
	Login   string // prefix of the key, where it is a login's
}

// Verdict is whether a call may go on.
type Verdict int

// The verdicts.
const (
	NotHere Verdict = iota // as if there were no such endpoint
	WhoAsks                // a key is needed
	Forbid                 // not with this account or key
	Allow
)

// Decide says whether a caller may use an endpoint of a shared server.
func Decide(r Rule, c Caller) Verdict {
	switch {
	case r.Who == BoatOnly:
		return NotHere
	case r.Who == Anybody:
		return Allow
	case c.Account == "":
		return WhoAsks
	case r.Who == Moderated && c.Role != Moderator:
		return Forbid
	case !slices.Contains(c.Scopes, r.Scope) || !slices.Contains(ScopesOf(c.Role), r.Scope):
		return Forbid
	}
	return Allow
}
