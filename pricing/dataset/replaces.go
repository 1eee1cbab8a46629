package dataset

import "hardtack/pricing"

// dropBadReplacements rejects reports that replace an unknown report, another
// reporter's, or, over however many steps, themselves. What replaces a
// rejected report replaces nothing that is known, and is rejected as well;
// what a rejected report was to replace stands.
func (p parser) dropBadReplacements(out *Parsed) {
	v := verdicts{reports: out.Reports, known: p.ctx.Known, at: map[string]int{}, why: make([]string, len(out.Reports)), done: make([]bool, len(out.Reports))}
	for k, r := range out.Reports {
		v.at[r.ID] = k
	}
	for k := range out.Reports {
		v.settle(k)
	}
	kept := 0
	for k, r := range out.Reports {
		if why := v.why[k]; why != "" {
			p.RejectAt(out.Lines[k], reportColumns[colReplaces], r.Replaces, why)
			continue
		}
		out.Reports[kept], out.Lines[kept] = r, out.Lines[k]
		kept++
	}
	clear(out.Reports[kept:])
	out.Reports, out.Lines = out.Reports[:kept], out.Lines[:kept]
}

type verdicts struct {
	reports []pricing.Report
	known   func(string) (pricing.Report, bool)
	at      map[string]int
	why     []string // expected instead, empty when all is well
	done    []bool
}

const (
	wantKnown    = "the id of a report that is there and was taken"
	wantSame     = "the id of a report of the same reporter"
	wantNoCircle = "a report that does not in the end replace itself"
)

// settle follows the chain of replacements from k to its end, and judges every
// report on it from there back.
func (v verdicts) settle(k int) {
	var chain []int
	on := map[int]int{} // place in chain
	for !v.done[k] {
		if from, again := on[k]; again {
			for _, c := range chain[from:] {
				v.judge(c, wantNoCircle)
			}
			chain = chain[:from]
			break
		}
		on[k] = len(chain)
		chain = append(chain, k)
		next, inFile := v.at[v.reports[k].Replaces]
		if v.reports[k].Replaces == "" || !inFile {
			break
		}
		k = next
	}
	for i := len(chain) - 1; i >= 0; i-- {
		v.judge(chain[i], v.fault(chain[i]))
	}
}

func (v verdicts) judge(k int, why string) { v.why[k], v.done[k] = why, true }

// fault is what is wrong with one replacement whose target was judged.
func (v verdicts) fault(k int) string {
	r := v.reports[k]
	if r.Replaces == "" {
		return ""
	}
	t, inFile := v.at[r.Replaces]
	var old pricing.Report
	switch {
	case inFile && v.why[t] == "":
		old = v.reports[t]
	case inFile || v.known == nil:
		return wantKnown
	default:
		var ok bool
		if old, ok = v.known(r.Replaces); !ok {
			return wantKnown
		}
	}
	if old.Reporter != r.Reporter {
		return wantSame
	}
	return ""
}
