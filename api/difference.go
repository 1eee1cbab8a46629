package api

import (
	"cmp"
	"math"
	"slices"

	"hardtack/pricing"
	"hardtack/pricing/measure"
)

// Difference is what one plan of a voyage does otherwise than another.
type Difference struct {
	Before, After Total
	Ports         []PortChange // in route order, those that are gone last
	Lines         []LineChange // what is bought otherwise, dearest change first
}

// Total is a plan in three numbers, home currency.
type Total struct {
	Goods   float64 // paid for goods
	Trips   float64 // ways to the shops
	Missing float64 // what going without is counted
}

// PortChange is what is spent at a port.
type PortChange struct {
	Port          pricing.PortID
	Name          string
	Before, After float64
}

// LineChange is how much of an item is bought at a port, in item-units.
type LineChange struct {
	Port          pricing.PortID
	Name          string // of the port
	Item          pricing.ItemID
	ItemName      string
	Unit          measure.Unit
	Before, After float64
	Money         float64 // home currency: what is spent more
}

// Compare sets a plan beside the one before it.
func Compare(before, after Planned) Difference {
	d := Difference{Before: totalOf(before), After: totalOf(after)}
	c := comparison{ports: map[pricing.PortID]*PortChange{}, lines: map[lineKey]*LineChange{}}
	c.add(after, func(p *PortChange, x float64) { p.After += x }, func(l *LineChange, amount, money float64) { l.After += amount; l.Money += money })
	c.add(before, func(p *PortChange, x float64) { p.Before += x }, func(l *LineChange, amount, money float64) { l.Before += amount; l.Money -= money })
	for _, id := range c.order {
		d.Ports = append(d.Ports, *c.ports[id])
	}
	for _, k := range c.keys {
		if l := c.lines[k]; math.Abs(l.After-l.Before) > 1e-6 {
			d.Lines = append(d.Lines, *l)
		}
	}
	slices.SortStableFunc(d.Lines, func(a, b LineChange) int { return cmp.Compare(math.Abs(b.Money), math.Abs(a.Money)) })
	return d
}

func totalOf(p Planned) Total {
	c := p.Plan.Cost
	return Total{c.Goods, c.Trips, c.Missing + c.ReserveMissing}
}

type lineKey struct {
	port pricing.PortID
	item pricing.ItemID
}

type comparison struct {
	order []pricing.PortID
	ports map[pricing.PortID]*PortChange
	keys  []lineKey
	lines map[lineKey]*LineChange
}

func (c *comparison) add(p Planned, port func(*PortChange, float64), line func(*LineChange, float64, float64)) {
	for _, s := range p.Notes.Stops {
		if c.ports[s.Port] == nil {
			c.order = append(c.order, s.Port)
			c.ports[s.Port] = &PortChange{Port: s.Port, Name: s.Name}
		}
	}
	for _, b := range p.Plan.Purchases {
		at := p.Notes.Stops[b.Stop]
		note, _ := p.Notes.Item(b.Item)
		money := float64(b.Packs) * b.Price
		port(c.ports[at.Port], money)
		k := lineKey{at.Port, note.Item}
		if c.lines[k] == nil {
			c.keys = append(c.keys, k)
			c.lines[k] = &LineChange{Port: at.Port, Name: at.Name, Item: note.Item, ItemName: note.Name, Unit: note.Unit}
		}
		line(c.lines[k], float64(b.Packs)*b.Pack, money)
	}
}
