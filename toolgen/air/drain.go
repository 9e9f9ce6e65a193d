package air

import (
	"context"
	"math"
)

// Machine is what draws the air out, in SI units.
type Machine struct {
	Box    float64 // volume between the tool and the valve, full of air at first, m3
	Hose   float64 // effective area of the hose from the tank, m2
	Tank   float64 // volume, m3
	Vacuum float64 // in the tank at first, Pa below the air; the pump stops there
	Pump   float64 // volume flow at its inlet, m3/s
}

// Point is a moment of the pull-down.
type Point struct {
	Time float64 `json:"s"`
	Box  float64 `json:"box_kpa"`    // vacuum in the box, kPa below the air
	Tank float64 `json:"tank_kpa"`   // the same in the tank
	Left float64 `json:"left_litre"` // air still under the sheet, as volume
}

// Drained is one run of the air.
type Drained struct {
	Ends  []float64 // by pool: when its air is out, s; NaN where what it falls into goes on, where it has no hole or is never reached; +Inf where it is not done at the horizon
	Box   float64   // vacuum in the box at the end, Pa
	Curve []Point
}

// Steps of the integration.
const (
	longest  = 1e-3 // s
	shortest = 2e-5 // s
	// boxShare is the part of the box's own time constant that a step may take.
	boxShare = 0.05
	// fine is the largest change of pressure under the sheet within a step of a pool, as a share.
	fine = 0.01
	// platenGap is the area of the gaps between tool and platen, in hoses: they hold nothing up.
	platenGap = 4
	// curvePoints is the most points of a curve.
	curvePoints = 200
)

// Drain lets the air out of the pools through their holes into the box, through the hose into the
// tank and the pump. A pool is done when all its sheet has landed or its vacuum is enough. A pool
// without a hole stays as it is. Air does not flow back under the sheet.
//
// UNIT: enough Pa below the air, horizon s.
//
// ERROR: steps of at most 1 ms; against closed forms within 0.5 % (tests).
func Drain(ctx context.Context, pools []Pool, m Machine, enough, horizon float64) (Drained, error) {
	d := drain{m: m, pools: pools, enough: enough, ends: make([]float64, len(pools)), area: make([]float64, len(pools))}
	d.box, d.tank = Atmosphere, Atmosphere-m.Vacuum
	d.before = d.box
	for i := range pools {
		d.ends[i] = math.NaN()
		d.area[i] = pools[i].Area
		if pools[i].Platen {
			d.area[i] += platenGap * m.Hose
		}
		if pools[i].Over < 0 {
			d.start(i)
		}
	}
	d.mark()
	for steps := 0; len(d.live) > 0 && d.time < horizon; steps++ {
		if steps%256 == 0 && ctx.Err() != nil {
			return Drained{}, ctx.Err()
		}
		d.step(min(d.span(), horizon-d.time))
		d.mark()
	}
	for _, l := range d.live {
		d.ends[l.pool] = math.Inf(1)
	}
	return Drained{Ends: d.ends, Box: Atmosphere - d.box, Curve: thin(d.curve)}, nil
}

type drain struct {
	m                 Machine
	pools             []Pool
	area              []float64 // with the gaps of the platen
	enough            float64
	time, end         float64 // of the step at hand: when it began and when it ends
	box, tank, before float64 // absolute pressures; box pressure a step before
	live              []live
	ends              []float64
	curve             []Point
	held              float64 // volume in pools without a hole, m3
}

// live is a pool on its way.
type live struct {
	pool int
	s    float64 // share of the way done
}

// start puts a pool on its way at the present step.
func (d *drain) start(i int) {
	if d.area[i] > 0 {
		d.live = append(d.live, live{pool: i})
		return
	}
	d.held += d.pools[i].From.Volume
}

// at returns pressure and volume of a pool at a share of its way.
func (p *Pool) at(s float64) (pressure, volume float64) {
	return Atmosphere - (p.From.Vacuum + s*(p.To.Vacuum-p.From.Vacuum)), p.From.Volume + s*(p.To.Volume-p.From.Volume)
}

// span returns the length of the next step.
func (d *drain) span() float64 {
	area := d.m.Hose
	for _, l := range d.live {
		area += d.area[l.pool]
	}
	rate := choked * rt * area / d.m.Box // of the box's pressure, 1/s
	return max(shortest, min(longest, boxShare/rate))
}

// step takes the whole machine dt on.
func (d *drain) step(dt float64) {
	ahead := max(d.tank, d.box+(d.box-d.before)/2) // the box in the middle of the step
	in := 0.0
	d.end = d.time + dt
	todo := d.live
	d.live = nil
	for _, l := range todo {
		in += d.run(l, ahead, dt)
	}
	d.before = d.box
	out := d.settle(in, dt)
	mass := d.tank*d.m.Tank/rt + out
	d.tank = mass * rt / d.m.Tank
	if floor := Atmosphere - d.m.Vacuum; d.tank > floor {
		d.tank = max(floor, d.tank*math.Exp(-d.m.Pump*dt/d.m.Tank))
	}
	d.time = d.end
}

// settle finds the pressure of the box at the end of a step, with the mass that came in, and returns
// the mass that left through the hose: backward, so that a small box does not swing.
func (d *drain) settle(in, dt float64) float64 {
	have := d.box*d.m.Box/rt + in
	lo, hi := min(d.tank, have*rt/d.m.Box), have*rt/d.m.Box
	for range 50 {
		mid := (lo + hi) / 2
		if mid*d.m.Box/rt+dt*Flow(d.m.Hose, mid, d.tank) > have {
			hi = mid
		} else {
			lo = mid
		}
	}
	d.box = lo
	return have - lo*d.m.Box/rt
}

// run takes one pool and what it falls into dt on, against a pressure of the box, and returns the
// mass that came out, kg.
func (d *drain) run(l live, box, dt float64) float64 {
	p := &d.pools[l.pool]
	area := d.area[l.pool]
	out := 0.0
	for dt > 0 {
		now, volume := p.at(l.s)
		if Atmosphere-now >= d.enough {
			d.ends[l.pool] = d.end - dt
			return out
		}
		ds := 1 - l.s
		if drop := (p.To.Vacuum - p.From.Vacuum) * ds; drop > fine*now {
			ds *= fine * now / drop
		}
		then, left := p.at(l.s + ds)
		if then < box { // only as far as the box draws
			if now <= box {
				break
			}
			ds *= (now - box) / (now - then)
			then, left = p.at(l.s + ds)
		}
		flow := Flow(area, (now+then)/2, box)
		if flow <= 0 || l.s+ds == l.s { // at the pressure of the box, to rounding
			break
		}
		mass := max(0, now*volume-then*left) / rt
		need := mass / flow
		if need > dt {
			part := ds * dt / need
			then, _ = p.at(l.s + part)
			// The flow is that of the part of the way in fact gone.
			l.s += min(ds, part*Flow(area, (now+then)/2, box)/flow)
			then, left = p.at(l.s)
			return out + d.keep(l, max(0, now*volume-then*left)/rt)
		}
		out += mass
		dt -= need
		if l.s += ds; l.s > 1-1e-12 {
			return out + d.split(l.pool, box, dt)
		}
	}
	return out + d.keep(l, 0)
}

// keep leaves a pool for the next step.
func (d *drain) keep(l live, mass float64) float64 {
	d.live = append(d.live, l)
	return mass
}

// split ends a pool and takes those it falls into on, if any has a hole.
func (d *drain) split(i int, box, dt float64) float64 {
	out, more := 0.0, false
	for _, k := range d.pools[i].Next {
		if d.area[k] > 0 {
			more = true
			out += d.run(live{pool: k}, box, dt)
			continue
		}
		d.held += d.pools[k].From.Volume
	}
	if !more {
		d.ends[i] = d.end - dt
	}
	return out
}

// mark adds a point to the curve.
func (d *drain) mark() {
	left := d.held
	for _, l := range d.live {
		_, v := d.pools[l.pool].at(l.s)
		left += v
	}
	d.curve = append(d.curve, Point{d.time, (Atmosphere - d.box) / 1e3, (Atmosphere - d.tank) / 1e3, left * 1e3})
}

// thin leaves at most curvePoints points, the first and the last among them.
func thin(all []Point) []Point {
	out := make([]Point, min(len(all), curvePoints))
	for i := range out {
		out[i] = all[i*(len(all)-1)/max(1, len(out)-1)]
	}
	return out
}
