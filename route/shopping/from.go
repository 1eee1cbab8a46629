package shopping

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/brief"
	"hardtack/route/plan"
	"hardtack/route/port"
	"hardtack/route/vessel"
)

// maker holds what every list needs, looked up once.
type maker struct {
	Input
	items map[string]plan.Item
	needs map[string]string // brief item → need
	order map[pricing.ItemID]int
	ends  map[string]float64 // purchase → moment its last piece is eaten

	reasons map[string]plan.Reason // by purchase
}

// FromPlan makes the lists of a plan. The plan must belong to the brief and
// the brief to the notes.
func FromPlan(in Input) Lists {
	m := maker{Input: in, items: map[string]plan.Item{}, needs: map[string]string{}, order: map[pricing.ItemID]int{}}
	for _, n := range in.Brief.Needs {
		for _, it := range n.Items {
			m.items[it.ID], m.needs[it.ID] = it, n.ID
		}
	}
	for k, id := range in.Catalogue.Order {
		m.order[id] = k
	}
	m.ends = lastEaten(in.Brief, in.Plan)
	m.reasons = reasons(in.Brief, in.Plan)
	out := Lists{Title: in.Title, Home: in.Notes.Home, RateDay: in.Notes.RateDay, GuessShare: in.Notes.GuessShare(in.Plan)}
	lasts := brief.EnduranceOf(in.Brief, in.Notes, in.Plan)
	for s := range in.Brief.Stops {
		l := m.list(s, lasts)
		out.Spend += l.Spend.Expect
		if len(l.Lines)+len(l.EatDown)+len(l.Lasts) > 0 {
			out.Lists = append(out.Lists, l)
		}
	}
	return out
}

func (m *maker) list(s int, lasts []brief.Endurance) List {
	note := m.Notes.Stops[s]
	l := List{
		Stop: s, Port: note.Port, Name: note.Name, Size: note.Size, Home: m.Notes.Home, Currency: note.Currency,
		Arrive: m.day(note.Arrive), Depart: m.day(note.Depart),
	}
	for _, later := range m.Notes.Stops[s+1:] {
		if later.Port != note.Port {
			l.Next = later.Name
			break
		}
	}
	l.Lines = m.lines(s)
	for _, t := range m.Plan.Trips {
		if t.Stop == s {
			l.Trips = t.Count
		}
	}
	l.sum()
	for _, e := range lasts {
		if e.Leg == s {
			l.Lasts = append(l.Lasts, Endurance{e.Need, e.Name, e.Aboard, e.Unit, e.Lasts, e.Long, e.Day, e.Enough})
		}
	}
	l.EatDown = m.eatDown(s)
	l.Sayings = m.sayings(l)
	return l
}

func (m *maker) day(x float64) calendar.Day {
	return m.Notes.Start + calendar.Day(math.Floor(x+1e-9))
}

// lines groups the purchases of a stop by item, whichever need they serve.
func (m *maker) lines(s int) []Line {
	var ids []pricing.ItemID
	buys := map[pricing.ItemID][]plan.Purchase{}
	for _, b := range m.Plan.Purchases {
		if b.Stop != s || b.Packs == 0 {
			continue
		}
		id := m.catalogued(b.Item)
		if buys[id] == nil {
			ids = append(ids, id)
		}
		buys[id] = append(buys[id], b)
	}
	var out []Line
	for _, id := range ids {
		out = append(out, m.line(s, id, buys[id]))
	}
	rank := func(l Line) int { return slices.Index(Whens(), l.When) }
	slices.SortStableFunc(out, func(a, b Line) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(m.order[a.Item], m.order[b.Item]))
	})
	return out
}

// catalogued is the catalogue's id of an item of the brief.
func (m *maker) catalogued(id string) pricing.ItemID {
	if n, ok := m.Notes.Item(id); ok {
		return n.Item
	}
	return pricing.ItemID(id)
}

func (m *maker) catalogueItem(id pricing.ItemID) item.Item {
	i, ok := m.Catalogue.Items[id]
	if !ok {
		i = item.Item{ID: id, Name: string(id), Unit: measure.Each}
	}
	return i
}

func (m *maker) line(s int, id pricing.ItemID, buys []plan.Purchase) Line {
	i := m.catalogueItem(id)
	l := Line{Item: id, Name: i.Name, Category: i.Category, Unit: i.Unit, Guess: true}
	until := 0.0
	for _, b := range buys {
		l.addPacks(i, b)
		m.addPrice(&l, b)
		l.EatHere += b.EatenInPort
		for _, st := range b.Stowed {
			m.addStow(&l, b, st)
		}
		until = max(until, m.ends[b.ID])
	}
	stowed := 0.0
	for _, st := range l.Stow {
		stowed += st.Amount
	}
	if spare := l.Amount - stowed - l.EatHere; spare > spareFrom*l.Amount {
		l.Spare = spare
	}
	if until > 0 {
		l.EatenBy = m.day(until)
	}
	l.Why = m.why(l, buys)
	l.When = whenToBuy(i, l.Stow)
	l.Hint, l.Look, l.Handle = i.BuyHint, append(m.goods(i, buys), look(i)...), m.handle(i, l)
	l.Labels = m.labels(i, buys, until)
	l.Instead = m.instead(s, id, buys, until)
	return l
}

// spareFrom is the share of a line from which its spare is worth a word.
const spareFrom = 0.15

func (l *Line) addPacks(i item.Item, b plan.Purchase) {
	l.Amount += float64(b.Packs) * b.Pack
	for k := range l.Packs {
		if l.Packs[k].Pack == measure.Of(b.Pack) {
			l.Packs[k].Count += b.Packs
			return
		}
	}
	l.Packs = append(l.Packs, packsOf(i, b.Packs, b.Pack))
}

func packsOf(i item.Item, count int, pack float64) Packs {
	q := measure.Of(pack)
	label := i.PackLabel(q)
	if label == "" {
		label = q.Format(i.Unit)
	}
	return Packs{count, q, label}
}

func (m *maker) addPrice(l *Line, b plan.Purchase) {
	n := float64(b.Packs)
	o, ok := m.Notes.Offer(b.Item, b.Stop, b.Pack)
	if !ok || o.Price <= 0 {
		l.Home.add(Range{b.Price, b.Price, b.Price}, n)
		return
	}
	per := Range{o.Price, o.Low80, o.High80}
	l.Home.add(per, n)
	l.Local.add(per, n*o.Local/o.Price)
	l.Guess = l.Guess && o.Guess
	l.Newest = max(l.Newest, o.Estimate.Newest)
}

func (r *Range) add(x Range, n float64) {
	r.Expect += n * x.Expect
	r.Low += n * x.Low
	r.High += n * x.High
}

func (m *maker) addStow(l *Line, b plan.Purchase, st plan.Stowed) {
	if st.Amount <= 0 {
		return
	}
	it := m.items[b.Item]
	l.Kg += st.Amount * it.Kg
	for k := range l.Stow {
		if l.Stow[k].Space == st.Space {
			l.Stow[k].Amount += st.Amount
			l.Stow[k].Litres += st.Amount * it.Litres
			return
		}
	}
	l.Stow = append(l.Stow, Stow{
		Space: st.Space, Amount: st.Amount, Litres: st.Amount * it.Litres,
		Keeps: keepsIn(it, st.Space, b.Stop), Of: m.lockers(st.Space),
	})
}

func keepsIn(it plan.Item, space string, stop int) float64 {
	for _, k := range it.Keeps {
		if k.Space == space && stop < len(k.Days) {
			return k.Days[stop]
		}
	}
	return 0
}

func (m *maker) lockers(space string) []string {
	for _, sp := range m.Notes.Spaces {
		if sp.ID == space {
			return sp.Of
		}
	}
	return nil
}

// sum adds up the stop: what is carried, what is paid and the cash to take.
func (l *List) sum() {
	var home, local []Range
	for _, x := range l.Lines {
		home, local = append(home, x.Home), append(local, x.Local)
		l.Kg += x.Kg
		for _, st := range x.Stow {
			if st.Space != string(vessel.Tank) && st.Space != string(vessel.GasLocker) {
				l.Litres += st.Litres
			}
		}
	}
	l.Spend, l.Cash = total(home), total(local)
}

// Prices of one port err together: when one is above what was expected so are
// the others. This is the correlation between two lines; judgement, no source.
const together = 0.25

// total adds ranges. Half-widths add like standard deviations of lines that
// are correlated by the constant above.
func total(x []Range) Range {
	var sum, lin, sq Range
	for _, r := range x {
		sum.Expect += r.Expect
		lin.Low += r.Expect - r.Low
		lin.High += r.High - r.Expect
		sq.Low += (r.Expect - r.Low) * (r.Expect - r.Low)
		sq.High += (r.High - r.Expect) * (r.High - r.Expect)
	}
	width := func(lin, sq float64) float64 {
		return math.Sqrt(max(0, together*lin*math.Abs(lin)+(1-together)*sq))
	}
	sum.Low = max(0, sum.Expect-width(lin.Low, sq.Low))
	sum.High = sum.Expect + width(lin.High, sq.High)
	return sum
}

func (m *maker) sayings(l List) []wording.Remark {
	var out []wording.Remark
	if len(l.Lines) > 0 && (l.Size == port.Village || l.Size == port.SmallTown) {
		out = append(out, wording.Say("list.village"))
	}
	return out
}
