package plan

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
)

// WriteLP writes the brief's exact model in the CPLEX LP format, so that any
// mixed-integer solver can be asked for a second opinion. The head maps the
// short names to ids. The error is that of b.Check or of w.
func WriteLP(w io.Writer, b Brief) error {
	if err := b.Check(); err != nil {
		return fmt.Errorf("write LP: %w", err)
	}
	m := newModel(b)
	out := bufio.NewWriter(w)
	m.head(out, `\`)
	fmt.Fprint(out, "Minimize\n total:")
	m.linear(out, m.costs())
	fmt.Fprint(out, "\nSubject To\n")
	senses := map[byte]string{'L': "<=", 'G': ">=", 'E': "="}
	for _, r := range m.rows {
		fmt.Fprintf(out, " %s:", r.name)
		m.linear(out, r.terms)
		fmt.Fprintf(out, " %s %s\n", senses[r.sense], number(r.right))
	}
	m.boundsLP(out)
	fmt.Fprint(out, "End\n")
	if err := out.Flush(); err != nil {
		return fmt.Errorf("write LP: %w", err)
	}
	return nil
}

// WriteMPS writes the same model in free MPS format, like WriteLP.
func WriteMPS(w io.Writer, b Brief) error {
	if err := b.Check(); err != nil {
		return fmt.Errorf("write MPS: %w", err)
	}
	m := newModel(b)
	out := bufio.NewWriter(w)
	m.head(out, "*")
	fmt.Fprint(out, "NAME brief FREE\nROWS\n N total\n")
	for _, r := range m.rows {
		fmt.Fprintf(out, " %c %s\n", r.sense, r.name)
	}
	m.columnsMPS(out)
	fmt.Fprint(out, "RHS\n")
	for _, r := range m.rows {
		if r.right != 0 {
			fmt.Fprintf(out, " rhs %s %s\n", r.name, number(r.right))
		}
	}
	m.boundsMPS(out)
	fmt.Fprint(out, "ENDATA\n")
	if err := out.Flush(); err != nil {
		return fmt.Errorf("write MPS: %w", err)
	}
	return nil
}

// legend explains the columns to who reads the file alone.
var legend = []string{
	"Brief as a mixed-integer program: minimise the total cost of a plan.",
	"s stop, l leg, y stay, d departure, o offer, k keeps of the item, a lot held on day 0.",
	"buy packs; port eaten in the stay of purchase; held aboard after a departure; draw eaten from aboard;",
	"line carried away or not; trips; unmet use and lack of reserve, in need-units; the rest in item-units.",
}

func (m *milp) head(out *bufio.Writer, comment string) {
	for _, note := range legend {
		fmt.Fprintf(out, "%s %s\n", comment, note)
	}
	for _, note := range m.notes {
		// Quoted, so no id can end the comment.
		fmt.Fprintf(out, "%s %s\n", comment, note)
	}
}

func (m *milp) costs() []milpTerm {
	var terms []milpTerm
	for c, column := range m.columns {
		if column.cost != 0 {
			terms = append(terms, milpTerm{c, column.cost})
		}
	}
	if len(terms) == 0 {
		terms = []milpTerm{{0, 0}} // an objective without terms is no LP file
	}
	return terms
}

// linear writes terms, a few to a line: some readers take no long lines.
func (m *milp) linear(out *bufio.Writer, terms []milpTerm) {
	for i, t := range terms {
		if i%8 == 7 {
			fmt.Fprint(out, "\n  ")
		}
		sign := "+"
		if t.factor < 0 {
			sign = "-"
		}
		fmt.Fprintf(out, " %s %s %s", sign, number(math.Abs(t.factor)), m.columns[t.column].name)
	}
}

func (m *milp) boundsLP(out *bufio.Writer) {
	fmt.Fprint(out, "Bounds\n")
	for _, c := range m.columns {
		switch {
		case !math.IsInf(c.upper, 1):
			fmt.Fprintf(out, " %s <= %s <= %s\n", number(c.lower), c.name, number(c.upper))
		case c.whole:
			fmt.Fprintf(out, " %s >= %s\n", c.name, number(c.lower))
		}
	}
	fmt.Fprint(out, "Generals\n")
	for _, c := range m.columns {
		if c.whole {
			fmt.Fprintf(out, " %s\n", c.name)
		}
	}
}

func (m *milp) columnsMPS(out *bufio.Writer) {
	terms := make([][]string, len(m.columns))
	for _, r := range m.rows {
		for _, t := range r.terms {
			terms[t.column] = append(terms[t.column], r.name+" "+number(t.factor))
		}
	}
	fmt.Fprint(out, "COLUMNS\n")
	for i, c := range m.columns {
		if c.whole {
			fmt.Fprintf(out, " MARK%d 'MARKER' 'INTORG'\n", i)
		}
		fmt.Fprintf(out, " %s total %s\n", c.name, number(c.cost))
		for _, t := range terms[i] {
			fmt.Fprintf(out, " %s %s\n", c.name, t)
		}
		if c.whole {
			fmt.Fprintf(out, " MARK%d 'MARKER' 'INTEND'\n", i)
		}
	}
}

func (m *milp) boundsMPS(out *bufio.Writer) {
	fmt.Fprint(out, "BOUNDS\n")
	for _, c := range m.columns {
		if c.lower > 0 {
			fmt.Fprintf(out, " LO bnd %s %s\n", c.name, number(c.lower))
		}
		switch {
		case !math.IsInf(c.upper, 1):
			fmt.Fprintf(out, " UP bnd %s %s\n", c.name, number(c.upper))
		case c.whole: // without this some readers take whole columns for 0 or 1
			fmt.Fprintf(out, " PL bnd %s\n", c.name)
		}
	}
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
