package api

import (
	"fmt"
	"math"
	"slices"
)

func (r *Repriced) say() []string {
	x := &r.Shelf
	what := fmt.Sprintf("%d × %s %s", r.Take, x.Label, x.Name)
	if r.Take == 0 {
		what = fmt.Sprintf("none of %s (%s)", x.Name, x.Label)
	}
	out := []string{fmt.Sprintf("At %s take %s%s.", x.price(r.Price), what, wereOf(r.Take, x.Planned))}
	out = append(out, r.Difference.Words...)
	switch {
	case math.Abs(r.Dearer) < 0.005:
		return append(out, "The season costs as much as before.")
	case r.Dearer > 0:
		return append(out, fmt.Sprintf("The season costs %.2f %s more for it.", r.Dearer, x.Currency))
	}
	return append(out, fmt.Sprintf("The season costs %.2f %s less for it.", -r.Dearer, x.Currency))
}

func wereOf(now, planned int) string {
	if now == planned {
		return ", as planned"
	}
	return fmt.Sprintf(" instead of %d", planned)
}

// littleElsewhere is the share of a plan's cost below which a change is not
// put down to a price.
const littleElsewhere = 1e-4

func (w *WholeSeason) say(x Shelf) []string {
	due := w.Saves - w.Anyway
	if due <= littleElsewhere*w.Difference.Cost.Total {
		return []string{fmt.Sprintf("Every need planned again saves %.2f %s more, %.2f of it at the old price as well: this price changes nothing else worth while.",
			w.Saves, x.Currency, min(w.Saves, w.Anyway))}
	}
	return slices.Concat([]string{fmt.Sprintf("Every need planned again saves %.2f %s more, %.2f of it for this price:", w.Saves, x.Currency, due)}, w.Difference.Words)
}
