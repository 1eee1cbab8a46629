package shopping

import (
	"bufio"
	"io"
	"math"
	"slices"
	"strings"

	"hardtack/pricing/wording"
	"hardtack/route/plan"
)

// reasons are those of every purchase of the plan; none for a plan that does
// not keep the rules of its brief.
func reasons(b plan.Brief, p plan.Plan) map[string]plan.Reason {
	out := map[string]plan.Reason{}
	all, err := plan.Reasons(b, p)
	if err != nil {
		return out
	}
	for _, r := range all {
		out[r.Purchase] = r
	}
	return out
}

// why says why a line is bought here, by the purchase most money goes into.
func (m *maker) why(l Line, buys []plan.Purchase) []wording.Remark {
	var main plan.Purchase
	for _, b := range buys {
		if float64(b.Packs)*b.Price >= float64(main.Packs)*main.Price {
			main = b
		}
	}
	r, ok := m.reasons[main.ID]
	if !ok {
		return nil
	}
	out := []wording.Remark{m.whyHere(r)}
	if !l.EatenBy.IsZero() {
		out = append(out, wording.Say("why.until", wording.Day(l.EatenBy)))
	}
	if r.Reserve {
		out = append(out, wording.Say("why.reserve"))
	}
	return append(out, m.whyNoMore(r)...)
}

// whyHere compares this stop with the others it could come from.
func (m *maker) whyHere(r plan.Reason) wording.Remark {
	switch {
	case r.Forced:
		return wording.Say("why.must")
	case r.Others == 0:
		return wording.Say("why.only")
	}
	next := wording.Text(m.Notes.Stops[r.NextStop].Name)
	apart := wording.Number(0, 0)
	if r.Unit > 0 {
		apart = wording.Number(100*math.Abs(r.Next/r.Unit-1), 0)
	}
	if r.Cheaper == 0 {
		return wording.Say("why.cheapest", wording.Count(r.Others+1), next, apart)
	}
	return wording.Say("why.dearer", wording.Count(r.Cheaper), wording.Count(r.Others), next, apart)
}

// whyNoMore names the room that was full while it is kept.
func (m *maker) whyNoMore(r plan.Reason) []wording.Remark {
	var out []wording.Remark
	seen := map[string]bool{}
	for _, f := range r.Full {
		if seen[f.Space] {
			continue
		}
		seen[f.Space] = true
		after := wording.Text(m.Notes.Stops[f.Stop].Name)
		if f.Space == "payload" {
			out = append(out, wording.Say("why.heavy", after))
			continue
		}
		out = append(out, wording.Say("why.full", wording.Word("space."+f.Space), after))
	}
	return out
}

// surprising says whether a reader of the paper would wonder why a line is
// bought here: it is cheaper elsewhere, or more of it would be worth having.
func (x Line) surprising() bool {
	return slices.ContainsFunc(x.Why, func(r wording.Remark) bool {
		return slices.Contains([]string{"why.dearer", "why.must", "why.full", "why.heavy"}, r.Key)
	})
}

// WriteWhy writes why each line of the lists is bought where it is.
func (l Lists) WriteWhy(w io.Writer) error {
	p := printer{bufio.NewWriter(w), speech{wording.English()}}
	for _, list := range l.Lists {
		p.line("%s", strings.ToUpper(list.Name))
		for _, x := range list.Lines {
			p.wrapped("  ", p.packs(x)+" "+p.speech.item(x)+": "+p.why(x)+".")
		}
	}
	return p.Flush()
}
