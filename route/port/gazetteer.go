package port

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"github.com/bojanz/currency"

	"hardtack/pricing"
	"hardtack/pricing/money"
	"hardtack/route/geo"
)

// Kinds of error a gazetteer gives.
var (
	ErrDuplicate = errors.New("port already there")
	ErrInvalid   = errors.New("invalid port")
)

// Gazetteer is all the ports known. It never changes; With gives a new one.
type Gazetteer struct {
	ports []Port
	byID  map[pricing.PortID]int
	names [][]string // folded names of each port, its own first
}

// Load reads ports.csv. The error names the record and the column.
func Load(files fs.FS) (*Gazetteer, error) {
	rows, err := readTable(files, "ports.csv", "port", "name", "other_names", "country", "zone", "island_group",
		"currency", "latitude", "longitude", "approach_lat", "approach_lon", "size", "shop_note", "shop_note_basis", "source")
	if err != nil {
		return nil, err
	}
	g := &Gazetteer{byID: map[pricing.PortID]int{}}
	for _, r := range rows {
		p := r.port()
		if r.fail(g.add(p)); r.err != nil {
			return nil, r.err
		}
	}
	return g, nil
}

func (r *row) port() Port {
	p := Port{
		ID: pricing.PortID(r.text("port")), Name: r.text("name"), Others: r.list("other_names"),
		Country: r.text("country"), Zone: r.text("zone"), Island: r.text("island_group"),
		Currency: money.Currency(r.text("currency")),
		Position: geo.Position{Lat: r.number("latitude"), Lon: r.number("longitude")},
		Approach: geo.Position{Lat: r.number("approach_lat"), Lon: r.number("approach_lon")},
		Size:     Size(r.text("size")), ShopNote: r.text("shop_note"), Source: r.text("source"),
	}
	if basis := r.text("shop_note_basis"); p.ShopNote != "" && basis != "" {
		p.ShopNote += " (" + basis + ")"
	}
	return p
}

var (
	idForm      = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{1,63}$`)
	countryForm = regexp.MustCompile(`^[A-Z]{2}$`)
)

// Check says what is wrong with a port; nil when nothing is. The error is
// ErrInvalid. An empty size is allowed, as is a zero approach.
func (p Port) Check() error {
	var wrong error
	switch {
	case !idForm.MatchString(string(p.ID)):
		wrong = fmt.Errorf("id %q: want 2 to 64 letters, digits, dots, dashes or underlines", p.ID)
	case strings.TrimSpace(p.Name) == "":
		wrong = errors.New("name: want one")
	case !countryForm.MatchString(p.Country):
		wrong = fmt.Errorf("country %q: want two capital letters of ISO 3166-1", p.Country)
	case !currency.IsValid(string(p.Currency)):
		wrong = fmt.Errorf("currency %q: want a code of ISO 4217", p.Currency)
	case !slices.Contains([]Size{"", NoShop, Village, SmallTown, Town}, p.Size):
		wrong = fmt.Errorf("size %q: want none, village, small_town or town", p.Size)
	default:
		wrong = errors.Join(p.Position.Check(), p.Approach.Check())
	}
	if wrong != nil {
		return fmt.Errorf("%w %s: %w", ErrInvalid, p.ID, wrong)
	}
	return nil
}

// sameNM is how near two ports of one name and country are taken for one.
const sameNM = 3

func (g *Gazetteer) add(p Port) error {
	if err := p.Check(); err != nil {
		return err
	}
	p.ID, p.Zone = g.canonical(p.ID), cmp.Or(p.Zone, p.Country)
	if _, ok := g.byID[p.ID]; ok {
		return fmt.Errorf("add %s: %w: the id is taken", p.ID, ErrDuplicate)
	}
	name := fold(p.Name)
	for i, q := range g.ports {
		if g.names[i][0] == name && q.Country == p.Country && geo.Distance(q.Position, p.Position) < sameNM {
			return fmt.Errorf("add %s: %w: %s is called the same and lies within %d nm", p.ID, ErrDuplicate, q.ID, sameNM)
		}
	}
	names := []string{name}
	for _, o := range p.Others {
		names = append(names, fold(o))
	}
	g.byID[p.ID] = len(g.ports)
	g.ports = append(g.ports, p)
	g.names = append(g.names, names)
	return nil
}

// canonical gives the id as the gazetteer has it when only capitals differ.
func (g *Gazetteer) canonical(id pricing.PortID) pricing.PortID {
	for _, form := range []string{string(id), strings.ToUpper(string(id)), strings.ToLower(string(id))} {
		if _, ok := g.byID[pricing.PortID(form)]; ok {
			return pricing.PortID(form)
		}
	}
	return id
}

// With gives a gazetteer that also has extra. A port whose id, or whose name
// and place, is there already is ErrDuplicate; g stays as it is.
func (g *Gazetteer) With(extra []Port) (*Gazetteer, error) {
	more := &Gazetteer{
		ports: slices.Clone(g.ports),
		byID:  make(map[pricing.PortID]int, len(g.byID)+len(extra)),
		names: slices.Clone(g.names),
	}
	for id, i := range g.byID {
		more.byID[id] = i
	}
	for _, p := range extra {
		if err := more.add(p); err != nil {
			return nil, err
		}
	}
	return more, nil
}

// Port finds a port by its id, capitals or not.
func (g *Gazetteer) Port(id pricing.PortID) (Port, bool) {
	i, ok := g.byID[g.canonical(id)]
	if !ok {
		return Port{}, false
	}
	return g.ports[i], true
}

// All gives every port, those of the seed first, in file order.
func (g *Gazetteer) All() []Port { return slices.Clone(g.ports) }

// Near gives the n ports nearest to a place, nearest first, land or not
// between.
func (g *Gazetteer) Near(at geo.Position, n int) []Port {
	type far struct {
		nm   geo.NauticalMiles
		port int
	}
	all := make([]far, len(g.ports))
	for i, p := range g.ports {
		all[i] = far{geo.Distance(at, p.Position), i}
	}
	slices.SortStableFunc(all, func(a, b far) int { return cmp.Compare(a.nm, b.nm) })
	var out []Port
	for _, f := range all[:max(0, min(n, len(all)))] {
		out = append(out, g.ports[f.port])
	}
	return out
}
