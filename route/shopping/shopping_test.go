package shopping

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/measure"
	"hardtack/pricing/wording"
	"hardtack/route/plan"
	"hardtack/route/vessel"
)

var plain = speech{wording.English()}

func lineOf(t *testing.T, l List, id pricing.ItemID) Line {
	t.Helper()
	for _, x := range l.Lines {
		if x.Item == id {
			return x
		}
	}
	require.Fail(t, "no such line", "%s", id)
	return Line{}
}

func TestLineJoinsPacksOfOneItem(t *testing.T) {
	t.Parallel()
	l := FromPlan(passage(t)).Lists[0]
	rice := lineOf(t, l, "rice_white")
	require.Equal(t, []Packs{{2, measure.One, "1 kg bag"}, {1, measure.One / 2, "500 g"}}, rice.Packs)
	require.InDelta(t, 2.5, rice.Amount, 1e-9)      // 2 × 1 + 0.5
	require.InDelta(t, 5.2, rice.Home.Expect, 1e-9) // 2 × 2 + 1.2
	require.InDelta(t, 4.0, rice.Home.Low, 1e-9)    // 2 × 1.5 + 1
	require.InDelta(t, 6.5, rice.Home.High, 1e-9)   // 2 × 2.5 + 1.5
	require.InDelta(t, 1.0, rice.EatHere, 1e-9)     // eaten in port
	require.InDelta(t, 1.5*1.02, rice.Kg, 1e-9)     // what is stowed
	require.Zero(t, rice.Spare)                     // 1 + 1.5 is all of it
	require.Equal(t, start+12, rice.EatenBy)        // leg 0 ends on day 12
	require.Equal(t, start-20, rice.Newest)         // the newest report of any pack
	require.Len(t, rice.Stow, 1)                    // both packs in one space
	require.InDelta(t, 1.95, rice.Stow[0].Litres, 1e-9)
	require.Equal(t, []string{"port", "starboard"}, rice.Stow[0].Of)
}

func TestOrderOfBuying(t *testing.T) {
	t.Parallel()
	var got []string
	for _, x := range FromPlan(passage(t)).Lists[0].Lines {
		got = append(got, string(x.When)+" "+string(x.Item))
	}
	require.Equal(t, []string{
		"any day rice_white", "any day water_tank", "last days egg_unwashed", "last morning lettuce",
	}, got)
}

func TestEatenInPortIsBoughtAsYouGo(t *testing.T) {
	t.Parallel()
	in := passage(t)
	in.Plan.Purchases[3].Stowed = nil // the lettuce
	x := lineOf(t, FromPlan(in).Lists[0], "lettuce")
	require.Equal(t, AsYouGo, x.When)
	require.Empty(t, x.Handle)
}

func TestSpareIsSaid(t *testing.T) {
	t.Parallel()
	x := lineOf(t, FromPlan(passage(t)).Lists[0], "lettuce")
	require.InDelta(t, 0.2, x.Spare, 1e-9) // 1 bought, 0.2 eaten in port, 0.6 stowed
	require.True(t, x.Guess)
}

// Cheapest first, only what keeps as long, never the item itself.
func TestInstead(t *testing.T) {
	t.Parallel()
	lists := FromPlan(passage(t)).Lists
	got := lineOf(t, lists[0], "rice_white").Instead
	require.Len(t, got, 1, "bread is cheaper but does not last to day 12")
	require.Equal(t, pricing.ItemID("pasta_short"), got[0].Item)
	require.Equal(t, Packs{5, measure.One / 2, "500 g"}, got[0].Packs, "2.5 kg for rice")
	require.InDelta(t, 4.5, got[0].Home, 1e-9)
}

func TestCashIsInThePortsCurrency(t *testing.T) {
	t.Parallel()
	lists := FromPlan(passage(t)).Lists
	require.Equal(t, "CVE", string(lists[1].Currency))
	require.InDelta(t, 330.8, lists[1].Cash.Expect, 1e-9) // the eggs have no local price
	require.Contains(t, text(t, lists[1]), "Money to take: about 335 CVE, to be safe 445 CVE")
	require.NotContains(t, text(t, lists[0]), "Money to take", "home money needs no exchange")
}

// One line alone keeps its interval; many lines together are surer than the
// sum of their intervals and less sure than if they erred apart.
func TestTotal(t *testing.T) {
	t.Parallel()
	one := Range{10, 8, 13}
	got := total([]Range{one})
	require.InDelta(t, 8, got.Low, 1e-9)
	require.InDelta(t, 13, got.High, 1e-9)
	four := total([]Range{one, one, one, one})
	require.Equal(t, 40.0, four.Expect)
	require.Less(t, four.High, 40+4*3.0)
	require.Greater(t, four.High, 40+2*3.0) // √4 × 3 were they independent
	require.InDelta(t, 40+math.Sqrt(0.25*144+0.75*36), four.High, 1e-9)
}

func TestEatDownFollowsWhatIsAboard(t *testing.T) {
	t.Parallel()
	lists := FromPlan(passage(t)).Lists
	require.Len(t, lists[0].EatDown, 1)
	e := lists[0].EatDown[0]
	require.True(t, e.BySwitch)
	require.Len(t, e.Goods, 1)
	require.InDelta(t, 15, e.Goods[0].Aboard, 1e-9) // 3 held + 12 bought
	require.InDelta(t, 8, e.Goods[0].Left, 1e-9)    // 7 eaten on the leg
	require.Empty(t, lists[1].EatDown, "the village lies in the same country")
	out := text(t, lists[0])
	require.Contains(t, out, "Eat up before you arrive in Mindelo")
	require.Contains(t, out, "no rule known here")
	require.Contains(t, strings.Join(strings.Fields(out), " "), plain.Word("rule.advice"))
}

func TestAboardLeavesOutWhatWasTaken(t *testing.T) {
	t.Parallel()
	in := passage(t)
	eggs := in.Brief.Needs[1].Items[0]
	sailing, arriving := aboard(in.Brief, in.Plan, eggs, 1)
	require.InDelta(t, 2, sailing, 1e-9, "only the two bought after the border")
	require.InDelta(t, 0, arriving, 1e-9)
}

func TestWaterAndGasArePrintedWithTheLeg(t *testing.T) {
	t.Parallel()
	l := FromPlan(passage(t)).Lists[0]
	require.Len(t, l.Lasts, 1)
	require.InDelta(t, 95.0/6, l.Lasts[0].Lasts, 1e-9) // 95 L at a ration of 6
	require.True(t, l.Lasts[0].Enough)                 // 15 days for a long passage of 9
	require.Contains(t, text(t, l), "last 15 days")
}

func TestLabelsAreReadForThoseWhoMustNot(t *testing.T) {
	t.Parallel()
	lists := FromPlan(passage(t)).Lists
	require.Equal(t, []Label{{"Bo", []string{"gluten"}}}, lineOf(t, lists[0], "rice_white").Labels)
	require.Contains(t, text(t, lists[0]), "read the label for Bo")
	require.Empty(t, lineOf(t, lists[0], "lettuce").Labels)
}

// Who is not aboard while it is eaten needs no label read.
func TestLabelsAreForThoseAboard(t *testing.T) {
	t.Parallel()
	in := passage(t)
	in.Crew.Persons[1].Aboard = []vessel.Span{{From: start + 30}}
	require.Empty(t, lineOf(t, FromPlan(in).Lists[0], "rice_white").Labels)
}

func TestMayHold(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, word, category, class string
		kcal                        float64
		want                        bool
	}{
		{"traces of an allergen in anything packed", "gluten", "staple", "dry", 100, true},
		{"a strict diet reads all labels", "coeliac", "fat", "dry", 100, true},
		{"oil breaks no diet of taste", "pescatarian", "fat", "dry", 100, false},
		{"sausage may hold pork", "pork", "meat", "chill", 100, true},
		{"peas in a tin are peas", "vegetarian", "tin", "can", 100, false},
		{"a tomato holds a tomato", "nut-free", "fresh veg", "prod", 100, false},
		{"soap is not eaten", "vegan", "household", "nonfood", 0, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Equal(t, tt.want, mayHold(item.Item{Category: tt.category, ShelfClass: tt.class, Kcal: tt.kcal}, tt.word))
		})
	}
}

func TestBreadForTheFreezerIsBoughtLast(t *testing.T) {
	t.Parallel()
	bread := item.Item{ShelfClass: "bread"}
	require.Equal(t, LastMorning, whenToBuy(bread, []Stow{{Keeps: 4}, {Keeps: 120}}))
	require.Equal(t, LastDays, whenToBuy(item.Item{ShelfClass: "prodc"}, []Stow{{Keeps: 60}}))
	require.Equal(t, Ahead, whenToBuy(item.Item{ShelfClass: "dry"}, []Stow{{Keeps: 5}}))
	require.Equal(t, LastMorning, whenToBuy(item.Item{ShelfClass: "chill"}, []Stow{{Keeps: 30}}))
}

// Money for the purse goes up, never down, and to figures a person can count.
func TestRound(t *testing.T) {
	t.Parallel()
	require.Equal(t, "335 CVE", plain.round(330.8, "CVE"))
	require.Equal(t, "32500 CVE", plain.round(32413.15, "CVE"))
	require.Equal(t, "13.00 XCD", plain.round(12.01, "XCD"))
	require.Equal(t, "1000 EUR", plain.round(1000, "EUR"))
}

func TestHints(t *testing.T) {
	t.Parallel()
	l := FromPlan(passage(t)).Lists[0]
	require.Equal(t, "Ask when they were laid.", lineOf(t, l, "egg_unwashed").Hint)
	require.Contains(t, lineOf(t, l, "rice_white").Handle[0].String(), "jar")
}

func TestAdviceIsSaidOnce(t *testing.T) {
	t.Parallel()
	l := FromPlan(passage(t)).Lists[0]
	twice := l
	twice.Lines = append(twice.Lines, l.Lines...)
	require.Len(t, twice.Advice(), len(l.Advice()))
	require.Equal(t, "Rice: Into a tight jar, with a look through it first.", plain.about(l.Advice()[2]))
}

func TestVillage(t *testing.T) {
	t.Parallel()
	in := passage(t)
	in.Plan.Purchases = append(in.Plan.Purchases, plan.Purchase{ID: "p8", Stop: 2, Need: "leaf", Item: "lettuce", Pack: 1, Packs: 1, Price: 1, EatenInPort: 1})
	lists := FromPlan(in).Lists
	require.Contains(t, text(t, lists[2]), "Leave some for the village")
	require.NotContains(t, text(t, lists[0]), "Leave some for the village")
}

func TestNothingToBuy(t *testing.T) {
	t.Parallel()
	in := passage(t)
	in.Plan = plan.Plan{Version: 1, Currency: "EUR"}
	l := FromPlan(in)
	require.Zero(t, l.Spend)
	require.Contains(t, text(t, l.Lists[0]), "Nothing to buy here.")
	require.NoError(t, l.WriteHTML(&bytes.Buffer{}))
}

func TestTextFitsThePaper(t *testing.T) {
	t.Parallel()
	var b bytes.Buffer
	require.NoError(t, FromPlan(passage(t)).WriteText(&b))
	for line := range strings.Lines(b.String()) {
		require.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), width, line)
	}
	require.Contains(t, b.String(), "LAS PALMAS   2027-03-01 to 2027-03-06")
	require.Contains(t, b.String(), "fill up: 120 L or more")
	require.Contains(t, b.String(), "guessed prices")
}

// The phone has no signal in the shop: one file, nothing asked of anybody.
func TestPageStandsAlone(t *testing.T) {
	t.Parallel()
	in := passage(t)
	in.Title = `<b>"Two" & more</b>`
	var b bytes.Buffer
	require.NoError(t, FromPlan(in).WriteHTML(&b))
	page := b.String()
	for _, outside := range []string{"http:", "https:", "src=", "url(", "@import", "<link", "<b>"} {
		require.NotContains(t, page, outside)
	}
	require.Contains(t, page, `<input type="checkbox" data-key="`)
	require.Contains(t, page, "@media print")
	require.Contains(t, page, "prefers-color-scheme")
	require.Contains(t, page, "default-src &#39;none&#39;")
	require.NotContains(t, page, "ZgotmplZ", "the template refused something")
	require.Contains(t, page, pageJS)
	require.Contains(t, page, pageCSS)
}

// Red at night: no green or blue above 40 of 255, and text at 4.5 to 1 or more
// against black (WCAG 2.2, relative luminance).
func TestNightIsRed(t *testing.T) {
	t.Parallel()
	_, rest, ok := strings.Cut(pageCSS, ":root:has(#night:checked) {")
	require.True(t, ok)
	block, _, _ := strings.Cut(rest, "}")
	colours := 0
	for field := range strings.FieldsSeq(strings.ReplaceAll(block, ";", " ")) {
		hex, is := strings.CutPrefix(field, "#")
		if !is {
			continue
		}
		if len(hex) == 3 {
			hex = strings.Repeat(hex[:1], 2) + strings.Repeat(hex[1:2], 2) + strings.Repeat(hex[2:], 2)
		}
		colours++
		require.LessOrEqual(t, channel(t, hex[2:4]), 40.0, hex)
		require.LessOrEqual(t, channel(t, hex[4:6]), 40.0, hex)
	}
	require.Equal(t, 5, colours)
	require.GreaterOrEqual(t, (luminance(t, "ff2020")+0.05)/0.05, 4.5)
}

func channel(t *testing.T, hex string) float64 {
	t.Helper()
	var x int
	for _, c := range hex {
		x = x*16 + strings.IndexRune("0123456789abcdef", c)
	}
	return float64(x)
}

func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	lin := func(x float64) float64 {
		if x /= 255; x > 0.04045 {
			return math.Pow((x+0.055)/1.055, 2.4)
		}
		return x / 12.92
	}
	return 0.2126*lin(channel(t, hex[:2])) + 0.7152*lin(channel(t, hex[2:4])) + 0.0722*lin(channel(t, hex[4:]))
}

func TestJSONComesBack(t *testing.T) {
	t.Parallel()
	want := FromPlan(passage(t))
	b, err := json.Marshal(want)
	require.NoError(t, err)
	var got Lists
	require.NoError(t, json.Unmarshal(b, &got))
	require.Equal(t, want.Lists[0].Lines, got.Lists[0].Lines)
}

func TestMoment(t *testing.T) {
	t.Parallel()
	b := passage(t).Brief
	for _, tt := range []struct {
		period string
		order  int
		end    float64
	}{
		{"stay 0", 0, 5}, {"leg 0", 1, 12}, {"stay 2", 4, 20}, {"leg 2", -1, 0}, {"stay -1", -1, 0}, {"", -1, 0}, {"stay x", -1, 0},
	} {
		order, end := moment(b, tt.period)
		require.Equal(t, tt.order, order, tt.period)
		require.Equal(t, tt.end, end, tt.period)
	}
}

func text(t *testing.T, l List) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, l.WriteText(&b))
	return b.String()
}
