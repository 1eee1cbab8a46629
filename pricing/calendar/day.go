// Package calendar has the civil day, the only time a price report or a
// voyage date carries. Finer times would give a boat's position away.
package calendar

import (
	"fmt"
	"time"
)

// Day counts civil days since 1970-01-01. The zero Day means "no day given":
// nothing this program knows happened on 1970-01-01.
type Day int32

const layout = time.DateOnly

// Parse reads YYYY-MM-DD. An empty string is an error; callers that allow a
// missing day test for it first.
func Parse(s string) (Day, error) {
	t, err := time.Parse(layout, s)
	if err != nil {
		return 0, fmt.Errorf("parse day %q: want YYYY-MM-DD", s)
	}
	return Of(t), nil
}

// Of gives the UTC day of t.
func Of(t time.Time) Day {
	t = t.UTC()
	midnight := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	return Day(midnight.Unix() / 86400)
}

// Time is midnight UTC at the beginning of d.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// Month is the first day of d's month.
func (d Day) Month() Day {
	t := d.Time()
	return Of(time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC))
}

// IsZero says that no day was given.
func (d Day) IsZero() bool { return d == 0 }

// String is YYYY-MM-DD, or nothing when no day was given.
func (d Day) String() string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format(layout)
}

// MarshalText implements encoding.TextMarshaler.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText implements encoding.TextUnmarshaler; empty text is no day.
func (d *Day) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*d = 0
		return nil
	}
	v, err := Parse(string(b))
	*d = v
	return err
}
