package arrival

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// Text writes the list to hand over and to eat by: what is aboard by verdict,
// then what to eat down, then the stores to seal.
func (l List) Text(w io.Writer) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "STORES TO DECLARE ON ARRIVAL IN %s\n%s\nAsk: %s.\n\n", strings.ToUpper(l.ZoneName), l.Caution, l.Authority)
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	verdict := Verdict("")
	for _, x := range l.Lines {
		if x.Verdict != verdict {
			verdict = x.Verdict
			fmt.Fprintf(t, "%s\n", strings.ToUpper(string(verdict)))
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", x.Name, x.Amount.Format(x.Unit), strings.Join(x.Places, ", "), x.ruleWords())
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if len(l.Lines) == 0 {
		b.WriteString("No food is aboard by the book.\n")
	}
	if len(l.EatDown) > 0 {
		b.WriteString("\nEAT DOWN\n")
	}
	for _, e := range l.EatDown {
		fmt.Fprintf(b, "  %s, %s: %s.\n", e.Name, e.Amount.Format(e.Unit), e.Do)
	}
	fmt.Fprintf(b, "\nSEALED STORES\n")
	for _, s := range l.Sealed.Lines {
		fmt.Fprintf(b, "  %s, %s in %s\n", s.Name, s.Amount.Format(s.Unit), s.Place)
	}
	fmt.Fprintf(b, "  %s\n", l.Sealed.Words)
	_, err := io.WriteString(w, b.String())
	return err
}

// ruleWords is the rule with its source and age.
func (l Line) ruleWords() string {
	if l.Rule.Source == "" {
		return l.Age
	}
	return fmt.Sprintf("%s (%s; %s)", l.Rule.Note, l.Rule.Source, l.Age)
}
