package db

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"maps"
	"slices"

	"github.com/google/uuid"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Taken is what TakeRecords did.
type Taken struct {
	New, Same int
	Late      int       // of the new ones: dated in the future and read as of Last
	Refused   []Refusal // the others were taken
}

// Refusal is a record that was not taken, and why.
type Refusal struct {
	ID, Why string
}

// Arrival says how records came.
type Arrival struct {
	Carrier string       // the peer or account that brought them
	Last    calendar.Day // the last day that can have come: later ones are read as this one, and kept as said
	Peer    Peer         // kept in the same transaction, unless its ID is empty
}

// TakeRecords adds what other databases know, in one transaction. A record
// that is there already counts as the same, whatever number it comes with; an
// id that is there with other content is refused by name, and the others are
// taken. The order of arrival never matters.
func (d *DB) TakeRecords(ctx context.Context, rs []Record, a Arrival) (Taken, error) {
	var done Taken
	err := d.write(ctx, func(t writeTx) error {
		done = Taken{}
		if err := t.take(ctx, rs, a, &done); err != nil {
			return err
		}
		if a.Peer.ID == "" {
			return nil
		}
		return t.putPeer(ctx, a.Peer)
	})
	if err != nil {
		return Taken{}, fmt.Errorf("take records: %w", err)
	}
	return done, nil
}

func (t writeTx) take(ctx context.Context, rs []Record, a Arrival, done *Taken) error {
	there, err := t.saidByID(ctx, rs)
	if err != nil {
		return err
	}
	var fresh []Record
	for _, r := range rs {
		old, ok := there[r.ID]
		err := checkReport(r.Report)
		switch {
		case err != nil || r.Source == "" || r.Number < 1:
			done.Refused = append(done.Refused, Refusal{r.ID, "it cannot be kept"})
		case ok && old == r.Report:
			done.Same++
		case ok:
			done.Refused = append(done.Refused, Refusal{r.ID, "it is there with other content"})
		default:
			there[r.ID] = r.Report
			fresh = append(fresh, r)
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	done.New = len(fresh)
	return t.insertRecords(ctx, fresh, a, done)
}

func (t writeTx) insertRecords(ctx context.Context, fresh []Record, a Arrival, done *Taken) error {
	taken, err := t.numbersTaken(ctx, fresh)
	if err != nil {
		return err
	}
	reports, bySource := make([]pricing.Report, len(fresh)), map[string][]arrived{}
	for i, r := range fresh {
		day, said := clamped(r.Day, a.Last)
		if said != "" {
			done.Late++
		}
		if taken[numbered{r.Source, r.Number}] {
			r = parted(r)
		}
		taken[numbered{r.Source, r.Number}] = true
		bySource[r.Source] = append(bySource[r.Source], arrived{number: r.Number, id: r.ID, said: said})
		reports[i] = r.Report
		reports[i].Day = day
	}
	if err := t.insertReports(ctx, reports); err != nil {
		return err
	}
	return t.chain(ctx, bySource, a.Carrier)
}

// chain keeps which records came, and moves their sources' heads.
func (t writeTx) chain(ctx context.Context, bySource map[string][]arrived, carrier string) error {
	var rows []row
	heads := make([]Head, 0, len(bySource))
	for _, source := range slices.Sorted(maps.Keys(bySource)) {
		rs := bySource[source]
		slices.SortFunc(rs, func(a, b arrived) int { return cmp.Compare(a.number, b.number) })
		h, err := headOf(ctx, t.QueryRowContext, source)
		if err != nil {
			return err
		}
		heads = append(heads, chained(h, rs))
		for _, r := range rs {
			rows = append(rows, row{source, r.number, r.id, r.chain, r.said, carrier})
		}
	}
	if err := t.bulk(ctx, recordTable, rows); err != nil {
		return err
	}
	for _, h := range heads {
		h, err := t.advance(ctx, h)
		if err != nil {
			return err
		}
		if h.Top == 0 {
			continue // its first is not here yet
		}
		if err := t.setHead(ctx, h); err != nil {
			return err
		}
	}
	return nil
}

type numbered struct {
	source string
	number int64
}

// parted is a record of a database that goes by the name of another one and
// parted ways with it: it gets a source of its own, the same everywhere.
func parted(r Record) Record {
	name := uuid.NewSHA1(uuid.NameSpaceOID, []byte("parted "+r.Source+" "+r.ID))
	return Record{Report: r.Report, Source: name.String(), Number: 1}
}

func (t writeTx) numbersTaken(ctx context.Context, rs []Record) (map[numbered]bool, error) {
	bySource := map[string][]any{}
	for _, r := range rs {
		bySource[r.Source] = append(bySource[r.Source], r.Number)
	}
	out := map[numbered]bool{}
	for source, numbers := range bySource {
		for len(numbers) > 0 {
			n := min(len(numbers), idsAtOnce)
			err := t.eachNumber(ctx, source, numbers[:n], out)
			if err != nil {
				return nil, err
			}
			numbers = numbers[n:]
		}
	}
	return out, nil
}

func (t writeTx) eachNumber(ctx context.Context, source string, numbers []any, out map[numbered]bool) error {
	rows, err := t.QueryContext(ctx, `SELECT number FROM record WHERE source = $1 AND number IN (`+places(2, len(numbers))+`)`,
		append([]any{source}, numbers...)...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var n int64
		if err := rows.Scan(&n); err != nil {
			return err
		}
		out[numbered{source, n}] = true
	}
	return rows.Err()
}

// saidByID are those of the records that are there, as their boats said them.
func (t writeTx) saidByID(ctx context.Context, rs []Record) (map[string]pricing.Report, error) {
	ids := make([]string, len(rs))
	for i, r := range rs {
		ids[i] = r.ID
	}
	there, err := reportsByID(ctx, t.Tx, ids)
	if err != nil || len(there) == 0 {
		return there, err
	}
	rows, err := t.QueryContext(ctx, `SELECT report, said FROM record WHERE said <> ''`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	return there, asSaid(rows, there)
}

func asSaid(rows *sql.Rows, there map[string]pricing.Report) error {
	for rows.Next() {
		var id, said string
		if err := rows.Scan(&id, &said); err != nil {
			return err
		}
		if r, ok := there[id]; ok {
			day, err := calendar.Parse(said)
			if err != nil {
				return err
			}
			r.Day = day
			there[id] = r
		}
	}
	return rows.Err()
}
