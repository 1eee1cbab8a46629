package dataset

import (
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"runtime"
	"sync"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/estimate"
)

// Ask says what to do with a dataset.
type Ask struct {
	Day      calendar.Day // to believe about; zero: that of the newest report
	Pairs    io.Reader    // of what is asked, each with its own day; nil: every port and item on Day
	Evaluate bool         // print scores instead of estimates
	Outside  Outside      // more about places
	Truth    io.Reader    // to score by, see ReadTruth; nil: by later reports

	Out                  io.Writer
	Rejected, Questioned io.Writer // nil: not written
}

// Answer counts what was done.
type Answer struct {
	Day        calendar.Day         `json:"day"`
	Reports    int                  `json:"reports"` // read
	Estimates  int                  `json:"estimates"`
	Rejected   []Rejection          `json:"rejected"`
	Questioned int                  `json:"questioned"`
	Evaluation *estimate.Evaluation `json:"evaluation,omitempty"`
}

// Estimate reads a dataset, believes, and writes what is asked. Rejected rows
// are no error: see Answer. Errors: ErrRefused, fs.ErrNotExist,
// estimate.ErrFew, or of reading and writing.
func Estimate(files fs.FS, a Ask) (Answer, error) {
	d, rejected, err := Read(files)
	if err != nil {
		return Answer{}, err
	}
	d.Outside = a.Outside
	out := Answer{Day: a.Day, Reports: len(d.Reports), Rejected: append([]Rejection{}, rejected...)}
	if out.Day.IsZero() {
		out.Day = d.newest()
	}
	if a.Evaluate {
		err = d.evaluate(a, &out)
	} else {
		err = d.believe(a, &out)
	}
	if err != nil {
		return out, err
	}
	if a.Rejected != nil {
		err = WriteRejected(a.Rejected, out.Rejected)
	}
	return out, err
}

// newest is the day of the newest report; of none, the first day there is.
func (d *Dataset) newest() calendar.Day {
	day := calendar.Day(1)
	for _, r := range d.Reports {
		day = max(day, r.Day)
	}
	return day
}

// Input is what the estimator needs of a dataset: it has no prior of prices.
func (d *Dataset) Input(day calendar.Day) estimate.Input {
	in := estimate.Input{Rates: d.Rates, Reports: d.Reports, Day: day}
	for _, i := range d.Items {
		in.Items = append(in.Items, estimate.Item{ID: i.ID, Category: i.Category, Unit: i.Unit, ListPack: i.ListPack})
	}
	at := map[pricing.PortID]Port{}
	for _, p := range d.Ports {
		at[p.ID] = p
		q := estimate.Port{ID: p.ID, Country: p.Country, South: p.Latitude < 0}
		if d.Level != nil {
			q.Level = d.Level(p.Country)
		}
		in.Ports = append(in.Ports, q)
	}
	if d.Apart != nil {
		in.Apart = func(a, b pricing.PortID) (float64, bool) {
			p, q := at[a], at[b]
			if !p.Placed || !q.Placed {
				return 0, false
			}
			return d.Apart(p, q), true
		}
	}
	return in
}

func (d *Dataset) believe(a Ask, out *Answer) error {
	pairs, err := d.pairs(a, out)
	if err != nil {
		return err
	}
	estimates, questioned := d.answer(pairs, out.Day)
	out.Estimates, out.Questioned = len(pairs), len(questioned)
	if err := WriteEstimates(a.Out, pairs, estimates); err != nil {
		return err
	}
	if a.Questioned == nil {
		return nil
	}
	return WriteQuestioned(a.Questioned, questioned)
}

// answer fits a model for every day asked for, since reports later than it are
// not used, and for day, of which questioned reports are told. Models are let
// go as soon as they have answered; days are independent, so as many are at
// work as there are processors.
func (d *Dataset) answer(pairs []Pair, day calendar.Day) ([]pricing.Estimate, []estimate.Questioned) {
	out := make([]pricing.Estimate, len(pairs))
	byDay := map[calendar.Day][]int{day: nil}
	for k, p := range pairs {
		byDay[p.Day] = append(byDay[p.Day], k)
	}
	var questioned []estimate.Questioned
	var all sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for of, places := range byDay {
		free <- struct{}{}
		all.Go(func() {
			defer func() { <-free }()
			m := estimate.Fit(d.Input(of))
			for _, k := range places {
				out[k] = m.At(pairs[k].Port, pairs[k].Item, of)
			}
			if of == day {
				questioned = m.Questioned()
			}
		})
	}
	all.Wait()
	return out, questioned
}

func (d *Dataset) pairs(a Ask, out *Answer) ([]Pair, error) {
	if a.Pairs != nil {
		pairs, bad, err := ReadPairs(a.Pairs, "pairs.csv", *d)
		out.Rejected = append(out.Rejected, bad...)
		return pairs, err
	}
	var pairs []Pair
	for _, p := range d.Ports {
		for _, i := range d.Items {
			pairs = append(pairs, Pair{p.ID, i.ID, out.Day})
		}
	}
	return pairs, nil
}

// WriteQuestioned writes the reports held back as probable slips.
func WriteQuestioned(w io.Writer, questioned []estimate.Questioned) error {
	c := csv.NewWriter(w)
	write(c, "report", "reason", "suggestion")
	for _, q := range questioned {
		write(c, q.Report, q.Reason, q.Suggestion)
	}
	return flushed(c, "questioned reports")
}

// evaluate scores the model by later reports, or by the truth where it is
// given.
func (d *Dataset) evaluate(a Ask, out *Answer) error {
	var e estimate.Evaluation
	var err error
	if a.Truth == nil {
		e, err = estimate.Evaluate(d.Input(out.Day))
	} else {
		e, err = d.against(a.Truth, out)
	}
	if err != nil {
		return fmt.Errorf("evaluate on %s: %w", out.Day, err)
	}
	out.Evaluation = &e
	return writeScores(a.Out, e)
}

func (d *Dataset) against(truth io.Reader, out *Answer) (estimate.Evaluation, error) {
	known, bad, err := ReadTruth(truth, "truth.csv", *d)
	if err != nil {
		return estimate.Evaluation{}, err
	}
	out.Rejected = append(out.Rejected, bad...)
	return estimate.Against(d.Input(out.Day), known), nil
}
