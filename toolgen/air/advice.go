package air

import (
	"context"
	"maps"
	"math"
	"slices"
)

// puller runs the same air with other holes.
type puller struct {
	ctx   context.Context
	set   Setup
	pools []Pool
}

// drain runs the pools with their areas changed.
func (p *puller) drain(change func(i int, area float64) float64) (Drained, error) {
	pools := p.pools
	if change != nil {
		pools = slices.Clone(pools)
		for i := range pools {
			pools[i].Area = change(i, pools[i].Area)
		}
	}
	return Drain(p.ctx, pools, p.set.Machine, p.set.Enough*1e3, horizon)
}

// wide is the factor at which holes hold nothing up.
const wide = 1000

// floor returns the time if the holes held nothing up.
func (p *puller) floor() (float64, error) {
	run, err := p.drain(func(_ int, area float64) float64 { return wide * area })
	time, _ := longestEnd(run.Ends)
	return time, err
}

// tank returns the smallest tank, in litres, that takes the air of sheet and box and still has enough
// vacuum; 0 where the machine's own is as large, or none is large enough.
//
// SOURCE: derived: Boyle's law, tank and box at one pressure at the end, nothing left under the sheet.
func (p *puller) tank() float64 {
	air := 0.0
	for i := range p.pools {
		if p.pools[i].State == 0 {
			air += p.pools[i].From.Volume
		}
	}
	m, end := p.set.Machine, Atmosphere-p.set.Enough*1e3
	first := Atmosphere - m.Vacuum
	if end <= first {
		return 0
	}
	need := (Atmosphere*(air+m.Box) - end*m.Box) / (end - first)
	if need <= m.Tank {
		return 0
	}
	return need * 1e3
}

// rounds bounds the search for holes to add.
const rounds = 12

// add returns the holes that bring the time under the target: at the last place of every part that
// takes too long, where they stay open to the end, as many as its own time asks for, feature by
// feature, again and again until all parts are done in time. It is nil where that does not settle.
func (p *puller) add(run Drained) ([]Extra, error) {
	var extra []Extra
	var at []int // pool of each
	more := make([]float64, len(p.pools))
	dia, back := p.usual()
	one := HoleArea(dia, back)
	for range rounds {
		late := p.late(run.Ends)
		if len(late) == 0 {
			return merged(extra), nil
		}
		for _, i := range late {
			end := run.Ends[i]
			k := slices.Index(at, i)
			if k < 0 {
				k = len(at)
				at = append(at, i)
				extra = append(extra, Extra{Feature: p.pools[i].Feature, At: p.pools[i].Last, Dia: dia})
			}
			n := 1
			if !math.IsInf(end, 1) {
				n = max(1, int((p.open(i)+more[i])*(end/p.set.Target-1)/one))
			}
			extra[k].Count += n
			for j := i; j >= 0; j = p.pools[j].Over {
				more[j] += float64(n) * one
			}
		}
		var err error
		if run, err = p.drain(func(i int, area float64) float64 { return area + more[i] }); err != nil {
			return nil, err
		}
	}
	return nil, nil
}

// late returns the last pool of every feature that is not done within the target, by number.
func (p *puller) late(ends []float64) []int {
	last := map[string]int{}
	for i, end := range ends {
		if end > p.set.Target { // false for NaN
			if k, ok := last[p.pools[i].Feature]; !ok || end > ends[k] {
				last[p.pools[i].Feature] = i
			}
		}
	}
	return slices.Sorted(maps.Values(last))
}

// open returns the largest area that was open to a pool on its way, over its own feature: what it had
// before, together with others, is theirs too.
func (p *puller) open(i int) float64 {
	most, feature := 0.0, p.pools[i].Feature
	for ; i >= 0; i = p.pools[i].Over {
		if p.pools[i].Feature == feature {
			most = max(most, p.pools[i].Area)
		}
	}
	return most
}

// usual returns the drills of most of the holes.
func (p *puller) usual() (dia, back float64) {
	count, best := map[Hole]int{}, 0
	for _, h := range p.set.Holes {
		kind := Hole{Dia: h.Dia, Back: h.Back}
		if count[kind]++; count[kind] > best {
			best, dia, back = count[kind], h.Dia, h.Back
		}
	}
	if best == 0 {
		return smallest, 0
	}
	return dia, back
}

// smallest is the hole that is asked for where there is none, mm.
const smallest = 0.5

// merged adds up the holes of one feature; they go to the place of the largest number.
func merged(all []Extra) []Extra {
	var out []Extra
	for _, e := range all {
		i := slices.IndexFunc(out, func(o Extra) bool { return o.Feature == e.Feature })
		if i < 0 {
			out = append(out, e)
			continue
		}
		if n := out[i].Count + e.Count; e.Count > out[i].Count {
			out[i] = e
			out[i].Count = n
		} else {
			out[i].Count = n
		}
	}
	return out
}

// spareTries is how often the share of holes to leave out is halved.
const spareTries = 4

// spare returns how many holes could be left out, the same share everywhere.
func (p *puller) spare(out *Pulled) (int, error) {
	share := 1 - out.Time/p.set.Target
	for range spareTries {
		run, err := p.drain(func(_ int, area float64) float64 { return area * (1 - share) })
		if err != nil {
			return 0, err
		}
		if time, _ := longestEnd(run.Ends); time <= p.set.Target {
			return int(share * float64(len(p.set.Holes))), nil
		}
		share /= 2
	}
	return 0, nil
}
