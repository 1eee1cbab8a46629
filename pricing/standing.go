package pricing

import "hardtack/pricing/calendar"

// Standing gives the reports that stand on a day, in their order: none later
// than it, none dropped by a replacement that bears that day or an earlier
// one, and no withdrawals, for these say nothing but that. It expects ids to
// be unique and does not change reports.
func Standing(reports []Report, day calendar.Day) []Report {
	dropped := map[string]bool{}
	count := 0
	for k := range reports {
		if r := &reports[k]; r.Day <= day {
			count++
			if r.Replaces != "" {
				dropped[r.Replaces] = true
			}
		}
	}
	out := make([]Report, 0, count)
	for k := range reports {
		if r := &reports[k]; r.Day <= day && r.Found != Withdrawn && !dropped[r.ID] {
			out = append(out, *r)
		}
	}
	return out
}
