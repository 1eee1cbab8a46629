package measure

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ErrPack says that a text is no amount of the unit asked for.
var ErrPack = errors.New("not an amount")

// wants is what an amount of each unit may look like, for messages.
var wants = map[Unit]string{
	Kilogram: "g, kg, oz or lb, such as 500 g or 6 x 250 g",
	Litre:    "ml, cl, l, or US or imp gal, qt, pt, fl oz, such as 1.5 l or 12 x 330 ml",
	Each:     "pieces, such as 6, dozen or pack of 12",
}

// Wants says in words which amounts ParsePack takes for u.
func Wants(u Unit) string { return wants[u] }

// scaled is a unit people write: its unit of ours and how many of those it is.
type scaled struct {
	unit Unit
	size float64
}

// units by the words for them. Mass and volume by the international pound of
// 1959 (0.45359237 kg), the imperial gallon (4.54609 L, UK Units of
// Measurement Regulations 1995) and the US gallon (231 cubic inches,
// 3.785411784 L, NIST Handbook 44 app. C).
var units = named()

func named() map[string]scaled {
	out := map[string]scaled{}
	for names, s := range map[string]scaled{
		"mg":                                   {Kilogram, 1e-6},
		"g gr gm gram grams gramme grammes":    {Kilogram, 1e-3},
		"kg kgs kilo kilos kilogram kilograms": {Kilogram, 1},
		"oz ounce ounces":                      {Kilogram, 0.45359237 / 16},
		"lb lbs pound pounds":                  {Kilogram, 0.45359237},
		"ml millilitre millilitres milliliter milliliters cc": {Litre, 1e-3},
		"cl centilitre centilitres":                           {Litre, 1e-2},
		"dl decilitre decilitres":                             {Litre, 1e-1},
		"l lt ltr litre litres liter liters":                  {Litre, 1},
		"piece pieces pc pcs each ea unit units pack packs":   {Each, 1},
		"dozen doz dz dozens":                                 {Each, 12},
	} {
		for name := range strings.FieldsSeq(names) {
			out[name] = s
		}
	}
	for names, perGallon := range map[string]float64{
		"gal gals gallon gallons": 1, "qt qts quart quarts": 4, "pt pts pint pints": 8,
	} {
		for name := range strings.FieldsSeq(names) {
			out["us "+name] = scaled{Litre, 3.785411784 / perGallon}
			out["imp "+name] = scaled{Litre, 4.54609 / perGallon}
		}
	}
	for _, name := range []string{"fl oz", "floz"} {
		out["us "+name] = scaled{Litre, 3.785411784 / 128}
		out["imp "+name] = scaled{Litre, 4.54609 / 160}
	}
	return out
}

// ParsePack reads an amount of something counted in u, as people write it:
// "500 g", "1,5 l", "12 x 330 ml", "2 lb", "1 US gal", "half dozen", "6",
// "pack of 12". Pieces may go without a unit, mass and volume not; gallons,
// quarts, pints and fluid ounces must say whether US or imp, for these differ
// by a fifth. The error is ErrPack and says what was expected.
func ParsePack(text string, u Unit) (Quantity, error) {
	x, err := parse(clean(text), u, 3)
	if err != nil {
		return 0, fmt.Errorf("amount %q: %w: want %s", text, err, wants[u])
	}
	x = math.Round(x * float64(One))
	if !(x >= 1) || x > maxQuantity {
		return 0, fmt.Errorf("amount %q: %w: want more than 0 and less than a thousand million", text, ErrPack)
	}
	return Quantity(x), nil
}

// maxQuantity is far above all that is sold and exact as a float64.
const maxQuantity = 1e15

func clean(text string) string {
	text = strings.ToLower(text)
	text = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "×", "x", "*", "x", "(", " ", ")", " ", "u.s.", "us", "half a dozen", "half dozen").Replace(text)
	return strings.Join(strings.Fields(text), " ")
}

// parse reads "n x rest", "pack of rest", or a number with a unit; deep bounds
// how many times an amount may hold another.
func parse(text string, u Unit, deep int) (float64, error) {
	number, rest := leading(text)
	switch {
	case deep == 0:
		return 0, fmt.Errorf("%w: too many packs in packs", ErrPack)
	case strings.Trim(text, "-. ") == "":
		return 0, fmt.Errorf("%w: nothing", ErrPack)
	case number == "":
		if _, inner, ok := strings.Cut(text, " of "); ok {
			return parse(inner, u, deep-1)
		}
		return measured(1, text, u)
	}
	n, err := decimal(number)
	if err != nil {
		return 0, err
	}
	if inner, ok := strings.CutPrefix(rest, "x"); ok {
		x, err := parse(strings.TrimSpace(inner), u, deep-1)
		return n * x, err
	}
	if n == 0 {
		return 0, fmt.Errorf("%w: nothing", ErrPack)
	}
	return measured(n, rest, u)
}

// leading splits a number off the front.
func leading(text string) (number, rest string) {
	end := strings.IndexFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' })
	if end < 0 {
		return text, ""
	}
	return text[:end], strings.TrimSpace(text[end:])
}

func decimal(s string) (float64, error) {
	if whole, frac, ok := strings.Cut(s, ","); ok {
		if len(frac) == 3 && whole != "0" {
			return 0, fmt.Errorf("%w: %q may be a thousand or a decimal", ErrPack, s)
		}
		s = whole + "." + frac
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || s[0] == '.' || s[len(s)-1] == '.' {
		return 0, fmt.Errorf("%w: no number in %q", ErrPack, s)
	}
	return x, nil
}

// measured is n of the unit named, in u.
func measured(n float64, name string, u Unit) (float64, error) {
	name = strings.Trim(name, "-. ")
	if half, ok := strings.CutPrefix(name, "half "); ok {
		n, name = n/2, half
	}
	if name == "" && u == Each {
		return n, nil
	}
	s, ok := units[system(name)]
	switch _, ambiguous := units["us "+name]; {
	case ambiguous:
		return 0, fmt.Errorf("%w: say US %s or imp %s", ErrPack, name, name)
	case !ok && name == "":
		return 0, fmt.Errorf("%w: no unit", ErrPack)
	case !ok:
		return 0, fmt.Errorf("%w: unknown unit %q", ErrPack, name)
	case s.unit != u:
		return 0, fmt.Errorf("%w of the right kind: %q", ErrPack, name)
	}
	return n * s.size, nil
}

// system puts US or imp before the unit, wherever it was said.
func system(name string) string {
	words := strings.Fields(name)
	said, rest := "", words[:0]
	for _, w := range words {
		switch w {
		case "us":
			said = "us "
		case "imp", "imperial", "uk":
			said = "imp "
		default:
			rest = append(rest, strings.Trim(w, "."))
		}
	}
	return said + strings.Join(rest, " ")
}
