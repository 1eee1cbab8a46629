package web

import (
	"errors"
	"net/http"

	"hardtack/api"
	"hardtack/route/meal"
	"hardtack/route/scale"
)

// mealsPage turns a list of meals into what to have aboard for a passage.
type mealsPage struct {
	Frame
	Text, People, Days, Prone string
	Ocean, Subtract           bool
	Faults                    []string
	Rows                      []mealRow
	Notes                     []string
	Kcal, Kg, Litres          string
}

type mealRow struct{ Name, Amount, Aboard, Buy, When string }

// mealWhen are the words of when to buy.
var mealWhen = map[scale.When]string{scale.WeeksAhead: "meals.when.ahead", scale.LastDays: "meals.when.days", scale.LastMorning: "meals.when.morning"}

func (s *site) getMeals(q *request) error {
	p := &mealsPage{Text: meal.Example, People: "2", Days: "7", Subtract: true}
	if c, _, err := q.crew(); err == nil {
		p.People = trim(float64(max(1, len(c.Persons))), 0)
		prone := 0
		for _, x := range c.Persons {
			if x.Seasick {
				prone++
			}
		}
		p.Prone = trim(float64(prone), 0)
	}
	return q.show(http.StatusOK, "meals", q.aboardFrame("meals.title"), p)
}

func (s *site) postMeals(q *request) error {
	if err := q.form(); err != nil {
		return err
	}
	f := q.aboardFrame("meals.title")
	p := &mealsPage{Text: q.r.FormValue("meals"), People: q.text("people"), Days: q.text("days"), Prone: q.text("prone"), Ocean: q.text("ocean") != "", Subtract: q.text("less") != ""}
	r := api.ScaleRequest{Meals: p.Text, Ocean: p.Ocean}
	good := true
	for name, to := range map[string]*float64{"people": &r.People, "days": &r.Days, "prone": &r.Prone} {
		x, ok := q.number(name, 0)
		*to, good = x, good && ok && x >= 0
	}
	if !good || r.Meals == "" {
		p.Faults = []string{q.say("meals.fault")}
		return q.show(http.StatusUnprocessableEntity, "meals", f, p)
	}
	if v, _, err := q.vessel(); err == nil && p.Subtract {
		r.Vessel = v.ID
	}
	out, err := q.svc.Scale(q.r.Context(), r)
	var invalid *api.InvalidError
	if errors.As(err, &invalid) {
		p.Faults = q.faultLines(invalid)
		return q.show(http.StatusUnprocessableEntity, "meals", f, p)
	}
	if err != nil {
		return err
	}
	for _, w := range out.Wants {
		row := mealRow{Name: q.words.Item(w.Item, w.Name), Amount: f.Much(w.Amount.Units(), w.Unit), When: q.say(mealWhen[w.When])}
		if w.Aboard > 0 {
			row.Aboard = f.Much(w.Aboard.Units(), w.Unit)
		}
		if w.Buy > 0 {
			row.Buy = f.Much(w.Buy.Units(), w.Unit)
		}
		p.Rows = append(p.Rows, row)
	}
	p.Notes, p.Kcal, p.Kg, p.Litres = f.TellAll(out.Notes), f.Num(out.Kcal, 0), f.Mass(out.Kg), f.Volume(out.Litres)
	return q.show(http.StatusOK, "meals", f, p)
}
