package plan

import "slices"

// WithOffers is a brief with its offers changed, each with the need and the
// item it is for; b stays as it is.
func (b Brief) WithOffers(change func(need, item string, o *Offer)) Brief {
	b.Needs = slices.Clone(b.Needs)
	for n := range b.Needs {
		need := &b.Needs[n]
		need.Items = slices.Clone(need.Items)
		for i := range need.Items {
			it := &need.Items[i]
			it.Offers = slices.Clone(it.Offers)
			for k := range it.Offers {
				change(need.ID, it.ID, &it.Offers[k])
			}
		}
	}
	return b
}
