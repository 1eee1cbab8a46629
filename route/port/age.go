package port

import (
	"regexp"
	"strings"

	"hardtack/pricing/calendar"
)

// confirmedDays is how long a reading of a rule counts as confirmed: a year.
const confirmedDays = 365

var (
	dayForm   = regexp.MustCompile(`\b(\d{4})-(\d{2})-(\d{2})\b`)
	monthForm = regexp.MustCompile(`\b(\d{4})-(0[1-9]|1[0-2])\b`)
	yearForm  = regexp.MustCompile(`\b(\d{4})\b`)
)

// Age is how many days before today the rule's source was dated, false when it
// bears no date. A month or a year counts from its first day, so a rule looks
// rather older than it is.
func Age(r Rule, today calendar.Day) (days int, dated bool) {
	newest, found := calendar.Day(0), false
	keep := func(text string) {
		if d, err := calendar.Parse(text); err == nil && (!found || d > newest) {
			newest, found = d, true
		}
	}
	for _, d := range dayForm.FindAllString(r.SourceDate, -1) {
		keep(d)
	}
	for _, m := range monthForm.FindAllString(r.SourceDate, -1) {
		keep(m + "-01")
	}
	for _, y := range yearForm.FindAllString(r.SourceDate, -1) {
		keep(y + "-01-01")
	}
	return int(today - newest), found
}

// Unconfirmed says that a rule must not be relied on without asking: nobody
// read it in a source, or the source is undated, dated only about, or more
// than twelve months older than today.
func Unconfirmed(r Rule, today calendar.Day) bool {
	if r.Evidence != "read" && r.Evidence != "read-secondary" {
		return true
	}
	if strings.Contains(r.SourceDate, "undated") || strings.Contains(r.SourceDate, "c.") {
		return true
	}
	age, dated := Age(r, today)
	return !dated || age > confirmedDays
}
