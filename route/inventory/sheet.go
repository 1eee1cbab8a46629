package inventory

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/route/vessel"
)

// line is what is counted together: one item in one space with one date.
type line struct {
	space string
	name  string
	id    pricing.ItemID
	unit  measure.Unit
	last  measure.Quantity
	best  calendar.Day
}

// Sheet writes a count sheet to print and fill in: by space in the vessel's
// order, by name within it, what the book says beside an empty column, and
// lines left free. It does not change lots.
func Sheet(w io.Writer, lots []Lot, cat *item.Catalogue, v vessel.Vessel) error {
	lines := linesOf(lots, cat)
	for _, space := range spacesOf(lines, v) {
		if _, err := fmt.Fprintf(w, "%s\n", heading(space, v)); err != nil {
			return err
		}
		tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(tw, "  Item\tBook says\tBest before\tCounted")
		for _, l := range lines {
			if l.space == space {
				fmt.Fprintf(tw, "  %s\t%s\t%s\t%s\n", l.name, l.last.Format(l.unit), l.best, blank)
			}
		}
		for range 2 {
			fmt.Fprintf(tw, "  %s\t\t\t%s\n", strings.Repeat("_", 24), blank)
		}
		if err := tw.Flush(); err != nil {
			return err
		}
		if _, err := fmt.Fprintln(w); err != nil {
			return err
		}
	}
	return nil
}

const blank = "____________"

func heading(space string, v vessel.Vessel) string {
	for _, s := range v.Spaces {
		if s.ID == space {
			return fmt.Sprintf("%s (%s, %.0f L to fill)", space, s.Kind, s.Fillable())
		}
	}
	return space
}

func linesOf(lots []Lot, cat *item.Catalogue) []line {
	var out []line
	for _, l := range lots {
		i := cat.Items[l.Item]
		name := i.Name
		if name == "" {
			name = string(l.Item)
		}
		out = append(out, line{space: l.Space, name: name, id: l.Item, unit: i.Unit, last: l.Quantity, best: l.BestBefore})
	}
	slices.SortStableFunc(out, func(a, b line) int {
		return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.best, b.best))
	})
	return out
}

// spacesOf is the vessel's spaces in order, then those only the lots name.
func spacesOf(lines []line, v vessel.Vessel) []string {
	var out []string
	for _, s := range v.Spaces {
		if s.Kind != vessel.GasLocker {
			out = append(out, s.ID)
		}
	}
	for _, l := range lines {
		if !slices.Contains(out, l.space) {
			out = append(out, l.space)
		}
	}
	return out
}
