package web

import (
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
)

// postShop keeps what was typed: all of the form, or with line= one line of
// it, which is how the page's script sends each change.
func (s *site) postShop(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	l, _, x, err := q.listOf()
	if err != nil {
		return err
	}
	lines := q.typed()
	kept, err := q.svc.ChangeDraft(q.r.Context(), x, l.Stop, func(d *api.Draft) {
		for _, line := range lines {
			d.Set(line)
		}
		q.takeSubs(d, lines)
	})
	if err != nil {
		return err
	}
	if q.text("line") != "" {
		return q.answerLine(kept.Value)
	}
	path := []string{"voyage", x.Voyage, "ashore", strconv.Itoa(l.Stop)}
	if q.text("do") == "receipt" {
		return q.goTo(append(path, "receipt")...)
	}
	last := &path[len(path)-1]
	*last += "?kept=1"
	if q.text("by") == "aisle" {
		*last += "&by=aisle"
	}
	return q.goTo(path...)
}

// typed are the lines of the form, or the one that is named.
func (q *request) typed() []api.DraftLine {
	only := q.text("line")
	var out []api.DraftLine
	for name := range q.r.Form {
		id, ok := strings.CutPrefix(name, "price.")
		if !ok || only != "" && id != only {
			continue
		}
		price := q.text("price." + id)
		line := api.DraftLine{
			Item: pricing.ItemID(id), Price: price, Pack: q.text("pack." + id), Count: q.text("count." + id), None: q.text("none."+id) != "",
		}
		line.Got = q.text("got."+id) != "" || price != "" && !line.None // who types a price has it in hand
		out = append(out, line)
	}
	slices.SortFunc(out, func(a, b api.DraftLine) int { return strings.Compare(string(a.Item), string(b.Item)) })
	return out
}

// takeSubs notes what was taken instead of things that were not there.
func (q *request) takeSubs(d *api.Draft, lines []api.DraftLine) {
	for _, line := range lines {
		id := string(line.Item)
		sub := api.DraftLine{
			Item: pricing.ItemID(q.text("sub." + id)), For: line.Item, Got: true,
			Price: q.text("subprice." + id), Pack: q.text("subpack." + id), Count: q.text("subcount." + id),
		}
		d.Lines = slices.DeleteFunc(d.Lines, func(x api.DraftLine) bool { return x.For == line.Item })
		if line.None && sub.Item != "" {
			d.Set(sub)
		}
	}
}

// lineAnswer is what the script shows beside a line it sent.
type lineAnswer struct {
	Note  string `json:"note"`
	Warn  bool   `json:"warn"`
	Count int    `json:"count"` // lines with something typed
	Said  string `json:"said"`
}

func (q *request) answerLine(d api.Draft) error {
	l, _, x, err := q.listOf()
	if err != nil {
		return err
	}
	out := lineAnswer{Count: len(d.Lines), Said: q.say("shop.kept")}
	f := q.frame("", "", "")
	for _, line := range l.Lines {
		if string(line.Item) != q.text("line") {
			continue
		}
		for _, t := range d.Lines {
			if t.Item == line.Item && t.For == "" {
				out.Note, out.Warn = q.judge(l, x).of(q, &f, line, t)
			}
		}
	}
	q.w.Header().Set("Content-Type", "application/json")
	q.w.WriteHeader(http.StatusOK)
	return json.NewEncoder(q.w).Encode(out)
}
