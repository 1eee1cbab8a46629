package exchange

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"

	"hardtack/db"
	"hardtack/pricing"
)

// memory is a Log of the same rules as a database's, fast enough for tens of
// thousands of schedules. The contract suite of db holds the real ones.
type memory struct {
	seq    int64
	rows   []*kept // by arrival
	byID   map[string]*kept
	number map[string]map[int64]*kept
	heads  map[string]db.Head
	peers  map[string]db.Peer
}

type kept struct {
	fed     db.Fed
	carrier string
	chain   int64
}

func newMemory() *memory {
	return &memory{byID: map[string]*kept{}, number: map[string]map[int64]*kept{}, heads: map[string]db.Head{}, peers: map[string]db.Peer{}}
}

// clone is a copy of the whole, as of a file.
func (m *memory) clone() *memory {
	out := newMemory()
	out.seq = m.seq
	maps.Copy(out.heads, m.heads)
	maps.Copy(out.peers, m.peers)
	for _, r := range m.rows {
		k := *r
		out.keep(&k)
	}
	return out
}

func (m *memory) keep(k *kept) {
	m.rows = append(m.rows, k)
	m.byID[k.fed.ID] = k
	if k.fed.Source != "" {
		m.put(k)
	}
}

func (m *memory) put(k *kept) {
	if m.number[k.fed.Source] == nil {
		m.number[k.fed.Source] = map[int64]*kept{}
	}
	m.number[k.fed.Source][k.fed.Number] = k
}

// add is a report entered here.
func (m *memory) add(r pricing.Report) {
	m.seq++
	m.keep(&kept{fed: db.Fed{Record: db.Record{Report: r}, Mark: db.Mark{Seq: m.seq, ID: r.ID}}})
}

func (m *memory) Number(_ context.Context, source string) error {
	for _, k := range m.rows {
		if k.fed.Source == "" {
			h := m.heads[source]
			h.Source = source
			h = h.Next(k.fed.ID)
			k.fed.Source, k.fed.Number, k.chain = source, h.Top, h.Chain
			m.put(k)
			m.heads[source] = h
		}
	}
	return nil
}

func (m *memory) Records(_ context.Context, f db.Feed, after db.Mark, limit int) ([]db.Fed, error) {
	from, _ := slices.BinarySearchFunc(m.rows, after, func(k *kept, a db.Mark) int {
		return cmp.Or(cmp.Compare(k.fed.Mark.Seq, a.Seq), cmp.Compare(k.fed.Mark.ID, a.ID))
	})
	var out []db.Fed
	for _, k := range m.rows[from:] {
		switch {
		case k.fed.Mark == after, f.NotFrom != "" && k.carrier == f.NotFrom, f.Of != "" && k.fed.Source != f.Of,
			len(f.Ports) > 0 && !slices.Contains(f.Ports, k.fed.Port), len(f.Items) > 0 && !slices.Contains(f.Items, k.fed.Item):
			continue
		}
		if out = append(out, k.fed); len(out) == limit {
			break
		}
	}
	return out, nil
}

func (m *memory) End(context.Context) (db.Mark, error) {
	if len(m.rows) == 0 {
		return db.Mark{}, nil
	}
	return m.rows[len(m.rows)-1].fed.Mark, nil
}

func (m *memory) HasMark(_ context.Context, at db.Mark) (bool, error) {
	k := m.byID[at.ID]
	return at == db.Mark{} || k != nil && k.fed.Mark == at, nil
}

func (m *memory) TakeRecords(_ context.Context, rs []db.Record, a db.Arrival) (db.Taken, error) {
	var done db.Taken
	var fresh []*kept
	for _, r := range rs {
		if old := m.byID[r.ID]; old != nil {
			if old.fed.Report == r.Report {
				done.Same++
			} else {
				done.Refused = append(done.Refused, db.Refusal{ID: r.ID, Why: "it is there with other content"})
			}
			continue
		}
		if m.number[r.Source][r.Number] != nil {
			r.Source, r.Number = partedName(r), 1
		}
		k := &kept{fed: db.Fed{Record: r, Mark: db.Mark{Seq: m.seq + 1, ID: r.ID}}, carrier: a.Carrier}
		m.byID[r.ID] = k
		m.put(k)
		fresh = append(fresh, k)
		if r.Day > a.Last {
			done.Late++
		}
	}
	if len(fresh) > 0 {
		m.seq++
		slices.SortFunc(fresh, func(a, b *kept) int { return cmp.Compare(a.fed.ID, b.fed.ID) })
		m.rows = append(m.rows, fresh...)
		for _, k := range fresh {
			m.advance(k.fed.Source)
		}
	}
	done.New = len(fresh)
	if a.Peer.ID != "" {
		m.peers[a.Peer.ID] = a.Peer
	}
	return done, nil
}

func partedName(r db.Record) string {
	return nameOf(ID([]byte(fmt.Sprintf("%.8s%.8s", r.Source, r.ID))))
}

func (m *memory) advance(source string) {
	h := m.heads[source]
	h.Source = source
	for k := m.number[source][h.Top+1]; k != nil; k = m.number[source][h.Top+1] {
		h = h.Next(k.fed.ID)
		k.chain = h.Chain
	}
	m.heads[source] = h
}

func (m *memory) Heads(context.Context) ([]db.Head, error) {
	var out []db.Head
	for _, s := range slices.Sorted(maps.Keys(m.heads)) {
		out = append(out, m.heads[s])
	}
	return out, nil
}

func (m *memory) Head(_ context.Context, source string) (db.Head, error) {
	h := m.heads[source]
	h.Source = source
	return h, nil
}

func (m *memory) ChainAt(_ context.Context, source string, number int64) (int64, error) {
	if k := m.number[source][number]; k != nil {
		return k.chain, nil
	}
	return 0, nil
}

func (m *memory) Peer(_ context.Context, id string) (db.Peer, error) {
	p, ok := m.peers[id]
	if !ok {
		return p, db.ErrNotFound
	}
	return p, nil
}

// facts are all reports as their boats said them.
func (m *memory) facts() []pricing.Report {
	out := make([]pricing.Report, len(m.rows))
	for i, k := range m.rows {
		out[i] = k.fed.Report
	}
	return out
}
