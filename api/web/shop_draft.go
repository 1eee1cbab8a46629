package web

import (
	"encoding/json"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/pricing"
	"hardtack/pricing/money"
	"hardtack/route/shopping"
)

// rivals are lines of a form which are not kept, because somebody else has
// said something else since: what the form says about them.
type rivals map[pricing.ItemID]lineState

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
	var against rivals
	kept, err := q.svc.ChangeDraft(q.r.Context(), x, l.Stop, func(d *api.Draft) { against = q.keepTyped(d) })
	if err != nil {
		return err
	}
	if q.text("line") != "" {
		return q.answerLine(l, kept.Value, x, against)
	}
	if len(against) > 0 {
		return q.showShop(http.StatusConflict, l, kept.Value, x, against)
	}
	after := "?kept=1"
	if sent := q.text("sent"); sentName.MatchString(sent) {
		after = "?kept=" + sent // tells the phone what it need not remember any more
	}
	path := []string{"voyage", x.Voyage, "ashore", strconv.Itoa(l.Stop)}
	if q.text("do") == "receipt" {
		return q.goTo(append(path, "receipt"+after)...)
	}
	if q.text("by") == "aisle" {
		after += "&by=aisle"
	}
	path[len(path)-1] += after
	return q.goTo(path...)
}

var sentName = regexp.MustCompile(`^[0-9a-z]{1,40}$`)

// keepTyped puts into the draft what the form says, or the line of it that is
// named. A line says what it was made from; only what was changed since is
// taken, and nothing is put in place of what another has said meanwhile.
func (q *request) keepTyped(d *api.Draft) rivals {
	only, out := q.text("line"), rivals{}
	var ids []string
	for name := range q.r.Form {
		if id, ok := strings.CutPrefix(name, "price."); ok && (only == "" || id == only) && id != q.text("drop") {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	for _, name := range ids {
		id := pricing.ItemID(name)
		if from, known := q.r.Form["was."+name]; known {
			was, kept := stateOf(from[0]), keptState(*d, id)
			typed := q.typedState(name, was)
			next, ok := merged(was, typed, kept)
			if !ok {
				out[id] = typed
			} else {
				next.keep(d, id)
			}
			continue
		}
		q.typedState(name, lineState{}).keep(d, id)
	}
	return out
}

// lineAnswer is what the script shows beside a line it sent.
type lineAnswer struct {
	Note  string `json:"note"`
	Warn  bool   `json:"warn"`
	Held  bool   `json:"held"` // not kept: another has said something else
	Was   string `json:"was"`  // what is kept now
	Count int    `json:"count"`
	Said  string `json:"said"`
}

func (q *request) answerLine(l shopping.List, d api.Draft, x api.Planned, against rivals) error {
	id := pricing.ItemID(q.text("line"))
	out := lineAnswer{Count: len(d.Lines), Said: q.say("shop.kept"), Was: keptState(d, id).text()}
	f := q.frame("", "", "")
	for _, line := range l.Lines {
		if line.Item != id {
			continue
		}
		for _, t := range d.Lines {
			switch {
			case t.Item == line.Item && t.For == "":
				out.Note, out.Warn = q.judge(l, x).of(q, &f, line, t)
			case t.For == line.Item && unnamed(t):
				out.Note, out.Warn = q.say("shop.sub.which"), true
			}
		}
	}
	if _, out.Held = against[id]; out.Held {
		out.Note, out.Warn, out.Said = q.rivalWords(keptState(d, id), l), true, q.say("shop.held")
	}
	q.w.Header().Set("Content-Type", "application/json")
	q.w.WriteHeader(http.StatusOK)
	return json.NewEncoder(q.w).Encode(out)
}

// rivalWords say what is kept against what was typed.
func (q *request) rivalWords(kept lineState, l shopping.List) string {
	return q.say("shop.rival", q.stateWords(kept, l.Currency))
}

// stateWords are what is said about an item, prices in a currency.
func (q *request) stateWords(kept lineState, paid money.Currency) string {
	var parts []string
	add := func(text string) {
		if text != "" {
			parts = append(parts, text)
		}
	}
	if kept["booked"] != "" {
		add(q.say("shop.rival.booked"))
	}
	if kept["none"] != "" {
		add(q.say("shop.none"))
	}
	if kept["price"] != "" {
		add(kept["price"] + " " + string(paid))
	}
	add(kept["pack"])
	if kept["count"] != "" {
		add(kept["count"] + " ×")
	}
	if it, err := q.svc.Item(pricing.ItemID(kept["sub"])); err == nil {
		add(q.words.goods(it))
	}
	add(kept["subprice"])
	if len(parts) == 0 {
		add(q.say("shop.rival.nothing"))
	}
	return strings.Join(parts, ", ")
}
