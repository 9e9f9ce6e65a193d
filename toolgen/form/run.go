package form

import (
	"context"
	"math"
)

const (
	// restSpeed ends a run: a sheet this slow for so many steps is at rest, mm per step.
	restSpeed = 2e-5
	restSteps = 25
	// stallShare is the speed, as a share of the mesh's squares, over which the pressure waits: a
	// bubble that snaps through must not be blown on by more pressure.
	stallShare = 0.2
	// mostStalls bounds the waiting, in ramps.
	mostStalls = 2
)

// form runs the travel, the ramp and the hold.
func (s *sim) form(ctx context.Context) error {
	if s.set.Blow == 0 { // a bubble is blown off the tool first
		s.meet()
	}
	for k := range s.tris {
		s.tris[k].listed = true
		s.active = append(s.active, int32(k))
	}
	s.rebuild()
	if err := s.blow(ctx); err != nil {
		return err
	}
	if s.set.Blow == 0 {
		s.pace()
	}
	if err := s.raise(ctx); err != nil {
		return err
	}
	s.finer()
	s.pace()
	if err := s.plunge(ctx); err != nil {
		return err
	}
	s.keepState()
	if err := s.ramp(ctx); err != nil {
		return err
	}
	return s.hold(ctx)
}

// The ramp must give a bubble the time to swing across its squares, or it comes down by inertia and
// leaves too much in the middle.
const (
	stepsAcross = 15 // for each square across the widest span
	mostSteps   = 4000
)

// pace finds the steps of the ramp, unless they are given, from what is free.
func (s *sim) pace() {
	if s.opt.Steps == 0 {
		s.opt.Steps = max(defaultSteps, min(mostSteps, stepsAcross*2*s.reach()))
	}
}

// reach returns how many edges the node farthest from any held one is away from it.
func (s *sim) reach() int {
	away := make([]int, len(s.nodes))
	for i := range away {
		if s.nodes[i].state.loose() {
			away[i] = len(s.nodes)
		}
	}
	for again := true; again; {
		again = false
		for k := range s.tris {
			n := &s.tris[k].n
			if least := 1 + min(away[n[0]], away[n[1]], away[n[2]]); least < max(away[n[0]], away[n[1]], away[n[2]]) {
				for _, i := range n {
					away[i] = min(away[i], least)
				}
				again = true
			}
		}
	}
	most := 0
	for _, a := range away {
		most = max(most, a)
	}
	return most
}

// meet measures every free node's distance and lands those that lie on the tool.
func (s *sim) meet() {
	for i := range s.nodes {
		if s.nodes[i].state == free {
			s.touch(int32(i))
		}
	}
}

// Blowing: the height rises evenly and the pressure follows it, so that a sheet that would run away at
// constant pressure is held. Gains are in units of the pressure of a bubble as wide as the frame; a bubble
// of more squares swings more slowly, and is given the time.
const (
	blowAcross = 40   // squares at least that the time is reckoned by
	blowSteps  = 4    // at most, in rises
	blowClose  = 2e-3 // of the height, that counts as reached
	blowNow    = 2.0  // gain on the height missing
	blowSum    = 2.0  // gain on its sum over the steps, over the squares across
)

// blow raises a bubble of the asked height. Its pressure is kept while the tool comes up and falls
// off as the vacuum comes on; the air in it is not modelled.
func (s *sim) blow(ctx context.Context) error {
	if s.set.Blow == 0 {
		return nil
	}
	for i := range s.nodes { // out of reach of the tool until it comes up
		s.nodes[i].slack = math.Inf(1)
	}
	s.blowing = true
	size := s.set.Frame.Size()
	unit := 4 * s.set.Law.reach(s.set.Gauge, 1) / min(size.X, size.Y)
	across := max(blowAcross, min(size.X, size.Y)/s.opt.Mesh)
	rise := int(stepsAcross * across)
	s.opt.Raise = max(s.opt.Raise, int(2*stepsAcross*min(size.X, size.Y)/s.squares)) // the bubble must follow the frame
	sum, top := 0.0, s.set.Start
	for still, k := 0, 0; k < blowSteps*rise && still < restSteps; k++ {
		missing := min(1, float64(k+1)/float64(rise)) - (top-s.set.Start)/s.set.Blow
		sum += blowSum / across * missing
		s.pressure = -unit * max(0, blowNow*missing+sum)
		all, err := s.turn(ctx)
		if err != nil {
			return err
		}
		top = s.set.Start
		for _, i := range s.moving {
			top = max(top, s.at[i].Z)
		}
		if still++; k < rise || math.Abs(missing) > blowClose || all.speed > s.set.Blow*blowClose/restSteps {
			still = 0
		}
	}
	s.pressure = -unit * max(0, sum)
	s.blowing, s.lift = false, s.pressure
	s.meet()
	s.rebuild()
	return nil
}

// clear is how far off the tool a bubble is let down in one piece, mm.
const clear = 0.2

// letDown brings frame and bubble down in one piece, as far as nothing of the sheet is met: no force changes.
func (s *sim) letDown(ctx context.Context) error {
	for range 50 {
		if err := ctx.Err(); err != nil {
			return err
		}
		room := s.frame - (s.set.Start - s.set.Travel)
		for i := range s.nodes {
			if s.nodes[i].state != free {
				continue
			}
			d, _ := s.tool.Distance(s.at[i])
			if s.set.Closed {
				d = min(d, s.at[i].Z-s.set.Floor)
			}
			room = min(room, d-clear/2)
		}
		if room < clear {
			break
		}
		s.frame -= room
		for i := range s.at {
			s.at[i].Z -= room
		}
	}
	s.meet()
	s.rebuild()
	return nil
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
	from, end, steps := s.set.Start, s.set.Start-s.set.Travel, s.opt.Raise
	left := s.set.Travel
	if s.set.Blow > 0 {
		if err := s.letDown(ctx); err != nil {
			return err
		}
		from, left = s.frame, s.frame-end
		steps = int(math.Ceil(float64(steps) * left / s.set.Travel))
	}
	for k := 1; k <= steps+steps/4; k++ {
		if k <= steps {
			s.frame = from - left*float64(k)/float64(steps)
			if k == steps {
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
		s.pressure = s.lift + (s.set.Pressure-s.lift)*u*u
		all, err := s.turn(ctx)
		if err != nil {
			return err
		}
		if all.speed <= s.stall {
			k++
		}
		if now := k * (s.opt.States - 2) / s.opt.Steps; now > kept {
			kept = now
			s.keepState()
		}
	}
	s.pressure = s.set.Pressure
	s.withdraw()
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
	s.fillState()
	return nil
}

// turn is one step with what goes on beside it.
func (s *sim) turn(ctx context.Context) (sums, error) {
	if err := ctx.Err(); err != nil {
		return sums{}, err
	}
	all := s.advance()
	if math.IsNaN(all.work + all.mass) {
		panic("form: a force is not a number")
	}
	s.landed += all.landed
	if s.step%webEvery == 0 && !s.blowing {
		s.guard()
	}
	if s.step-s.refined >= refineEvery && s.blowing {
		s.rebuild() // for the masses
		s.refined = s.step
		return all, nil
	}
	if s.step-s.refined >= refineEvery || float64(s.landed) > landedShare*float64(len(s.moving)) {
		s.refine()
		s.refined, s.landed = s.step, 0
	}
	return all, nil
}
