package web

import (
	"io"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/measure"
)

// views are the struct of each page.
var views = map[string]view{
	"start": &startPage{}, "underway": &underwayPage{}, "edit": &editPage{}, "ashore": &ashorePage{}, "aisles": &aislesPage{},
	"boat": &boatPage{}, "papers": &papersPage{}, "sheet": &sheetPage{}, "first": &firstPage{},
	"need": &needPage{}, "risk": &riskPage{}, "fed": &fedPage{}, "report": &reportPage{}, "asked": &askedPage{}, "chart": &chartPage{}, "import": &importPage{},
	"prices": &pricesPage{}, "cell": &cellPage{}, "ahead": &aheadPage{}, "shop": &shopPage{}, "receipt": &receiptPage{}, "season": &seasonPage{}, "prefs": &prefsPage{}, "problem": &problemPage{},
	"lockers": &lockersPage{}, "lot": &lotPage{}, "come": &comePage{}, "locker_edit": &lockerEditPage{}, "stow": &stowPage{}, "count": &countPage{},
	"used": &usedPage{}, "fridge": &fridgePage{}, "border": &borderPage{}, "pests": &pestsPage{}, "tanks": &tanksPage{}, "meals": &mealsPage{},
	"log": &logPage{}, "lookback": &lookbackPage{},
}

// Every template is run with its struct, all of whose lists have one entry and
// whose switches are on, then with all of them empty.
func TestTemplatesFitTheirPages(t *testing.T) {
	t.Parallel()
	shown := loadTemplates(loadAssets(), nil)
	require.Len(t, views, len(shown.pages), "every page has its struct here")
	for name, v := range views {
		for _, full := range []bool{true, false} {
			fresh := reflect.New(reflect.TypeOf(v).Elem())
			if full {
				fill(fresh.Elem(), 0)
			}
			page := fresh.Interface().(view)
			*page.frame() = Frame{Words: shown.words["en"], Prefs: Prefs{Look: "light", Lang: "en", Units: "metric"}, Voyage: "v", Invented: full}
			require.NoError(t, shown.pages[name].ExecuteTemplate(io.Discard, "layout", page), "%s", name)
		}
	}
}

func fill(v reflect.Value, deep int) {
	if deep > 6 || !v.CanSet() {
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Name != "Frame" {
				fill(v.Field(i), deep+1)
			}
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), deep+1)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), deep+1)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.String:
		v.SetString("x")
	case reflect.Int, reflect.Int64:
		v.SetInt(1)
	case reflect.Float64:
		v.SetFloat(1.5)
	}
}

// Pounds and gallons by the published definitions, see render.go.
func TestAmountsInTheReadersUnits(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		units string
		comma bool
		x     float64
		u     measure.Unit
		want  string
	}{
		{"metric", false, 2.5, measure.Kilogram, "2.5 kg"},
		{"metric", true, 2.5, measure.Kilogram, "2,5 kg"},
		{"metric", false, 0.25, measure.Kilogram, "250 g"},
		{"metric", false, 0.33, measure.Litre, "330 ml"},
		{"us", false, 0.45359237, measure.Kilogram, "1 lb"},
		{"us", false, 3.785411784, measure.Litre, "1 US gal"},
		{"us", false, 3.785411784 / 2, measure.Litre, "64 US fl oz"},
		{"imp", false, 4.54609, measure.Litre, "1 imp gal"},
		{"imp", false, 0.45359237 / 2, measure.Kilogram, "8 oz"},
		{"us", true, 6.5, measure.Each, "6,5"},
		{"metric", false, 0, measure.Kilogram, "0 kg"},
	} {
		f := Frame{Prefs: Prefs{Units: tt.units, Comma: tt.comma}}
		require.Equal(t, tt.want, f.Much(tt.x, tt.u), "%+v", tt)
	}
}
