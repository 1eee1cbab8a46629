package scale

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// WriteText prints the list to be ticked off by hand, about 100 columns wide.
func (r Result) WriteText(w io.Writer) error {
	var b strings.Builder
	r.head(&b)
	for _, when := range []When{WeeksAhead, LastDays, LastMorning} {
		r.section(&b, when)
	}
	r.aboard(&b)
	r.calendar(&b)
	b.WriteString("\nNOTES\n")
	for _, n := range r.Notes {
		b.WriteString(wrap("- "+n.String(), "  "))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (r Result) head(b *strings.Builder) {
	t := r.For
	fmt.Fprintf(b, "Stores for %s people, %s days", number(t.People), number(t.Days))
	if t.Reserve > 0 {
		fmt.Fprintf(b, " and %s in reserve", number(t.Reserve))
	}
	from := "the catalogue's own starting list (judgement of the trade)"
	if r.From.Own {
		from = fmt.Sprintf("a list for %s people and %s days", number(r.From.People), number(r.From.Days))
	}
	fmt.Fprintf(b, "\nfrom %s\n%s, %s, lockers taken as %s °C\n", from, cold("fridge", t.Fridge), cold("freezer", t.Freezer), number(t.lockers()))
	fmt.Fprintf(b, "%.0f kcal, %.1f L of water and %.0f g of gas per person and day\nto carry: %.0f kg, %.0f L of room, tank water apart\n",
		r.Kcal, r.WaterL, r.GasKg*1000, r.Kg, r.Litres)
}

func cold(what string, litres float64) string {
	if litres == 0 {
		return "no " + what
	}
	return fmt.Sprintf("%s of %s L", what, number(litres))
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func (r Result) section(b *strings.Builder, when When) {
	stage := Stage("")
	for _, w := range r.Wants {
		if w.When != when || w.Buy == 0 {
			continue
		}
		if stage == "" {
			fmt.Fprintf(b, "\nBUY %s\n", strings.ToUpper(string(when)))
		}
		if w.Stage != stage && w.Stage != Keeps {
			fmt.Fprintf(b, "  %s\n", w.Stage)
		}
		if w.Stage != stage && w.Stage == Keeps && stage != "" {
			b.WriteString("  keeps\n")
		}
		stage = w.Stage
		w.write(b)
	}
}

func (w Want) write(b *strings.Builder) {
	var packs []string
	for _, p := range w.Packs {
		packs = append(packs, p.String())
	}
	remark := string(w.Place)
	if w.EatBy > 0 {
		remark += fmt.Sprintf(", eat by day %d", w.EatBy)
	}
	if w.Instead {
		remark += ", instead of fresh"
	}
	fmt.Fprintf(b, "  [ ] %s %s %s\n", pad(w.Name, 36), long(strings.Join(packs, " + "), 28), remark)
	if w.Hint != "" {
		b.WriteString(wrap("        "+w.Hint, "        "))
	}
}

func (r Result) aboard(b *strings.Builder) {
	head := false
	for _, w := range r.Wants {
		if w.Aboard == 0 {
			continue
		}
		if !head {
			b.WriteString("\nABOARD ALREADY, AND USED\n")
			head = true
		}
		fmt.Fprintf(b, "      %s %s\n", pad(w.Name, 36), w.Aboard.Format(w.Unit))
	}
}

// calendar says in which order to eat.
func (r Result) calendar(b *strings.Builder) {
	b.WriteString("\nEAT\n")
	for _, s := range []struct {
		title    string
		from, to int
	}{{"first, by day 4", 1, 4}, {"by day 7", 5, 7}, {"by day 14", 8, 14}, {"after that, before they spoil", 15, 1 << 30}} {
		var names []string
		for _, w := range r.Wants {
			if w.EatBy >= s.from && w.EatBy <= s.to {
				names = append(names, strings.ToLower(w.Name))
			}
		}
		if len(names) > 0 {
			b.WriteString(wrap("  "+s.title+": "+strings.Join(names, "; "), "    "))
		}
	}
	b.WriteString("  the rest keeps to the end\n")
}

// String is "2 x 1 kg bag", "500 g pack", "3 times 6 x 330 ml".
func (p Packs) String() string {
	switch {
	case p.Count == 1:
		return p.Label
	case strings.Contains(p.Label, " x "):
		return fmt.Sprintf("%d times %s", p.Count, p.Label)
	}
	return fmt.Sprintf("%d x %s", p.Count, p.Label)
}

// long fills up to width and cuts nothing: an amount must be read whole.
func long(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
}

func pad(s string, width int) string {
	n := utf8.RuneCountInString(s)
	if n > width {
		return string([]rune(s)[:width-1]) + "…"
	}
	return s + strings.Repeat(" ", width-n)
}

const columns = 98

// wrap breaks a paragraph at columns; what follows begins with indent.
func wrap(text, indent string) string {
	var b strings.Builder
	line := ""
	for k, w := range strings.Split(text, " ") {
		if k > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(w) > columns {
			b.WriteString(line + "\n")
			line = indent + w
			continue
		}
		if k > 0 {
			line += " "
		}
		line += w
	}
	return b.String() + line + "\n"
}
