package shopping

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"hardtack/pricing"
)

// ErrTicks marks a text that is not what a carried list hands back.
var ErrTicks = errors.New("no ticks of a list")

// Tick is what was typed about one line of a carried list, right or wrong.
type Tick struct {
	Call  Call
	Item  pricing.ItemID
	Got   bool
	None  bool // not to be had
	Price string
	Pack  string
	Count string
}

// tickColumns are the columns of the text a carried list hands back.
var tickColumns = []string{"call", "item", "got", "none", "price", "pack", "count"}

// maxTicks is more than the lines of a season.
const maxTicks = 20_000

// ReadTicks reads the text a carried list hands back: CSV with the header
// call,item,got,none,price,pack,count. What comes before the header, as mail
// programs put it there, is passed over. The error is ErrTicks and says where.
func ReadTicks(r io.Reader) ([]Tick, error) {
	c := csv.NewReader(r)
	c.FieldsPerRecord, c.TrimLeadingSpace, c.LazyQuotes = -1, true, true
	begun := false
	var out []Tick
	for line := 1; ; line++ {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrTicks, err)
		}
		switch {
		case slices.Equal(row, tickColumns):
			begun = true
		case !begun || len(row) == 1 && strings.TrimSpace(row[0]) == "":
		default:
			t, err := tick(row)
			if err != nil {
				return nil, fmt.Errorf("%w: row %d: %w", ErrTicks, line, err)
			}
			out = append(out, t)
		}
		if len(out) > maxTicks {
			return nil, fmt.Errorf("%w: more than %d rows", ErrTicks, maxTicks)
		}
	}
	if !begun {
		return nil, fmt.Errorf("%w: want a header %s", ErrTicks, strings.Join(tickColumns, ","))
	}
	return out, nil
}

func tick(row []string) (Tick, error) {
	if len(row) != len(tickColumns) {
		return Tick{}, fmt.Errorf("found %d columns, want %d", len(row), len(tickColumns))
	}
	call, err := ParseCall(row[0])
	if err != nil {
		return Tick{}, err
	}
	if row[1] == "" {
		return Tick{}, errors.New("found no item, want one")
	}
	return Tick{
		Call: call, Item: pricing.ItemID(row[1]), Got: row[2] == "1", None: row[3] == "1", Price: row[4], Pack: row[5], Count: row[6],
	}, nil
}
