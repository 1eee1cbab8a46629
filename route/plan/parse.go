package plan

import (
	"io"
)

// ParseBrief reads a brief written as JSON and checks it. Unknown, repeated
// and lacking fields are refused with their path. The error is a
// *MalformedError (errors.Is ErrMalformed) naming up to 20 problems, or the
// error of r. null counts as absent.
func ParseBrief(r io.Reader) (Brief, error) {
	var b Brief
	ps, err := readDocument(r, &b)
	if err != nil {
		return Brief{}, err
	}
	b.check(ps)
	if err := ps.malformed("brief"); err != nil {
		return Brief{}, err
	}
	return b, nil
}

// ParsePlan reads a plan written as JSON. It refuses what ParseBrief refuses
// and values no plan may have; whether the plan keeps the rules of a brief is
// for Verify to say.
func ParsePlan(r io.Reader) (Plan, error) {
	var p Plan
	ps, err := readDocument(r, &p)
	if err != nil {
		return Plan{}, err
	}
	p.check(ps)
	if err := ps.malformed("plan"); err != nil {
		return Plan{}, err
	}
	return p, nil
}
