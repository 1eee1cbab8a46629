package main

import (
	"math"
	"time"

	"hardtack/pricing"
	"hardtack/pricing/item"
	"hardtack/pricing/money"
)

// place is a port of the invented world. Level is its price level against a
// town in Brittany; Months are those in which boats are there (0 = December,
// counted on past 12 for the next year's); Visits is how often it is called at.
type place struct {
	port     pricing.PortID
	level    float64
	from, to time.Month
	visits   float64
	stock    float64 // chance that a thing the catalogue has is there
}

// Boats leave Europe in late summer, cross in winter, and come back in early
// summer: the order below is theirs. Two places have no visitors at all: gaps
// are part of the story.
var places = []place{
	{"FRBES", 0.97, 6, 9, 0.7, 0.97},
	{"x-camaret-sur-mer", 1.10, 6, 9, 0.6, 0.85},
	{"x-concarneau", 1.00, 6, 9, 1, 0.96},
	{"FRLRT", 0.98, 6, 9, 0.5, 0.97},
	{"x-a-coruna", 0.82, 7, 9, 1, 0.96},
	{"x-muros", 0.86, 7, 9, 0.5, 0.85},
	{"x-baiona", 0.88, 8, 9, 0.6, 0.88},
	{"ESVGO", 0.80, 8, 9, 0.5, 0.97},
	{"x-cascais", 0.88, 8, 10, 1, 0.95},
	{"PTLIS", 0.84, 8, 10, 0.5, 0.97},
	{"x-lagos", 0.87, 8, 10, 0.5, 0.94},
	{"x-porto-santo", 1.02, 9, 10, 0.4, 0.78},
	{"x-funchal", 0.90, 9, 11, 1, 0.95},
	{"ESACE", 0.80, 10, 11, 0.6, 0.95},
	{"ESLPA", 0.73, 10, 12, 1.3, 0.97},
	{"ESSCT", 0.75, 10, 12, 0.6, 0.97},
	{"x-san-sebastian-de-la-gomera", 0.88, 11, 12, 0.5, 0.82},
	{"CVPAL", 0.98, 11, 12, 0.4, 0.60},
	{"CVMIN", 0.83, 11, 12, 1, 0.80},
	{"x-tarrafal-de-monte-trigo", 1.05, 11, 12, 0, 0.30},
	{"GFCAY", 1.30, 12, 13, 0.3, 0.92},
	{"x-kourou", 1.34, 12, 13, 0.3, 0.90},
	{"x-saint-laurent-du-maroni", 1.28, 12, 13, 1.0, 0.86},
	{"SRPBM", 0.60, 13, 14, 0.9, 0.88},
	{"x-domburg", 0.70, 13, 14, 0.3, 0.55},
	{"GDSTG", 1.15, 13, 15, 1, 0.92},
	{"x-hillsborough", 1.28, 14, 15, 0.4, 0.70},
	{"x-clifton", 1.40, 14, 15, 0, 0.50},
	{"x-port-elizabeth-vc", 1.33, 14, 15, 0.7, 0.72},
	{"VCKTN", 1.12, 14, 15, 0.3, 0.88},
	{"x-rodney-bay", 1.18, 14, 16, 0.7, 0.93},
	{"x-le-marin", 1.10, 14, 16, 1.2, 0.96},
	{"MQFDF", 1.04, 14, 16, 0.5, 0.97},
	{"x-portsmouth", 1.12, 14, 16, 0.6, 0.75},
	{"x-deshaies", 1.20, 15, 16, 0.4, 0.74},
	{"GPPTP", 1.07, 15, 16, 0.4, 0.96},
	{"x-english-harbour", 1.45, 15, 17, 0.8, 0.84},
	{"AGSJO", 1.22, 15, 17, 0.4, 0.93},
	{"x-marigot", 1.08, 16, 17, 0.5, 0.94},
	{"x-st-george-s-bm", 2.00, 17, 18, 0.8, 0.85},
	{"x-hamilton", 1.88, 17, 18, 0.3, 0.93},
	{"x-santa-cruz-da-graciosa", 1.02, 18, 19, 0, 0.65},
	{"PTHOR", 0.94, 17, 19, 1.1, 0.90},
	{"PTADH", 0.92, 18, 19, 0.4, 0.92},
	{"PTPDL", 0.88, 18, 19, 0.4, 0.95},
	{"IEKLN", 1.13, 18, 20, 0.8, 0.91},
	{"x-crosshaven", 1.10, 18, 20, 0.4, 0.86},
	{"x-dingle", 1.16, 19, 20, 0.3, 0.86},
}

// twist is what a country's prices of a category are against its level.
type twist struct{ country, category string }

var twists = map[twist]float64{
	{"ES", "fat"}: 0.85, {"ES", "drink"}: 0.85, {"ES", "fresh veg"}: 0.85, {"ES", "fish"}: 0.9,
	{"PT", "fish"}: 0.85, {"PT", "drink"}: 0.9, {"PT", "bread"}: 0.85, {"PT", "dairy"}: 0.95,
	{"CV", "dairy"}: 1.35, {"CV", "fish"}: 0.6, {"CV", "fresh fruit"}: 1.1, {"CV", "meat"}: 1.2, {"CV", "tin"}: 1.25,
	{"GF", "fresh veg"}: 0.85, {"GF", "fresh fruit"}: 0.75, {"GF", "meat"}: 1.1,
	{"SR", "staple"}: 0.85, {"SR", "fresh veg"}: 0.7, {"SR", "fresh fruit"}: 0.65, {"SR", "dairy"}: 1.35, {"SR", "egg"}: 0.9,
	{"GD", "fresh fruit"}: 0.7, {"GD", "dairy"}: 1.25, {"GD", "drink"}: 0.85, {"GD", "fresh veg"}: 0.9,
	{"VC", "fresh fruit"}: 0.65, {"VC", "dairy"}: 1.3, {"VC", "fish"}: 0.75,
	{"MQ", "drink"}: 0.85, {"MQ", "fresh fruit"}: 0.9, {"MQ", "dairy"}: 1.05,
	{"GP", "fresh fruit"}: 0.9, {"DM", "fresh fruit"}: 0.6, {"DM", "fresh veg"}: 0.75, {"DM", "dairy"}: 1.3,
	{"AG", "dairy"}: 1.2, {"AG", "fresh veg"}: 1.2, {"AG", "drink"}: 0.9,
	{"BM", "fresh veg"}: 1.25, {"BM", "fresh fruit"}: 1.25, {"BM", "meat"}: 1.1,
	{"IE", "dairy"}: 0.85, {"IE", "drink"}: 1.35, {"IE", "meat"}: 0.95, {"IE", "fresh fruit"}: 1.1,
}

// scarce are categories that small places often lack.
var scarce = map[string]float64{
	"frozen": 0.75, "dairy": 0.92, "meat": 0.85, "baby": 0.8, "dried fruit": 0.85, "gas": 0.7, "pet": 0.8, "jar": 0.92,
}

// goods is an item and how often people report it.
type goods struct {
	item.Item
	weight float64
}

// reported gives the items boats write down, each with its weight: what
// everybody buys is first in its category of the catalogue.
func reported(cat *item.Catalogue) []goods {
	weights := map[string]float64{
		"staple": 1.6, "fresh veg": 1.3, "fresh fruit": 1.2, "dairy": 1.5, "egg": 2, "bread": 1.4, "tin": 1, "meat": 1.1,
		"drink": 1.1, "fat": 1.2, "water": 1, "gas": 1, "pulse": 0.8, "sweet": 0.9, "snack": 0.8, "household": 0.7,
		"personal": 0.5, "fish": 0.8, "condiment": 0.5, "jar": 0.8, "breakfast": 1, "baby": 0.3, "baking": 0.5,
		"dried fruit": 0.7, "frozen": 0.5, "pet": 0.2, "medical": 0.2,
	}
	var out []goods
	rank := map[string]int{}
	for _, id := range cat.Order {
		i := cat.Items[id]
		w := weights[i.Category]
		if i.BasePrice <= 0 || i.ListPack <= 0 || w == 0 || id == "water_tank" {
			continue
		}
		out = append(out, goods{i, w / (1 + 0.12*float64(rank[i.Category]))})
		rank[i.Category]++
	}
	return out
}

// believed is what one expects a unit to cost in the usual pack at a place, in
// EUR: the invented truth but for the item's own luck there.
func believed(i item.Item, p place, country string) float64 {
	x, ok := twists[twist{country, i.Category}]
	if !ok {
		x = 1
	}
	return i.BasePrice * p.level * x
}

// inflation is the growth of prices a year, back from the demo's today.
const inflation = 0.035

func grown(daysBefore float64) float64 { return math.Exp(-inflation * daysBefore / 365.25) }

// steps are the price steps shops of a currency keep to, in its units.
var steps = map[money.Currency]float64{"EUR": 0.05, "CVE": 5, "SRD": 0.5, "XCD": 0.05, "BMD": 0.05}
