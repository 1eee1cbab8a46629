package pricing

import (
	"slices"

	"hardtack/pricing/calendar"
)

// Standing gives the reports that stand on a day, in their order: none later
// than it, none dropped by a replacement of its reporter's that bears that day
// or an earlier one, and no withdrawals, for these say nothing but that. It expects ids to
// be unique and does not change reports.
func Standing(reports []Report, day calendar.Day) []Report {
	dropped := map[string][]string{} // by whom
	count := 0
	for k := range reports {
		if r := &reports[k]; r.Day <= day {
			count++
			if r.Replaces != "" {
				dropped[r.Replaces] = append(dropped[r.Replaces], r.Reporter)
			}
		}
	}
	out := make([]Report, 0, count)
	for k := range reports {
		if r := &reports[k]; r.Day <= day && r.Found != Withdrawn && !slices.Contains(dropped[r.ID], r.Reporter) {
			out = append(out, *r)
		}
	}
	return out
}
