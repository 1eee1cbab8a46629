package underway

import (
	"fmt"
	"slices"
	"time"

	"hardtack/route/plan"
)

// Rest is the brief from a moment on, with what is then aboard: the same
// needs, the stops ahead, and days counted from that moment. At sea it begins
// with a stop where nothing is sold. Offers of the current stop are those not
// bought yet: with its shopping done there are none, for what is bought stays
// bought. The second result tells which stop of b each of its stops is.
func Rest(b plan.Brief, now Now, aboard []Held) (plan.Brief, []int, error) {
	if err := b.Check(); err != nil {
		return plan.Brief{}, nil, fmt.Errorf("rest of the season: %w", err)
	}
	if err := now.check(b); err != nil {
		return plan.Brief{}, nil, fmt.Errorf("rest of the season: %w", err)
	}
	stop, atSea := stopAt(b, now.Day)
	if stop == len(b.Stops)-1 {
		return plan.Brief{}, nil, fmt.Errorf("rest of the season: day %v: %w: no leg is left", now.Day, ErrInput)
	}
	r := rest{b, now, stop, atSea}
	out := plan.Brief{Version: b.Version, Currency: b.Currency, Start: r.start(), Stowage: b.Stowage, Stops: r.stops()}
	for _, n := range b.Needs {
		out.Needs = append(out.Needs, r.need(n))
	}
	if err := r.load(&out, aboard); err != nil {
		return plan.Brief{}, nil, fmt.Errorf("rest of the season: %w", err)
	}
	from := make([]int, len(out.Stops))
	for s := range from {
		from[s] = stop + s
	}
	if err := out.Check(); err != nil {
		return plan.Brief{}, nil, fmt.Errorf("rest of the season: %w", err)
	}
	return out, from, nil
}

// UnderWay says whether a brief begins at sea: with a stop of no length where nothing
// is sold.
func UnderWay(b plan.Brief) bool {
	for _, n := range b.Needs {
		for _, it := range n.Items {
			if slices.ContainsFunc(it.Offers, func(o plan.Offer) bool { return o.Stop == 0 }) {
				return false
			}
		}
	}
	return b.Stops[0].Depart <= 0
}

type rest struct {
	plan.Brief
	now   Now
	stop  int
	atSea bool
}

// start is the day now falls on; Check has seen that the brief's is one.
func (r rest) start() string {
	day, err := time.Parse(time.DateOnly, r.Start)
	if err != nil {
		return r.Start
	}
	return day.AddDate(0, 0, int(r.now.Day)).Format(time.DateOnly)
}

func (r rest) stops() []plan.Stop {
	out := slices.Clone(r.Stops[r.stop:])
	for s := range out {
		out[s].Arrive = max(out[s].Arrive-r.now.Day, 0)
		out[s].Depart = max(out[s].Depart-r.now.Day, 0)
	}
	return out
}

// need is what is left of a need: rates stay, the periods behind go.
func (r rest) need(n plan.Need) plan.Need {
	n.UseInPort, n.UseAtSea = n.UseInPort[r.stop:], n.UseAtSea[r.stop:]
	if n.Reserve != nil {
		n.Reserve = n.Reserve[r.stop:]
	}
	items := n.Items
	n.Items = nil
	for _, it := range items {
		n.Items = append(n.Items, r.item(it))
	}
	return n
}

func (r rest) item(it plan.Item) plan.Item {
	offers, lost, keeps := it.Offers, it.SurrenderedAt, it.Keeps
	it.Offers, it.SurrenderedAt, it.Keeps, it.Aboard = nil, nil, nil, nil
	for _, o := range offers {
		if o.Stop < r.stop || o.Stop == r.stop && (r.atSea || r.now.Bought) {
			continue
		}
		o.Stop -= r.stop
		it.Offers = append(it.Offers, o)
	}
	for _, s := range lost {
		if s > r.stop {
			it.SurrenderedAt = append(it.SurrenderedAt, s-r.stop)
		}
	}
	for _, k := range keeps {
		it.Keeps = append(it.Keeps, plan.Keep{Space: k.Space, Days: k.Days[r.stop:]})
	}
	return it
}

// load puts the lots aboard to their items.
func (r rest) load(b *plan.Brief, aboard []Held) error {
	for _, h := range aboard {
		it := itemOf(b, h.Item)
		if it == nil {
			return fmt.Errorf("lot of %q: %w", h.Item, ErrInput)
		}
		it.Aboard = append(it.Aboard, plan.Lot{Space: h.Space, Amount: h.Amount, Expires: max(h.Expires-r.now.Day, 0)})
	}
	return nil
}

func itemOf(b *plan.Brief, id string) *plan.Item {
	for n := range b.Needs {
		for i := range b.Needs[n].Items {
			if b.Needs[n].Items[i].ID == id {
				return &b.Needs[n].Items[i]
			}
		}
	}
	return nil
}

// ShoppingDone takes the first stop's offers out of a brief: its shopping lies behind.
// What the older plan buys at that stop, the one numbered so there and -1 for none, to be
// eaten in port day by day lies in no space; as it is bought, what is left of the stay
// does without so much from elsewhere.
func ShoppingDone(b *plan.Brief, older plan.Brief, p plan.Plan, stop int) {
	for n := range b.Needs {
		need := &b.Needs[n]
		for i := range need.Items {
			it := &need.Items[i]
			it.Offers = slices.DeleteFunc(slices.Clone(it.Offers), func(o plan.Offer) bool { return o.Stop == 0 })
		}
		if stop >= 0 {
			need.UseInPort = slices.Clone(need.UseInPort)
			need.UseInPort[0] = max(0, need.UseInPort[0]-eatenADay(older, p, need.ID, stop))
		}
	}
}

// eatenADay is what a plan buys of a need at a stop to be eaten in port, need-units a day.
func eatenADay(b plan.Brief, p plan.Plan, need string, stop int) float64 {
	days := b.Stops[stop].Depart - b.Stops[stop].Arrive
	if days <= 0 {
		return 0
	}
	sum := 0.0
	for _, x := range p.Purchases {
		if it := itemOf(&b, x.Item); x.Stop == stop && x.Need == need && it != nil {
			sum += x.EatenInPort * it.Yield
		}
	}
	return sum / days
}

// Stow makes lots all that is aboard of a brief that begins so many days after
// the one they are said of. It gives how many found no item or space in it.
func Stow(b *plan.Brief, lots []Held, days float64) (left int) {
	for n := range b.Needs {
		for i := range b.Needs[n].Items {
			b.Needs[n].Items[i].Aboard = nil
		}
	}
	for _, h := range lots {
		it := itemOf(b, h.Item)
		if it == nil || !slices.ContainsFunc(b.Stowage.Spaces, func(s plan.Space) bool { return s.ID == h.Space }) {
			left++
			continue
		}
		it.Aboard = append(it.Aboard, plan.Lot{Space: h.Space, Amount: h.Amount, Expires: max(h.Expires-days, 0)})
	}
	return left
}
