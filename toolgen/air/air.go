// Package air owns the drawing out of the air under the sheet: how much is caught where, through
// which holes it leaves, how long that takes, and how many holes more or fewer it needs.
//
// The sheet's own states at rest say what volume of air is left at what pressure, part by part; each
// part empties through the holes that the sheet over it has not covered yet, into the box under the
// tool, through the hose into tank and pump. It promises: mass is kept; more area of holes is never
// slower; equal inputs give equal results.
//
// Left out: the mass of the sheet (it is always at rest), leaks and grain of the face, warm air, the
// opening time of the valve, channels under the tool.
//
// Inside, everything is SI. Start at Pull.
package air

import (
	"cmp"
	"context"
	"math"
	"slices"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// Setup is what the air is drawn out of and held against.
type Setup struct {
	Holes   []Hole
	Feature func(geom.Vec3) string // names a place of the face
	Machine Machine
	Enough  float64 // vacuum under the sheet at which it counts as drawn on, kPa below the air
	Target  float64 // s
}

// Pulled is what came of it.
type Pulled struct {
	Target  float64   // s
	Enough  float64   // kPa
	Time    float64   // until the last part is done, s; horizon where Done is false
	Done    bool      // every part with a hole was done within the horizon
	Vacuum  float64   // in the box at the end, kPa below the air
	Floor   float64   // the time if holes held nothing up, s: what the machine takes
	Regions []Region  // slowest first; those without any hole at the head
	Trapped []Trapped // largest gap first
	Add     []Extra   // holes that bring the time under the target, where holes can
	Spare   int       // holes that could be left out within the target, places apart; 0 where it is not met
	Tank    float64   // smallest tank with which everything gets enough vacuum without the pump, litres; 0 where this one does, or none can
	Curve   []Point
}

// Stands reports whether the air surely holds the sheet off the tool: its mean gap is over the one
// that counts as landed, so some gap is, and the place is no smaller than what one hole serves, which
// is also what the mesh of the sheet tells apart.
func (t Trapped) Stands() bool {
	return t.Gap > form.Bridge && t.Area >= math.Pi*form.SpotBall*form.SpotBall
}

// Slowest returns the region that is done last of those that have holes.
func (p *Pulled) Slowest() (Region, bool) {
	for _, r := range p.Regions {
		if !r.Sealed {
			return r, true
		}
	}
	return Region{}, false
}

// Region is the air that leaves last over one feature.
type Region struct {
	Feature string
	At      geom.Vec3 // where it leaves last
	Volume  float64   // most air that was on its way there, cm3
	Holes   int       // most that were open to it
	Area    float64   // of them, effective, mm2
	Time    float64   // until it is done, s; +Inf where it is not
	Sealed  bool      // it never has a hole: no time
}

// Trapped is air that no hole is left for.
type Trapped struct {
	Feature string
	At      geom.Vec3 // where the sheet would land last
	Volume  float64   // when the atmosphere bears on it, mm3
	Gap     float64   // that volume over the area of sheet: the mean distance to the tool, mm
	Area    float64   // of the sheet over it, as formed, mm2
	Vacuum  float64   // under it when it was shut in, kPa below the air
	Places  int       // of this feature; the figures are of the gravest: one that Stands, with the largest gap
}

// Extra is a number of holes to add at one place.
type Extra struct {
	Feature string
	At      geom.Vec3
	Count   int
	Dia     float64 // mm
}

// horizon is the longest time that is looked at, s: a hot sheet does not wait longer.
const horizon = 10.0

// mayStand is the mean gap from which air may hold the sheet off by more than form.Bridge somewhere:
// of the shapes that a bubble of air takes, a cone has the highest peak, three times its mean.
const mayStand = form.Bridge / 3

// Pull draws the air out from under a formed sheet.
func Pull(ctx context.Context, sh *form.Sheet, s Setup) (*Pulled, error) {
	pools, err := Pools(ctx, sh, s.Holes, s.Feature)
	if err != nil {
		return nil, err
	}
	out := &Pulled{Target: s.Target, Enough: s.Enough, Trapped: trapped(pools)}
	p := puller{ctx: ctx, set: s, pools: pools}
	run, err := p.drain(nil)
	if err != nil {
		return nil, err
	}
	out.Curve, out.Vacuum = run.Curve, run.Box/1e3
	out.Regions = regions(pools, run.Ends)
	out.Time, out.Done = longestEnd(run.Ends)
	if out.Floor, err = p.floor(); err != nil {
		return nil, err
	}
	if !out.Done {
		out.Tank = p.tank()
	}
	if out.Time <= s.Target {
		out.Spare, err = p.spare(out)
	} else if out.Floor <= s.Target {
		out.Add, err = p.add(run)
	}
	return out, err
}

// longestEnd returns the time of the pool that is done last.
func longestEnd(ends []float64) (time float64, done bool) {
	for _, e := range ends {
		if e > time { // false for NaN
			time = e
		}
	}
	return min(time, horizon), !math.IsInf(time, 1)
}

// regions gathers the pools by the feature where they leave last.
func regions(pools []Pool, ends []float64) []Region {
	index := map[string]int{}
	var out []Region
	var volume []float64 // by region, of the state at hand
	var count []int
	var area []float64
	state := 0
	flush := func() {
		for i := range out {
			r := &out[i]
			r.Volume = max(r.Volume, volume[i]*1e6)
			if count[i] > r.Holes {
				r.Holes, r.Area = count[i], area[i]*1e6
			}
			volume[i], count[i], area[i] = 0, 0, 0
		}
	}
	for k := range pools {
		p := &pools[k]
		if p.State != state {
			flush()
			state = p.State
		}
		i, ok := index[p.Feature]
		if !ok {
			i = len(out)
			index[p.Feature] = i
			out = append(out, Region{Feature: p.Feature, At: p.Last, Sealed: true, Time: math.Inf(-1)})
			volume, count, area = append(volume, 0), append(count, 0), append(area, 0)
		}
		r := &out[i]
		volume[i] += p.From.Volume
		count[i] += p.Holes
		area[i] += p.Area
		r.Sealed = r.Sealed && p.sealed()
		if ends[k] > r.Time {
			r.Time, r.At = ends[k], p.Last
		}
	}
	flush()
	out = slices.DeleteFunc(out, func(r Region) bool { return !r.Sealed && math.IsInf(r.Time, -1) })
	for i := range out {
		if out[i].Sealed {
			out[i].Time = math.Inf(1)
		}
	}
	slices.SortStableFunc(out, func(a, b Region) int {
		return cmp.Or(cmp.Compare(b.Time, a.Time), cmp.Compare(a.Feature, b.Feature))
	})
	return out
}

// trapped lists the pools that lose their last hole with air that may hold the sheet off the tool.
func trapped(pools []Pool) []Trapped {
	index := map[string]int{}
	var out []Trapped
	for k := range pools {
		p := &pools[k]
		if !p.sealed() || p.Over >= 0 && pools[p.Over].sealed() || p.Formed <= 0 {
			continue
		}
		// Once shut in, the air is pressed until it bears the whole atmosphere: it can not be less.
		volume := p.From.Volume * (Atmosphere - p.From.Vacuum) / Atmosphere
		gap := 1e3 * volume / p.Formed
		if gap <= mayStand {
			continue
		}
		t := Trapped{p.Feature, p.Last, volume * 1e9, gap, p.Formed * 1e6, p.From.Vacuum / 1e3, 1}
		i, ok := index[p.Feature]
		if !ok {
			index[p.Feature] = len(out)
			out = append(out, t)
			continue
		}
		t.Places = out[i].Places + 1
		if o := out[i]; o.Stands() && !t.Stands() || o.Stands() == t.Stands() && o.Gap > gap {
			o.Places, t = t.Places, o
		}
		out[i] = t
	}
	slices.SortStableFunc(out, func(a, b Trapped) int {
		return cmp.Or(cmp.Compare(b.Gap, a.Gap), cmp.Compare(a.Feature, b.Feature))
	})
	return out
}
