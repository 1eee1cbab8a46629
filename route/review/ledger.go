package review

import (
	"cmp"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
)

// Account is what passed between this boat and another: gifts, trades, loans.
type Account struct {
	Party string  `json:"party"`
	Lines []Trade `json:"lines"`
}

// Trade is one item of an account, item-units in millionths.
type Trade struct {
	Item     pricing.ItemID   `json:"item"`
	Name     string           `json:"name"`
	Unit     measure.Unit     `json:"unit"`
	Given    measure.Quantity `json:"given"`
	Got      measure.Quantity `json:"got"`
	TheyOwe  measure.Quantity `json:"they_owe"` // of loans; below 0: we owe
	LastDay  calendar.Day     `json:"last_day"`
	OfBarter bool             `json:"of_barter"` // out of the stock for barter
}

// Ledger is the accounts with everybody goods were given to or got from, by
// name. A loan is settled by one the other way.
func Ledger(moves []inventory.Move, cat *item.Catalogue) []Account {
	var out []Account
	for _, m := range moves {
		if m.Kind != inventory.Given && m.Kind != inventory.Got {
			continue
		}
		k := slices.IndexFunc(out, func(a Account) bool { return a.Party == m.Party })
		if k < 0 {
			k = len(out)
			out = append(out, Account{Party: m.Party})
		}
		out[k].enter(m, cat)
	}
	slices.SortStableFunc(out, func(a, b Account) int { return cmp.Compare(a.Party, b.Party) })
	return out
}

func (a *Account) enter(m inventory.Move, cat *item.Catalogue) {
	k := slices.IndexFunc(a.Lines, func(t Trade) bool { return t.Item == m.Item })
	if k < 0 {
		k = len(a.Lines)
		a.Lines = append(a.Lines, Trade{Item: m.Item, Name: cat.Items[m.Item].Name, Unit: cat.Items[m.Item].Unit})
	}
	t := &a.Lines[k]
	sign := measure.Quantity(1)
	if m.Kind == inventory.Given {
		t.Given += m.Quantity
	} else {
		t.Got += m.Quantity
		sign = -1
	}
	if m.Loan {
		t.TheyOwe += sign * m.Quantity
	}
	t.OfBarter = t.OfBarter || m.For == inventory.Barter
	t.LastDay = max(t.LastDay, m.Day)
}

// Bargain is a purchase that was cheap against the others of the same item.
type Bargain struct {
	Item  pricing.ItemID `json:"item"`
	Name  string         `json:"name"`
	Day   calendar.Day   `json:"day"`
	Port  pricing.PortID `json:"port,omitempty"`
	Price float64        `json:"price"`  // per item-unit, home currency
	Other float64        `json:"others"` // what the rest cost, weighted by amount
	Saved float64        `json:"saved"`  // below 0: it was dear
}

// bargains are the purchases of items bought more than once, what they saved
// against the others, most first.
func bargains(in Input) []Bargain {
	var out []Bargain
	for _, m := range in.Moves {
		price, ok := unitPrice(in, m)
		if !ok {
			continue
		}
		sum, units := 0.0, 0.0
		for _, o := range in.Moves {
			if p, ok := unitPrice(in, o); ok && o.Item == m.Item && o.ID != m.ID {
				sum += p * o.Quantity.Units()
				units += o.Quantity.Units()
			}
		}
		if units > 0 {
			other := sum / units
			out = append(out, Bargain{m.Item, in.Catalogue.Items[m.Item].Name, m.Day, m.Port, price, other, (other - price) * m.Quantity.Units()})
		}
	}
	slices.SortStableFunc(out, func(a, b Bargain) int { return cmp.Compare(b.Saved, a.Saved) })
	return out
}

func unitPrice(in Input, m inventory.Move) (float64, bool) {
	if m.Kind != inventory.Bought || m.Paid.Minor == 0 || m.Quantity <= 0 {
		return 0, false
	}
	x, ok := in.Home(m.Paid, m.Day)
	return x / m.Quantity.Units(), ok
}
