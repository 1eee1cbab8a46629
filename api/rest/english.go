package rest

import (
	"hardtack/pricing/wording"
	"hardtack/route/inventory"
	"hardtack/route/pest"
)

// What the core remarks goes over the wire as English sentences.

// english is remarks as sentences.
func english(rs []wording.Remark) []string { return each(rs, wording.Remark.String) }

func each[T, U any](list []T, of func(T) U) []U {
	out := make([]U, len(list))
	for i, x := range list {
		out[i] = of(x)
	}
	return out
}

type wireDue struct {
	inventory.Due
	Reason  string `json:"reason"`
	Cook    string `json:"cook,omitempty"`
	Caution string `json:"caution,omitempty"`
}

func dueOf(d inventory.Due) wireDue {
	return wireDue{d, d.Reason.String(), d.Cook.String(), d.Caution.String()}
}

type wireRisk struct {
	pest.Risk
	Why string `json:"why"`
	Do  string `json:"do"`
}

func riskOf(r pest.Risk) wireRisk { return wireRisk{r, r.Why.String(), r.Do.String()} }

type wirePlacement struct {
	inventory.Placement
	Why string `json:"why"`
}

func placementOf(p inventory.Placement) wirePlacement { return wirePlacement{p, p.Why.String()} }

type wireRescue struct {
	inventory.Rescue
	Do      string `json:"do"`
	Caution string `json:"caution,omitempty"`
}

func rescueOf(r inventory.Rescue) wireRescue {
	return wireRescue{r, r.Do.String(), r.Caution.String()}
}
