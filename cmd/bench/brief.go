package main

import (
	"fmt"

	"hardtack/route/plan"
	"hardtack/route/plan/instance"
)

// one is a random brief by name.
type one struct {
	size  instance.Size
	seed  uint64
	tight bool
}

func (o one) String() string {
	if o.tight {
		return fmt.Sprintf("%v-%d-tight", o.size, o.seed)
	}
	return fmt.Sprintf("%v-%d-loose", o.size, o.seed)
}

func (o one) brief() plan.Brief { return instance.Random(o.seed, o.size, o.tight) }

var sizes = map[string]instance.Size{"tiny": instance.Tiny, "small": instance.Small, "season": instance.Season, "big": instance.Big}

// chosen lists the briefs of a size: seeds from 1 on, each loose and tight.
func chosen(size string, first, seeds uint64, room string) ([]one, error) {
	z, ok := sizes[size]
	if !ok {
		return nil, fmt.Errorf("size %q: expected tiny, small, season or big", size)
	}
	var list []one
	for seed := first; seed < first+seeds; seed++ {
		if room != "tight" {
			list = append(list, one{z, seed, false})
		}
		if room != "loose" {
			list = append(list, one{z, seed, true})
		}
	}
	return list, nil
}
