package shopping

import (
	"fmt"
	"strings"

	"hardtack/pricing"
	"hardtack/pricing/calendar"
)

// Call is which list is meant, whatever becomes of the stops before it: the
// port and the day of arrival.
type Call struct {
	Port   pricing.PortID `json:"port"`
	Arrive calendar.Day   `json:"arrive"`
}

// Call says which list it is.
func (l List) Call() Call { return Call{l.Port, l.Arrive} }

// String is the call in one word, as ParseCall reads it.
func (c Call) String() string { return string(c.Port) + "@" + c.Arrive.String() }

// ParseCall reads a call such as ESLPA@2026-09-19.
func ParseCall(text string) (Call, error) {
	id, day, ok := strings.Cut(text, "@")
	arrive, err := calendar.Parse(day)
	if !ok || id == "" || err != nil {
		return Call{}, fmt.Errorf("found %q, want a port and a day, such as ESLPA@2026-09-19", text)
	}
	return Call{pricing.PortID(id), arrive}, nil
}
