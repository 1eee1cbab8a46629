package exchange

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/money"
)

// Bounds of what a record may say; those of a report entered here are as wide
// or narrower.
const (
	maxWord               = 64
	maxName               = 200
	maxNote               = 2000
	maxMinor              = 10_000_000_000
	maxPack               = 10_000_000_000 // millionths of a unit
	firstDay calendar.Day = 7305           // 1990-01-01
)

var foundWords = []pricing.Found{pricing.FoundYes, pricing.FoundNone, pricing.Cheap, pricing.Fair, pricing.Dear}

// Check says why a record cannot be taken, nothing when it can. What another
// version knows and this one does not (a port, an item) is taken: a fact is
// not lost because a boat's program is old. A day to come is no fault here: the
// clock may be ours that is wrong.
func Check(r db.Record) string {
	switch {
	case !Portable(r) || r.Number < 1:
		return "its ids are no UUIDs, or it has no number"
	case !word(string(r.Port)) || !word(string(r.Item)):
		return "port or item is no id"
	case r.Day < firstDay:
		return "its day is before 1990"
	case r.Reporter == "" || !text(r.Reporter, maxName) || !text(r.Shop, maxName) || !text(r.Note, maxNote):
		return "a text is missing, too long or not readable"
	case r.Quality < 0 || r.Quality > 5 || len(r.Origin) > 2 || !text(r.Origin, 2):
		return "quality or origin is out of range"
	}
	return checkFound(r.Report)
}

func checkFound(r pricing.Report) string {
	switch {
	case r.Found == pricing.Withdrawn:
		if r.Replaces == "" {
			return "it withdraws nothing"
		}
	case !slices.Contains(foundWords, r.Found):
		return "it says nothing known of what was found"
	case !slices.Contains([]pricing.Source{pricing.Receipt, pricing.Shelf, pricing.Memory}, r.Source):
		return "it does not say how the price is known"
	}
	if r.Found != pricing.FoundYes {
		if r.Paid != (money.Amount{}) || r.Pack != 0 {
			return "it has an amount although nothing was bought"
		}
		return ""
	}
	if r.Paid.Minor <= 0 || r.Paid.Minor > maxMinor || r.Pack <= 0 || r.Pack > maxPack || money.CheckCurrency(r.Paid.Currency) != nil {
		return "amount, currency or pack is out of range"
	}
	return ""
}

func word(s string) bool { return s != "" && len(s) <= maxWord && text(s, maxWord) }

func text(s string, most int) bool {
	return utf8.ValidString(s) && utf8.RuneCountInString(s) <= most &&
		!strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' })
}
