package api

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"hardtack/db"
	"hardtack/pricing"
	"hardtack/pricing/fx"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
	"hardtack/route/geo"
	"hardtack/route/port"
)

// place is where things are and what money is worth there: the program's own
// data with what was added to the database.
type place struct {
	gazetteer *port.Gazetteer
	rates     fx.Rates
}

// place gives it as it is now; it is worked out again only after a change.
func (s *Service) place(ctx context.Context) (*place, error) {
	at, err := s.db.Change(ctx, db.KindPort, db.KindRate)
	if err != nil {
		return nil, err
	}
	s.known.Lock()
	defer s.known.Unlock()
	if k := s.known.place; k.there && k.at == at {
		return &k.value, nil
	}
	p, err := s.loadPlace(ctx)
	if err != nil {
		return nil, err
	}
	s.known.place = cached[place]{p, at, true}
	return &p, nil
}

func (s *Service) loadPlace(ctx context.Context) (place, error) {
	own, err := list[port.Port](ctx, s, db.KindPort)
	if err != nil {
		return place{}, err
	}
	g := s.world.Ports
	for _, k := range own {
		more, err := g.With([]port.Port{k.Value})
		if errors.Is(err, port.ErrDuplicate) {
			continue // the program has come to know it since
		}
		if err != nil {
			return place{}, err
		}
		g = more
	}
	rates, err := s.loadRates(ctx)
	return place{g, rates}, err
}

// nearest is how many names are offered for one that is not known.
const nearest = 5

func (p *place) portsLike(id string) []string {
	var out []string
	for _, q := range p.gazetteer.Search(id, nearest) {
		out = append(out, fmt.Sprintf("%s (%s, %s)", q.ID, q.Name, q.Country))
	}
	return out
}

func itemsLike(c *item.Catalogue, id string) []string {
	found := c.Search(id, nearest)
	for _, word := range strings.FieldsFunc(id, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if len(found) == 0 && len(word) > 2 { // no name is like all of it
			found = c.Search(word, nearest)
		}
	}
	var out []string
	for _, i := range found {
		out = append(out, fmt.Sprintf("%s (%s)", i.ID, i.Name))
	}
	return out
}

// Gazetteer is all ports known, added ones among them.
func (s *Service) Gazetteer(ctx context.Context) (*port.Gazetteer, error) {
	p, err := s.place(ctx)
	if err != nil {
		return nil, err
	}
	return p.gazetteer, nil
}

// Ports finds up to n ports by name or id, best first; all ports when the text
// is empty.
func (s *Service) Ports(ctx context.Context, text string, n int) ([]port.Port, error) {
	g, err := s.Gazetteer(ctx)
	if err != nil {
		return nil, err
	}
	if text == "" {
		all := g.All()
		return all[:min(n, len(all))], nil
	}
	return g.Search(text, n), nil
}

// PortsNear gives the n ports nearest to a place, nearest first.
func (s *Service) PortsNear(ctx context.Context, at geo.Position, n int) ([]port.Port, error) {
	g, err := s.Gazetteer(ctx)
	if err != nil {
		return nil, err
	}
	return g.Near(at, n), nil
}

// Port gives one port. ErrNotFound names those it might have been.
func (s *Service) Port(ctx context.Context, id pricing.PortID) (port.Port, error) {
	p, err := s.place(ctx)
	if err != nil {
		return port.Port{}, err
	}
	if q, ok := p.gazetteer.Port(id); ok {
		return q, nil
	}
	return port.Port{}, fmt.Errorf("port %q: %w%s", id, ErrNotFound, orNearest(p.portsLike(string(id))))
}

// PutPort adds a port of one's own or changes one. Errors: ErrInvalid,
// ErrStale, ErrConflict when the program itself knows the port.
func (s *Service) PutPort(ctx context.Context, p port.Port, expect int64) (Kept[port.Port], error) {
	if p.Currency == "" {
		p.Currency = s.currencyOf(p.Country)
	}
	if p.Source == "" {
		p.Source = "added by hand"
	}
	if err := p.Check(); err != nil {
		return Kept[port.Port]{}, invalid("port "+string(p.ID), err)
	}
	if err := s.findApproach(&p); err != nil {
		return Kept[port.Port]{}, err
	}
	if _, err := s.world.Ports.With([]port.Port{p}); err != nil {
		return Kept[port.Port]{}, fmt.Errorf("%w: %w; nothing was changed", ErrConflict, err)
	}
	return put(ctx, s, db.KindPort, string(p.ID), p, expect)
}

// approachNM is how far off open water is looked for.
const approachNM = 10

// findApproach gives a port without one a place in open water to begin from.
func (s *Service) findApproach(p *port.Port) error {
	if p.Approach != (geo.Position{}) {
		return nil
	}
	coast, err := s.world.Coast()
	if err != nil {
		return fmt.Errorf("coastline: %w", err)
	}
	at, ok := coast.OpenWater(p.Position, approachNM)
	if !ok {
		var fs faults
		fs.add("approach", "no open water near the port", "a place off the coast, latitude and longitude")
		return fs.err("port " + string(p.ID))
	}
	p.Approach = at
	return nil
}

// currencyOf is the currency of a country's ports, empty when none is known.
func (s *Service) currencyOf(country string) money.Currency {
	for _, p := range s.world.Ports.All() {
		if p.Country == country {
			return p.Currency
		}
	}
	return ""
}

// DeletePort takes away a port of one's own.
func (s *Service) DeletePort(ctx context.Context, id string, expect int64) error {
	return s.db.Delete(ctx, db.KindPort, id, expect)
}

// Items finds up to n items by name or id, best first; all of them when the
// text is empty.
func (s *Service) Items(text string, n int) []item.Item {
	c := s.world.Catalogue
	if text != "" {
		return c.Search(text, n)
	}
	var out []item.Item
	for _, id := range c.Order[:min(n, len(c.Order))] {
		out = append(out, c.Items[id])
	}
	return out
}

// Item gives one item. ErrNotFound names those it might have been.
func (s *Service) Item(id pricing.ItemID) (item.Item, error) {
	i, ok := s.world.Catalogue.Items[id]
	if !ok {
		return i, fmt.Errorf("item %q: %w%s", id, ErrNotFound, orNearest(itemsLike(s.world.Catalogue, string(id))))
	}
	return i, nil
}

func orNearest(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return "; nearest: " + strings.Join(names, ", ")
}
