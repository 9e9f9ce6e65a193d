package sdf

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
)

// Least rounding radii of a cluster, mm. A ball below 0.3 mm between crossing walls costs the mesher
// more cells than any cutter could show; raised strokes of lettering may go lower because their
// roundings are short. Source: measured on crossing pockets, 0.3 mm meshed clean.
const (
	LeastBall       = 0.3
	LeastRaisedBall = 0.1
)

// sameLevel is how close two heights or two radii are to count as one, mm.
const sameLevel = 1e-9

// Member is one feature of a cluster, given sharp: the cluster rounds all of them together.
type Member struct {
	Feature string           // feature id
	Outline *outline.Outline // tool plan
	Wall    Wall             // HostR is the rounding at the host level, EndR at the end level
	Host    int              // member on whose floor or crown it stands; -1: the cluster's host plane
}

// Joint is a cluster of features that cross, touch or nest closely, rounded on whole levels: every
// level with the walls that cut it is opened by a ball of the edge radius, then the union of all
// levels and raised parts is closed by a ball of the fillet radius, smaller root radii afterwards.
//
// SHAPE: a sunk member's wall runs on without end above and below its floor; a child cuts only
// inside its parent. A raised member runs on downward: straight down below its host level, or with
// its draft where it overhangs a sunk neighbour.
// ERROR: roundings are exact to the stop limit of the ball search (1e-9 mm, see Certain); far from
// the surface the value is a bound.
type Joint struct {
	Members []Member
	top     float64 // height of the host plane
	core    *core
	levels  []piece.ID
	bands   []band
	box     geom.Box3
}

// Check that a cluster is what a mesher wants.
var _ Surveyor = (*Joint)(nil)

// NewJoint returns the cluster of the members on the host plane at height hostZ and enters its
// pieces in the table.
//
// ERROR: a member that is no feature of its own (see Wall.Profile), does not stand on its host's
// level, or whose radii do not go with the others': walls that cut one level share one edge radius,
// sunk members share one floor radius, and no raised member has a larger root than its host. The
// message names the features and radii.
func NewJoint(t *piece.Table, host piece.ID, hostZ float64, members []Member) (*Joint, error) {
	if len(members) == 0 {
		return nil, fmt.Errorf("a cluster needs at least one member")
	}
	for i := range members {
		if err := members[i].check(members, hostZ); err != nil {
			return nil, fmt.Errorf("%s: %w", members[i].Feature, err)
		}
	}
	l := newLayout(hostZ, members)
	c, err := l.core()
	if err != nil {
		return nil, err
	}
	j := &Joint{Members: members, top: hostZ, core: c}
	j.levels = c.enter(t, host, members)
	j.bands = l.bands()
	j.box = l.box(j.bands)
	return j, nil
}

// check reports what is wrong with the member on its own and against its host.
func (m *Member) check(all []Member, hostZ float64) error {
	if m.Outline == nil {
		return fmt.Errorf("has no outline")
	}
	least := LeastBall
	if m.Wall.Raised() {
		least = LeastRaisedBall
	}
	for _, r := range []float64{m.Wall.HostR, m.Wall.EndR} {
		if !(r >= least) {
			return fmt.Errorf("radius %.3f mm is below %.3f mm, the least where features meet", r, least)
		}
	}
	if _, err := m.Wall.Profile(); err != nil {
		return err
	}
	if m.Host < -1 || m.Host >= len(all) {
		return fmt.Errorf("host %d is no member", m.Host)
	}
	level, steps := hostZ, 0
	if m.Host >= 0 {
		level = all[m.Host].Wall.End
	}
	for h := m.Host; h >= 0; h = all[h].Host {
		if steps++; steps > len(all) || h >= len(all) {
			return fmt.Errorf("stands on itself")
		}
	}
	if math.Abs(m.Wall.Host-level) > sameLevel {
		return fmt.Errorf("starts at height %.4f mm, its host's level is at %.4f mm", m.Wall.Host, level)
	}
	return nil
}

// At returns the sample of the host plane with the cluster. It allocates nothing for clusters of up
// to 64 members.
func (j *Joint) At(p geom.Vec3) Sample {
	s, _ := j.Certain(p)
	return s
}

// Certain returns the sample at p and reports whether the search for the resting ball came to an
// end there. Where it did not, the value is that of the sharp features: on the surface of a finished
// tool that must not happen.
func (j *Joint) Certain(p geom.Vec3) (Sample, bool) {
	c := j.core
	h := c.close(len(c.groups)-1, p)
	return Sample{h.d, h.g, c.piece(h.tag, p)}, h.sure
}

// Level returns the pieces of the level planes of the cluster, host plane first, then each member's.
func (j *Joint) Level() []piece.ID { return j.levels }

// Box returns the box that holds all of the cluster but its level planes.
func (j *Joint) Box() geom.Box3 { return j.box }

// band is the strip of plan round one outline in which its walls and their roundings lie.
type band struct {
	outline *outline.Outline
	box     geom.Box2 // of the outline
	lo, hi  float64   // of the distance to the outline, mm
	reach   float64   // distance up to which the host plane is disturbed, mm; -Inf: not at all
}

// Plan returns a signed distance in plan to the region where the cluster is not its host plane,
// negative inside. The region may be a little too large, never too small.
//
// A point of the plane is left alone when the ball below it clears every wall and the ball above it
// every raised part; each of those is a condition on one outline, so the region is a plain union.
func (j *Joint) Plan(q geom.Vec2) float64 {
	d := math.Inf(1)
	for i := range j.bands {
		b := &j.bands[i]
		if !math.IsInf(b.reach, -1) && b.box.Dist(q)-b.reach < d {
			d = min(d, b.outline.At(q).D-b.reach)
		}
	}
	return d
}

// Flat returns a lower bound of the distance in plan from q, a point over a level floor or crown, to
// where that level ends.
func (j *Joint) Flat(q geom.Vec2) float64 {
	f := math.Inf(1)
	for i := range j.bands {
		if j.bands[i].box.Dist(q)-j.bands[i].hi >= f {
			continue
		}
		d := j.bands[i].outline.At(q).D
		f = min(f, max(d-j.bands[i].hi, j.bands[i].lo-d, 0))
	}
	return f
}
