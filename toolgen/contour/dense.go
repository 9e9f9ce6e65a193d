package contour

import (
	"math"
	"slices"

	"platen/toolgen/geom"
)

// denseOrder is the order of the barycentric grid of the promised measure: 91 points a triangle.
const denseOrder = 12

// worst is the largest deviation found on a triangle and its place.
type worst struct {
	d  float64
	at geom.Vec3
	w  [3]int // barycentric, in twelfths
}

// dense measures a triangle at all points of the grid.
func (r *run) dense(p *probe, t int32) worst {
	w, _ := r.denseBy(p, t, 1)
	return w
}

// denseBy measures a triangle at the points of the grid whose numbers are multiples of step, and
// bounds the others: between two of those the field leaves its tangent by no more than its curvature
// allows.
func (r *run) denseBy(p *probe, t int32, step int) (w worst, bound float64) {
	v := r.s.t[t]
	a, b, c := r.s.p[v[0]], r.s.p[v[1]], r.s.p[v[2]]
	ab, ac := b.Sub(a), c.Sub(a)
	n := ab.Cross(ac).Unit()
	// The farthest point of a grid of this step lies half its longest interval away at most, along a side
	// of the triangle.
	far := max(ab.Norm(), ac.Norm(), c.Sub(b).Norm()) / denseOrder * float64(step) / 2
	w = worst{at: r.s.middle(t), w: [3]int{4, 4, 4}}
	for i := 0; i <= denseOrder; i += step {
		for j := 0; i+j <= denseOrder; j += step {
			k := denseOrder - i - j
			q := a.Scale(float64(i) / denseOrder).Add(b.Scale(float64(j) / denseOrder)).Add(c.Scale(float64(k) / denseOrder))
			f := p.at(q)
			d := math.Abs(f.D)
			if !(d <= w.d) {
				w = worst{d, q, [3]int{i, j, k}}
			}
			if step > 1 {
				along := f.G.Sub(n.Scale(f.G.Dot(n)))
				// A tip of the grid is reached along one of three sides.
				slope := max(math.Abs(along.Dot(ab))/ab.Norm(), math.Abs(along.Dot(ac))/ac.Norm(), math.Abs(along.Dot(c.Sub(b)))/c.Sub(b).Norm())
				bound = max(bound, d+slope*far+r.bend*far*far/2)
			}
		}
	}
	return w, max(bound, w.d)
}

const (
	// mendRounds bounds the refinement of what is over the tolerance at the end: each round halves
	// a deviation at least.
	mendRounds = 12
	// coarse is the step of the grid that is tried first.
	coarse = 2
	// mendNear is the weight, in twelfths, below which the worst point counts as on the edge.
	mendNear = 2
)

// mend measures every triangle densely and splits those over the promised tolerance.
func (r *run) mend() error {
	r.dev = nil
	todo := r.s.live()
	for range mendRounds {
		r.dev = append(r.dev, make([]float64, len(r.s.t)-len(r.dev))...)
		hs := make([]int32, len(todo))
		for i, t := range todo {
			hs[i] = 3 * t
		}
		made, err := r.apply(hs, r.judgeDense)
		if err != nil {
			return err
		}
		fresh, err := r.rims(made)
		if err != nil {
			return err
		}
		made = append(made, fresh...)
		if len(made) == 0 {
			if made, err = r.straighten(); err != nil {
				return err
			}
		}
		slices.Sort(made)
		if todo = slices.Compact(made); len(todo) == 0 {
			return nil
		}
	}
	r.dev = append(r.dev, make([]float64, len(r.s.t)-len(r.dev))...)
	return r.each(len(todo), splitChunk, func(p *probe, lo, hi int) {
		for _, t := range todo[lo:hi] {
			r.dev[t] = r.dense(p, t).d
		}
	})
}

// judgeDense notes the deviation of the triangle of h and says what it needs.
func (r *run) judgeDense(p *probe, h int32) change {
	s := r.s
	t := h / 3
	r.dev[t] = 0
	if s.level(t) != off && r.flatInside(s.t[t]) {
		return change{}
	}
	w, bound := r.denseBy(p, t, coarse)
	if bound <= r.o.Tol {
		r.dev[t] = bound
		return change{}
	}
	w = r.dense(p, t)
	if r.dev[t] = w.d; w.d <= r.o.Tol {
		return change{}
	}
	least, long, ll := 0, h, 0.0
	for k := range 3 {
		if w.w[k] < w.w[least] {
			least = k
		}
		e := h + int32(k)
		if l := s.p[s.to(e)].Sub(s.p[s.from(e)]).Norm(); l > ll {
			long, ll = e, l
		}
	}
	// First what the place of the worst point suggests, then whatever the guards let pass.
	e := h + int32(least+1)%3 // the edge opposite the corner of least weight
	i, j := w.w[(least+1)%3], w.w[(least+2)%3]
	tries := []func() change{
		func() change { return r.partAt(p, e, max(0.25, min(0.75, float64(j)/float64(i+j)))) },
		func() change { return r.sinkAt(p, h, long, ll, w.at) },
		func() change {
			if s.opp[e] >= 0 && r.flips(p, e) {
				return change{act: turn, h: e}
			}
			return change{act: never}
		},
		func() change { return r.partAt(p, h+(e-h+1)%3, 0.5) },
		func() change { return r.partAt(p, h+(e-h+2)%3, 0.5) },
	}
	if w.w[least] > mendNear || s.level(t) != off {
		tries[0], tries[1] = tries[1], tries[0]
	}
	for _, try := range tries {
		if c := try(); c.act != never {
			return c
		}
	}
	return change{act: never, h: h, v: vertex{p: w.at}, face: true}
}
