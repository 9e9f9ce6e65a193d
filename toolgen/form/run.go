package form

import (
	"context"
	"math"
)

const (
	askEvery = 8 // steps between looks at the context
	// restSpeed ends a run: a sheet this slow for so many steps is at rest, mm per step.
	restSpeed = 2e-5
	restSteps = 25
	// stallShare is the speed, as a share of the mesh's squares, over which the pressure waits: a
	// bubble that snaps through must not be blown on by more pressure.
	stallShare = 0.2
	// mostStalls bounds the waiting, in ramps.
	mostStalls = 4
)

// form runs the travel, the ramp and the hold.
func (s *sim) form(ctx context.Context) error {
	for i := range s.nodes {
		if s.nodes[i].state == free {
			s.touch(int32(i))
		}
	}
	for k := range s.tris {
		s.tris[k].listed = true
		s.active = append(s.active, int32(k))
	}
	s.rebuild()
	if err := s.raise(ctx); err != nil {
		return err
	}
	s.keepState()
	if err := s.ramp(ctx); err != nil {
		return err
	}
	return s.hold(ctx)
}

// raise brings the frame down past the tool, and lets the sheet come to rest.
func (s *sim) raise(ctx context.Context) error {
	if s.set.Travel == 0 {
		return nil
	}
	var rim []int32
	for i := range s.nodes {
		if s.nodes[i].state == clamped {
			rim = append(rim, int32(i))
		}
	}
	end := s.set.Start - s.set.Travel
	for k := 1; k <= s.opt.Raise+s.opt.Raise/4; k++ {
		if k <= s.opt.Raise {
			s.frame = s.set.Start - s.set.Travel*float64(k)/float64(s.opt.Raise)
			if k == s.opt.Raise {
				s.frame = end
			}
			for _, i := range rim {
				s.at[i].Z = s.frame
			}
		}
		before := len(s.nodes)
		if _, err := s.turn(ctx); err != nil {
			return err
		}
		for i := before; i < len(s.nodes); i++ { // a refinement may have split the frame's edges
			if s.nodes[i].state == clamped {
				rim = append(rim, int32(i))
			}
		}
	}
	return nil
}

// ramp raises the pressure with the square of time; it waits while the sheet runs.
func (s *sim) ramp(ctx context.Context) error {
	kept := 0
	for k, n := 0, 0; k < s.opt.Steps && n < (1+mostStalls)*s.opt.Steps && len(s.moving) > 0; n++ {
		u := float64(k+1) / float64(s.opt.Steps)
		s.pressure = s.set.Pressure * u * u
		all, err := s.turn(ctx)
		if err != nil {
			return err
		}
		if all.speed <= stallShare*s.opt.Mesh {
			k++
		}
		if now := k * (s.opt.States - 2) / s.opt.Steps; now > kept {
			kept = now
			s.keepState()
		}
	}
	s.pressure = s.set.Pressure
	return nil
}

// hold keeps the final pressure until the sheet rests.
func (s *sim) hold(ctx context.Context) error {
	still := 0
	for k := 0; k < s.opt.Hold && still < restSteps && len(s.moving) > 0; k++ {
		all, err := s.turn(ctx)
		if err != nil {
			return err
		}
		still++
		if all.speed > restSpeed {
			still = 0
		}
	}
	s.keepState()
	return nil
}

// turn is one step with what goes on beside it.
func (s *sim) turn(ctx context.Context) (sums, error) {
	if s.step%askEvery == 0 {
		if err := ctx.Err(); err != nil {
			return sums{}, err
		}
	}
	all := s.advance()
	if math.IsNaN(all.work + all.mass) {
		panic("form: a force is not a number")
	}
	s.landed += all.landed
	if s.step%webEvery == 0 {
		s.guard()
	}
	if s.step-s.refined >= refineEvery || float64(s.landed) > landedShare*float64(len(s.moving)) {
		s.refine()
		s.refined, s.landed = s.step, 0
	}
	return all, nil
}
