package shell

import (
	"platen/toolgen/geom"
)

const (
	// easePasses is how often the vertices around a crossing are moved between two looks.
	easePasses = 8
	// easeLanded is the look from which landed vertices are moved along the face too.
	easeLanded = 3
	// easeWider is how many looks pass before the part that is moved grows by a ring.
	easeWider = 4
)

// ease smooths the contact side where it crosses itself: sheet under compression folds at once, and
// how it folds in the membrane means nothing. What lies on the tool stays on it.
func (s *maker) ease(hit []int32, round int) {
	verts := s.ring(hit)
	for range 1 + round/easeWider {
		verts = s.ring(s.trianglesOf(verts))
	}
	var move []int32
	for _, i := range verts {
		if !s.rim[i] && (!s.fit[i] || round >= easeLanded) {
			move = append(move, i)
		}
	}
	if s.eased == nil {
		s.eased = make([]bool, len(s.v))
	}
	next := make([]geom.Vec3, len(move))
	for range easePasses {
		each(len(move), func(k int) { next[k] = s.between(move[k]) })
		for k, i := range move {
			s.v[i] = next[k]
			s.eased[i] = true
		}
	}
}

// between returns the mean of a vertex' neighbours: on the face for one that landed, not in the tool
// for any.
func (s *maker) between(i int32) geom.Vec3 {
	sum, n := geom.Vec3{}, 0.0
	for _, t := range s.around[s.first[i]:s.first[i+1]] {
		for _, j := range s.tri[t] {
			if j != i {
				sum = sum.Add(s.v[j])
				n++
			}
		}
	}
	p := s.in.Map.Point(sum.Scale(1 / n))
	for range faceSteps {
		d, g, _ := s.in.Face(p)
		if d > 0 && !s.fit[i] {
			break
		}
		p = p.Sub(g.Scale(d))
	}
	return s.in.Map.Back(p)
}

// easedArea returns the area whose folds were smoothed, mm2.
func (s *maker) easedArea() float64 {
	if s.eased == nil {
		return 0
	}
	sum := 0.0
	for _, t := range s.tri {
		if s.eased[t[0]] || s.eased[t[1]] || s.eased[t[2]] {
			sum += s.spin(t).Norm() / 2
		}
	}
	return sum
}
