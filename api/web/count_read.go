package web

import (
	"bytes"
	"encoding/csv"
	"io"
	"net/http"
	"strconv"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/measure"
	"hardtack/route/inventory"
)

// getCountCSV is the sheet as a file to fill in.
func (s *site) getCountCSV(q *request) error {
	v, _, err := q.vessel()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := q.svc.CountSheet(q.r.Context(), &b, v.ID, true); err != nil {
		return err
	}
	q.w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	q.w.Header().Set("Content-Disposition", `attachment; filename="count.csv"`)
	send(q.w, q.r, http.StatusOK, b.Bytes(), zipped(b.Bytes()), fingerprint(b.Bytes()))
	return nil
}

// countFile is what was typed as the file a count is read from. A thing that
// lies in two places is counted in both as soon as it is in one.
func (q *request) countFile(p *countPage) (io.Reader, error) {
	rows := [][]string{{"item", "space", "amount", "locker", "best_before", "mark", "spoilt", "cause"}}
	touched := map[string]bool{}
	lots := 0
	for ; q.r.Form.Has("item" + strconv.Itoa(lots)); lots++ {
		if p.All || q.text("amount"+strconv.Itoa(lots))+q.text("mark"+strconv.Itoa(lots))+q.text("spoilt"+strconv.Itoa(lots)) != "" {
			touched[q.text("item"+strconv.Itoa(lots))] = true
		}
	}
	for n := range lots {
		if touched[q.text("item"+strconv.Itoa(n))] {
			rows = append(rows, q.countRecord(n))
		}
	}
	for k := range newRows {
		field := func(name string) string { return q.text(name + strconv.Itoa(k)) }
		if field("new") == "" {
			continue
		}
		id, _ := q.itemMeant(field("new"))
		if id == "" {
			p.Faults = append(p.Faults, q.say("prices.nothing", field("new")))
			continue
		}
		rows = append(rows, []string{id, "", decimal(field("newamount")), field("newplace"), "", "", "", ""})
	}
	if len(rows) == 1 && len(p.Faults) == 0 {
		p.Faults = append(p.Faults, q.say("count.empty"))
	}
	var b bytes.Buffer
	return &b, csv.NewWriter(&b).WriteAll(rows)
}

// decimal takes a decimal comma for a point.
func decimal(s string) string { return strings.ReplaceAll(s, ",", ".") }

// countRecord is one line. What ran out is gone unless an amount was typed,
// what spoilt without an amount all of it; what was left empty is there as the
// book says.
func (q *request) countRecord(n int) []string {
	field := func(name string) string { return q.text(name + strconv.Itoa(n)) }
	amount, mark, spoilt, cause := decimal(field("amount")), field("mark"), decimal(field("spoilt")), ""
	switch {
	case mark == spoiltMark && spoilt == "":
		spoilt = field("book")
		if amount != "" {
			spoilt = q.less(field("item"), field("book"), amount)
		} else {
			amount = "0"
		}
	case amount == "" && mark == string(inventory.RanOut):
		amount = "0"
	case amount == "" && spoilt != "":
		amount = q.less(field("item"), field("book"), spoilt)
	case amount == "":
		amount = "="
	}
	if mark == spoiltMark {
		mark = ""
	}
	if spoilt != "" {
		cause = field("cause")
	}
	return []string{field("item"), field("space"), amount, field("locker"), field("best"), mark, spoilt, cause}
}

// less is what of the book's amount is left without some of it; as it was
// typed when it is no amount, so that the count says so.
func (q *request) less(id, book, some string) string {
	i, err := q.svc.Item(pricing.ItemID(id))
	if err != nil {
		return some
	}
	had, err := measure.ParsePack(book, i.Unit)
	off, err2 := measure.ParsePack(some, i.Unit)
	if err != nil || err2 != nil {
		return some
	}
	return max(0, had-off).Format(i.Unit)
}
