package web

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/route/shopping"
)

// carriedLine is a line of a carried list of which something else is kept.
type carriedLine struct {
	Key              string // "stop.item"
	Where, Name      string
	Carried, Aboard  string // what each says
	carried, onBoard lineState
}

// postPapers takes back the ticks and prices of a carried list, into the
// drafts of its stops. Where something else is kept it is asked.
func (s *site) postPapers(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	f, _, ok := q.file("ticks")
	if !ok {
		return q.showPapers(http.StatusUnprocessableEntity, &papersPage{Faults: []string{q.say("import.nothing")}})
	}
	text, err := io.ReadAll(f)
	if err != nil {
		return err
	}
	ticks, err := shopping.ReadTicks(strings.NewReader(string(text)))
	if errors.Is(err, shopping.ErrTicks) {
		return q.showPapers(http.StatusUnprocessableEntity, &papersPage{Faults: []string{q.say("papers.back.bad"), err.Error()}})
	}
	if err != nil {
		return err
	}
	k, err := q.svc.LastPlan(q.r.Context(), q.r.PathValue("voyage"))
	if err != nil {
		return err
	}
	byStop, lost := map[int][]shopping.Tick{}, []string(nil)
	for _, t := range ticks {
		if stop, ok := k.Value.StopOf(t.Call); ok {
			byStop[stop] = append(byStop[stop], t)
		} else if name := t.Call.String(); !slices.Contains(lost, name) {
			lost = append(lost, name)
		}
	}
	if len(lost) > 0 {
		return q.showPapers(http.StatusUnprocessableEntity, &papersPage{Faults: []string{q.say("papers.back.lost", strings.Join(lost, ", "))}})
	}
	p := &papersPage{Text: string(text)}
	for _, stop := range slices.Sorted(maps.Keys(byStop)) {
		against, err := q.takeBack(k.Value, stop, byStop[stop])
		if err != nil {
			return err
		}
		p.Against = append(p.Against, against...)
	}
	if len(p.Against) > 0 {
		return q.showPapers(http.StatusConflict, p)
	}
	return q.goTo("voyage", q.r.PathValue("voyage"), fmt.Sprintf("papers?back=%d.%d", len(ticks), len(byStop)))
}

// takeBack puts the lines of a carried list into the draft of its stop, and
// gives those that wait for an answer. A form that was asked names them: those
// of "over" are to take the place of what is kept, others of "asked" are not.
func (q *request) takeBack(p api.Planned, stop int, ticks []shopping.Tick) ([]carriedLine, error) {
	var out []carriedLine
	_, err := q.svc.ChangeDraft(q.r.Context(), p, stop, func(d *api.Draft) {
		out = nil
		for _, t := range ticks {
			if slices.Contains(d.Booked, t.Item) {
				continue // aboard by a receipt before
			}
			key, carried, kept := strconv.Itoa(stop)+"."+string(t.Item), carriedState(t), keptState(*d, t.Item)
			next, ok := merged(lineState{}, carried, kept)
			switch {
			case ok:
				next.keep(d, t.Item)
			case slices.Contains(q.r.Form["over"], key):
				carried.keep(d, t.Item)
			case !slices.Contains(q.r.Form["asked"], key):
				out = append(out, carriedLine{Key: key, Name: string(t.Item), carried: carried, onBoard: kept})
			}
		}
	})
	note := p.Notes.Stops[stop]
	for i := range out {
		x := &out[i]
		if it, err := q.svc.Item(ticks[slices.IndexFunc(ticks, func(t shopping.Tick) bool { return string(t.Item) == x.Name })].Item); err == nil {
			x.Name = q.words.goods(it)
		}
		x.Where, x.Carried, x.Aboard = note.Name, q.stateWords(x.carried, note.Currency), q.stateWords(x.onBoard, note.Currency)
	}
	return out, err
}

// carriedState is what a carried list says about an item.
func carriedState(t shopping.Tick) lineState {
	out := lineState{}
	for field, text := range map[string]string{
		"got": flag((t.Got || t.Price != "") && !t.None), "none": flag(t.None), "price": t.Price, "pack": t.Pack, "count": t.Count,
	} {
		if text != "" {
			out[field] = text
		}
	}
	return out
}
