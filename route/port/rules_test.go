package port

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"hardtack/pricing/calendar"
	"hardtack/seed"
)

func seedRules(t *testing.T) *Rules {
	t.Helper()
	r, err := LoadRules(seed.FS)
	require.NoError(t, err)
	return r
}

func TestFor(t *testing.T) {
	t.Parallel()
	r := seedRules(t)
	for _, tt := range []struct {
		name, zone, class string
		want              Status
		from              ruleKey
	}{
		{"its own rule", "AU", "EGG_FRESH", Prohibited, ruleKey{"AU", "EGG_FRESH"}},
		{"frozen follows fresh produce", "NZ", "FROZEN_PRODUCE", Prohibited, ruleKey{"NZ", "FRUITVEG_FRESH"}},
		{"pet food follows meat", "IS", "PET_FOOD", Prohibited, ruleKey{"IS", "MEAT_FRESH"}},
		{"the rule of all food", "NZ", "SWEETS", Conditional, ruleKey{"NZ", "*"}},
		{"a country nobody read", "CV", "MEAT_FRESH", Unknown, ruleKey{"CV", "MEAT_FRESH"}},
		{"a class nobody read", "FO", "EGG_FRESH", Unknown, ruleKey{"FO", "EGG_FRESH"}},
		{"no such zone", "ZZ", "EGG_FRESH", Unknown, ruleKey{"ZZ", "EGG_FRESH"}},
		{"Canaries: meat as in the EU", "ES-CN", "MEAT_FRESH", Prohibited, ruleKey{"EU", "MEAT_FRESH"}},
		{"Canaries: fresh plants apart", "ES-CN", "FRUITVEG_FRESH", Unknown, ruleKey{"ES-CN", "FRUITVEG_FRESH"}},
		{"Hawaii: the country's rule too", "US-HI", "MEAT_FRESH", Prohibited, ruleKey{"US", "MEAT_FRESH"}},
		{"Galápagos", "EC-GAL", "FRUITVEG_FRESH", Prohibited, ruleKey{"EC-GAL", "FRUITVEG_FRESH"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got := r.For(tt.zone, tt.class)
			require.Equal(t, tt.want, got.Status)
			require.Equal(t, tt.from, ruleKey{got.Zone, got.Class})
		})
	}
}

// No rule at all must never come out as allowed.
func TestUnknownIsNeverAllowed(t *testing.T) {
	t.Parallel()
	r := seedRules(t)
	for zone := range r.zones {
		for _, class := range []string{"", "MEAT_FRESH", "HONEY", "NEW_CLASS", "*"} {
			if got := r.For(zone, class); got.Status == Allowed {
				_, ok := r.rules[ruleKey{got.Zone, got.Class}]
				require.True(t, ok, "%s %s", zone, class)
			}
		}
	}
}

func TestEntering(t *testing.T) {
	t.Parallel()
	r, g := seedRules(t), loadSeed(t)
	at := func(zone string) Port {
		for _, p := range g.All() {
			if p.Zone == zone {
				return p
			}
		}
		t.Fatalf("no port in %s", zone)
		return Port{}
	}
	for _, tt := range []struct {
		name, from, to, class string
		crosses               bool
		want                  Status
	}{
		{"within one zone", "NZ", "NZ", "EGG_FRESH", false, ""},
		{"between EU countries", "EU", "EU", "MEAT_FRESH", false, ""},
		{"EU to the Canaries with meat", "EU", "ES-CN", "MEAT_FRESH", false, ""},
		{"EU to the Canaries with fruit", "EU", "ES-CN", "FRUITVEG_FRESH", true, Unknown},
		{"Canaries to Martinique with cheese", "ES-CN", "MQ", "DAIRY_CHEESE", false, ""},
		{"Cape Verde to French Guiana with meat", "CV", "GF", "MEAT_FRESH", true, Prohibited},
		{"Cape Verde to French Guiana with fruit", "CV", "GF", "FRUITVEG_FRESH", true, Unknown},
		{"EU to Cape Verde", "EU", "CV", "MEAT_FRESH", true, Unknown},
		{"Britain to the EU", "GB", "EU", "DAIRY_SHELF", true, Prohibited},
		{"Queensland to Tasmania with fruit", "AU", "AU-TAS", "FRUITVEG_FRESH", true, Unknown},
		{"Tasmania from abroad", "NZ", "AU-TAS", "FRUITVEG_FRESH", true, Surrendered},
		{"Hawaii to the mainland with fruit", "US-HI", "US", "FRUITVEG_FRESH", true, Conditional},
		{"Hawaii to the mainland with rice", "US-HI", "US", "RICE_GRAIN", true, Unknown},
		{"Ecuador to Galápagos with beef", "EC", "EC-GAL", "MEAT_FRESH", true, Prohibited},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			rule, crosses := r.Entering(at(tt.from), at(tt.to), tt.class)
			require.Equal(t, tt.crosses, crosses)
			require.Equal(t, tt.want, rule.Status)
		})
	}
}

func TestAge(t *testing.T) {
	t.Parallel()
	today, err := calendar.Parse("2026-05-01")
	require.NoError(t, err)
	for _, tt := range []struct {
		date, evidence string
		days           int // by hand
		dated          bool
		unconfirmed    bool
	}{
		{"2026-04-01", "read", 30, true, false},
		{"2025-06", "read", 334, true, false},
		{"2025-04", "read", 395, true, true},
		{"2024", "read", 851, true, true},
		{"2006-2020", "read", 2312, true, true}, // from 2020-01-01
		{"c. 2026", "read", 120, true, true},
		{"c. 2014 (undated)", "read-secondary", 4503, true, true},
		{"undated", "read", int(today), false, true},
		{"", "read", int(today), false, true},
		{"2026-04-01", "memory", 30, true, true},
	} {
		t.Run(tt.date+" "+tt.evidence, func(t *testing.T) {
			t.Parallel()
			r := Rule{SourceDate: tt.date, Evidence: tt.evidence}
			days, dated := Age(r, today)
			require.Equal(t, tt.dated, dated)
			require.Equal(t, tt.days, days)
			require.Equal(t, tt.unconfirmed, Unconfirmed(r, today))
		})
	}
}

func TestAlcoholAndAuthority(t *testing.T) {
	t.Parallel()
	r := seedRules(t)
	require.Len(t, r.Alcohol("EU"), 8)
	require.InDelta(t, 2.25, r.Alcohol("AU")[0].Amount, 0) // Australian airport page, read at second hand
	require.Empty(t, r.Alcohol("CV"))
	require.Empty(t, r.Alcohol("ES-CN"), "excise differs there")
	require.NotEmpty(t, r.Authority("NZ"))
	require.Equal(t, r.Authority("AU"), r.Authority("AU-TAS"))
	require.Empty(t, r.Authority("CV"))
}

func TestLoadRulesRefuses(t *testing.T) {
	t.Parallel()
	const zones = "zone,name,within,apart,authority,authority_basis,note\n"
	const rules = "country,food_class,status,note,source,source_date,evidence\n"
	const alcohol = "country,kind,amount,unit,note,source,evidence\n"
	for _, tt := range []struct{ name, zones, rules, alcohol, want string }{
		{"unknown status", zones + "NZ,N,,,,,\n", rules + "NZ,X,fine,,,,\n", alcohol, "status"},
		{"rule of no zone", zones, rules + "NZ,X,allowed,,,,\n", alcohol, "zone of zones.csv"},
		{"rule twice", zones + "NZ,N,,,,,\n", rules + "NZ,X,allowed,,,,\nNZ,X,prohibited,,,,\n", alcohol, "already"},
		{"zone within nothing", zones + "A,A,B,all,,,\n", rules, alcohol, "within"},
		{"part without kind", zones + "B,B,,,,,\nA,A,B,,,,\n", rules, alcohol, "apart"},
		{"negative litres", zones, rules, alcohol + "EU,beer,-1,L,,,\n", "amount"},
		{"not a number of litres", zones, rules, alcohol + "EU,beer,NaN,L,,,\n", "amount"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := LoadRules(fstest.MapFS{
				"zones.csv":         {Data: []byte(tt.zones)},
				"arrival-rules.csv": {Data: []byte(tt.rules)},
				"alcohol.csv":       {Data: []byte(tt.alcohol)},
			})
			require.ErrorContains(t, err, tt.want)
			require.ErrorContains(t, err, "record")
		})
	}
}
