package inventory

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"hardtack/route/vessel"
)

// Sheet writes a count sheet to print and fill in: by locker in the vessel's
// order, by name within it, what the book says beside an empty column, and
// lines left free. It does not change lots.
func (b Boat) Sheet(w io.Writer, lots []Lot) error {
	for _, p := range b.places(lots) {
		if _, err := fmt.Fprintf(w, "%s\n", b.heading(p)); err != nil {
			return err
		}
		tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		fmt.Fprintln(tw, "  Item\tBook says\tBest before\tCounted\tRan out / left over / hated / spoilt")
		for _, l := range b.byName(lots) {
			if l.Space == p.space && l.Locker == p.locker {
				i := b.Catalogue.Items[l.Item]
				fmt.Fprintf(tw, "  %s\t%s\t%s\t%s\t%s\n", b.nameOf(l), l.Quantity.Format(i.Unit), l.BestBefore, blank, blank)
			}
		}
		for range 2 {
			fmt.Fprintf(tw, "  %s\t\t\t%s\t%s\n", strings.Repeat("_", 24), blank, blank)
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

// place is a locker, or what of a space is in none.
type place struct{ space, locker string }

// places are all there are in the order one opens them: each space, its
// lockers, then what only the lots name.
func (b Boat) places(lots []Lot) []place {
	var out []place
	add := func(p place) {
		if !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	for _, s := range b.Vessel.Spaces {
		if s.Kind == vessel.GasLocker {
			continue
		}
		inside := false
		for _, l := range b.Lockers {
			if l.Space == s.ID {
				add(place{s.ID, l.ID})
				inside = true
			}
		}
		loose := slices.ContainsFunc(lots, func(l Lot) bool { return l.Space == s.ID && l.Locker == "" })
		if !inside || loose {
			add(place{s.ID, ""})
		}
	}
	for _, l := range lots {
		add(place{l.Space, l.Locker})
	}
	return out
}

func (b Boat) heading(p place) string {
	if p.locker != "" {
		l, _ := vessel.FindLocker(b.Lockers, p.locker)
		text := p.locker + " (in " + p.space
		if l.Litres > 0 {
			text += fmt.Sprintf(", %.0f L to fill", l.Litres)
		}
		return text + ")"
	}
	for _, s := range b.Vessel.Spaces {
		if s.ID == p.space {
			return fmt.Sprintf("%s (%s, %.0f L to fill)", p.space, s.Kind, s.Fillable())
		}
	}
	return p.space
}

func (b Boat) nameOf(l Lot) string {
	name := cmp.Or(b.Catalogue.Items[l.Item].Name, string(l.Item))
	if l.For != Eaten {
		name += " (" + string(l.For) + ")"
	}
	return name
}

func (b Boat) byName(lots []Lot) []Lot {
	out := slices.Clone(lots)
	slices.SortStableFunc(out, func(x, y Lot) int {
		return cmp.Or(cmp.Compare(b.nameOf(x), b.nameOf(y)), cmp.Compare(x.BestBefore, y.BestBefore))
	})
	return out
}

// WriteCount writes lots, by locker, as the CSV that ReadCount reads. As a
// form to fill in the amounts say =, which is what the book says.
func (b Boat) WriteCount(w io.Writer, lots []Lot, form bool) error {
	c := csv.NewWriter(w)
	head := columns
	if form {
		head = append(slices.Clone(columns), "name", "book")
	}
	if err := c.Write(head); err != nil {
		return err
	}
	for _, p := range b.places(lots) {
		for _, l := range b.byName(lots) {
			if l.Space != p.space || l.Locker != p.locker {
				continue
			}
			amount := l.Quantity.Format(b.Catalogue.Items[l.Item].Unit)
			row := []string{string(l.Item), l.Space, amount, l.Locker, l.BestBefore.String(), "", "", ""}
			if form {
				row[2] = "="
				row = append(row, b.nameOf(l), amount)
			}
			if err := c.Write(row); err != nil {
				return err
			}
		}
	}
	c.Flush()
	return c.Error()
}
