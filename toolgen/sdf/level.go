package sdf

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// surface is a drafted wall, or the upright clip below a raised one, as a linear function of the
// outline's distance d and the height: a = sd d + sz z - off, negative in material, of unit slope.
type surface struct {
	member      int32
	clip        bool
	sd, sz, off float64
}

// wallOf returns the wall of a member.
func wallOf(m int, w Wall) surface {
	c, s := w.Draft.Cos(), w.Draft.Sin()
	if !w.Raised() {
		c = -c
	}
	return surface{int32(m), false, c, s, w.Datum * s}
}

// plateau is one level of material: all below height z and on the material side of every wall,
// opened by a ball of radius r.
type plateau struct {
	z      float64
	r      float64
	walls  []surface
	host   bool    // top of the host column: the cluster's host plane
	owners []int32 // members whose floor or crown it is
}

// has reports whether the plateau is cut by the wall of member m.
func (p *plateau) has(m int32) bool {
	for i := range p.walls {
		if p.walls[i].member == m {
			return true
		}
	}
	return false
}

// owned reports whether the plateau is the floor or crown of member m.
func (p *plateau) owned(m int32) bool {
	for _, o := range p.owners {
		if o == m {
			return true
		}
	}
	return false
}

// group is a union of plateaus closed together with the result of the group before it.
type group struct {
	r        float64
	plateaus []int32
}

// core is all that an evaluation needs.
type core struct {
	outlines []*outline.Outline // by member
	chains   []*outline.Chain   // of the outlines; nil where one has corners
	within   []*outline.Chain   // by member: its elements in reach of a pruned core; nil: all
	seat     *seat              // of a pruned core; nil: searches start anew
	boxes    []geom.Box2        // of the outlines
	turns    []float64          // by member: how fast the wall's normal turns at most along it, 1/mm
	hosts    []int32            // by member
	raised   []bool             // by member
	rank     []int32            // by member: place of the feature id in order
	plateaus []plateau
	groups   []group // largest radius first; the last is the finished surface
	clear    float64 // height over a level, mm, from which its sharp surfaces are bound enough
	pieces   pieces
}

// maxPlateaus bounds the levels of one cluster: a cluster that needs more has many children that
// stick out of their parents.
const maxPlateaus = 512

// layout is a cluster while its levels are worked out.
type layout struct {
	top     float64
	members []Member
	sunk    [][]int // sunk children by member, the host plane's last
	clip    []float64
}

func newLayout(top float64, members []Member) *layout {
	n := len(members)
	l := &layout{top: top, members: members, sunk: make([][]int, n+1), clip: make([]float64, n)}
	for i, m := range members {
		if !m.Wall.Raised() {
			l.sunk[l.slot(m.Host)] = append(l.sunk[l.slot(m.Host)], i)
		}
	}
	for i := range members {
		l.clip[i] = l.clipOf(i)
	}
	return l
}

func (l *layout) slot(host int) int {
	if host < 0 {
		return len(l.members)
	}
	return host
}

// column returns the raised member whose column holds the level that member m stands on or sinks
// from, -1 for the host column.
func (l *layout) column(m int) int {
	h := l.members[m].Host
	for h >= 0 && !l.members[h].Wall.Raised() {
		h = l.members[h].Host
	}
	return h
}

// clipOf returns the distance from the outline of a raised member at which it goes straight down, or
// +Inf where it keeps its draft: an upright wall needs no clip, and a member that overhangs a sunk
// neighbour must still release from it.
//
// The bend between draft and upright is rounded by the crown's ball. It starts at the host level, so
// above it the wall is left exactly as asked.
func (l *layout) clipOf(m int) float64 {
	w := l.members[m].Wall
	if !w.Raised() || w.Draft < 1e-5 || l.overhangs(m) {
		return math.Inf(1)
	}
	return w.D(w.Host - w.EndR*(w.Draft/2).Tan()*w.Draft.Cos())
}

// overhangs reports whether the foot of a raised member lies partly over a sunk member of the same
// column that is deeper than the level it stands on.
func (l *layout) overhangs(m int) bool {
	a := &l.members[m]
	z := a.Wall.Host
	for i := range l.members {
		b := &l.members[i]
		if b.Wall.Raised() || b.Wall.End > z-sameLevel || l.column(i) != l.column(m) || i == m {
			continue
		}
		if meet(a.Outline, a.Wall.D(z), b.Outline, b.Wall.D(z)) {
			return true
		}
	}
	return false
}

// core works out the plateaus of every column and the groups they are closed in.
func (l *layout) core() (*core, error) {
	c := &core{}
	groups, err := l.roots()
	if err != nil {
		return nil, err
	}
	c.groups = groups
	for col := -1; col < len(l.members); col++ {
		if col >= 0 && !l.members[col].Wall.Raised() {
			continue
		}
		first := len(c.plateaus)
		if c.plateaus, err = l.levels(c.plateaus, col); err != nil {
			return nil, err
		}
		g := l.groupOf(groups, col)
		for k := first; k < len(c.plateaus); k++ {
			groups[g].plateaus = append(groups[g].plateaus, int32(k))
		}
	}
	edge, sum := 0.0, 0.0
	for i := range c.plateaus {
		edge = max(edge, c.plateaus[i].r)
	}
	for _, g := range groups {
		sum += g.r
	}
	c.clear = edge + sum + 1 // every closing ball rests below that
	for _, m := range l.members {
		c.outlines = append(c.outlines, m.Outline)
		c.chains = append(c.chains, m.Outline.Chain())
		c.boxes = append(c.boxes, m.Outline.Bounds())
		c.turns = append(c.turns, 1/max(0, min(m.Outline.Convex(), m.Outline.Concave())+min(m.Wall.D(m.Wall.Host), m.Wall.D(m.Wall.End), 0)))
		c.hosts = append(c.hosts, int32(m.Host))
		c.raised = append(c.raised, m.Wall.Raised())
		rank := int32(0)
		for _, o := range l.members {
			if o.Feature < m.Feature {
				rank++
			}
		}
		c.rank = append(c.rank, rank)
	}
	return c, nil
}

// levels appends the plateaus of one column: its top and the floor of each sunk member in it.
func (l *layout) levels(ps []plateau, col int) ([]plateau, error) {
	first := len(ps)
	add := func(s int, z float64) error {
		for _, cut := range l.cuts(l.sunk[l.slot(col)], s, z) {
			p, err := l.plateau(col, s, z, cut)
			if err != nil {
				return err
			}
			if ps = merge(ps, first, p); len(ps) > maxPlateaus {
				return fmt.Errorf("the cluster has more than %d levels: too many sunk features stick out of the one they sink from",
					maxPlateaus)
			}
		}
		return nil
	}
	top := l.top
	if col >= 0 {
		top = l.members[col].Wall.End
	}
	if err := add(-1, top); err != nil {
		return nil, err
	}
	for s, m := range l.members {
		if m.Wall.Raised() || l.column(s) != col {
			continue
		}
		if col >= 0 && m.Wall.End < l.members[col].Wall.Host-sameLevel {
			return nil, fmt.Errorf("%s: sinks below the level %s stands on", m.Feature, l.members[col].Feature)
		}
		if err := add(s, m.Wall.End); err != nil {
			return nil, err
		}
	}
	return ps, nil
}

// plateau returns the level at height z, the floor of s (-1: the column's top), cut by some walls.
func (l *layout) plateau(col, s int, z float64, cut []int) (plateau, error) {
	p := plateau{z: z, host: col < 0 && s < 0}
	last := -1
	join := func(m int, r float64) error {
		if last >= 0 && math.Abs(r-p.r) > sameLevel {
			return fmt.Errorf("edge radii %.3f mm (%s) and %.3f mm (%s) meet on one level; give both the same",
				p.r, l.members[last].Feature, r, l.members[m].Feature)
		}
		p.r, last = r, m
		p.walls = append(p.walls, wallOf(m, l.members[m].Wall))
		return nil
	}
	if col >= 0 {
		if err := join(col, l.members[col].Wall.EndR); err != nil {
			return p, err
		}
		if c := l.clip[col]; !math.IsInf(c, 1) {
			p.walls = append(p.walls, surface{member: int32(col), clip: true, sd: 1, off: c})
		}
	}
	for _, m := range cut {
		if err := join(m, l.members[m].Wall.HostR); err != nil {
			return p, err
		}
	}
	switch {
	case s >= 0:
		p.owners = []int32{int32(s)}
	case col >= 0:
		p.owners = []int32{int32(col)}
	}
	return p, nil
}

// merge appends p, or joins it to an equal level from index first on.
func merge(ps []plateau, first int, p plateau) []plateau {
	for i := first; i < len(ps); i++ {
		o := &ps[i]
		same := math.Abs(o.z-p.z) <= sameLevel && len(o.walls) == len(p.walls)
		for k := 0; same && k < len(p.walls); k++ {
			same = o.has(p.walls[k].member)
		}
		if same {
			for _, m := range p.owners {
				if !o.owned(m) {
					o.owners = append(o.owners, m)
				}
			}
			return ps
		}
	}
	return append(ps, p)
}

// cuts returns the sets of sunk members whose walls cut the level at height z, the floor of s, each
// set giving one plateau; their union is the level.
//
// A member below must be cut out of the level. It lies inside all its ancestors, so the level may
// keep what is outside any one of them: a choice between its own wall and that of an ancestor, as
// long as the ancestor does not hold s itself. Where the member stays inside the ancestor its own
// wall keeps more; where the ancestor is far from s the ancestor's is enough; else both are taken.
func (l *layout) cuts(ms []int, s int, z float64) [][]int {
	sets := [][]int{nil}
	for _, m := range ms {
		var opts [][]int
		kids := l.sunk[m]
		switch {
		case l.holds(m, s):
			opts = l.cuts(kids, s, z)
		case l.members[m].Wall.End < z-sameLevel:
			opts = [][]int{{m}}
		case l.deepest(m) >= z-sameLevel:
			continue
		case s >= 0 && !l.near(m, s):
			opts = [][]int{{m}}
		default:
			opts = l.cuts(kids, s, z)
			if !l.inside(opts, m, z) {
				opts = append(opts, []int{m})
			}
		}
		var next [][]int
		for _, a := range sets {
			for _, b := range opts {
				if len(next) <= maxPlateaus {
					next = append(next, append(append([]int(nil), a...), b...))
				}
			}
		}
		sets = next
	}
	return sets
}

// holds reports whether m is s or an ancestor of it.
func (l *layout) holds(m, s int) bool {
	for ; s >= 0; s = l.members[s].Host {
		if s == m {
			return true
		}
	}
	return false
}

// deepest returns the lowest floor of a sunk member and all that sinks from it.
func (l *layout) deepest(m int) float64 {
	z := l.members[m].Wall.End
	for _, k := range l.sunk[m] {
		z = min(z, l.deepest(k))
	}
	return z
}

// near reports whether two sunk members may come within reach of each other's roundings.
func (l *layout) near(a, b int) bool {
	box := func(m int) geom.Box2 {
		w := l.members[m].Wall
		return l.members[m].Outline.Bounds().Grow(max(0, w.D(l.top)) + 2*(w.HostR+w.EndR))
	}
	return box(a).Overlaps(box(b))
}

// inside reports whether all members of the sets stay inside the wall of m at and below height z.
func (l *layout) inside(sets [][]int, m int, z float64) bool {
	w := l.members[m].Wall
	for _, set := range sets {
		for _, k := range set {
			o := &l.members[k]
			for _, h := range []float64{z, z - 2*w.HostR} {
				for _, q := range around(o.Outline, o.Wall.D(h), probe) {
					if l.members[m].Outline.At(q).D > w.D(h) {
						return false
					}
				}
			}
		}
	}
	return true
}

// roots returns the closings, largest radius first: the sunk members' floor radius, or without sunk
// members the largest root, closes the levels themselves.
func (l *layout) roots() ([]group, error) {
	var gs []group
	first := -1
	for i, m := range l.members {
		if m.Wall.Raised() {
			continue
		}
		if first >= 0 && math.Abs(m.Wall.EndR-l.members[first].Wall.EndR) > sameLevel {
			o := l.members[first]
			return nil, fmt.Errorf("floor radii %.3f mm (%s) and %.3f mm (%s) meet in one cluster; give both the same",
				o.Wall.EndR, o.Feature, m.Wall.EndR, m.Feature)
		}
		if first < 0 {
			first = i
			gs = append(gs, group{r: m.Wall.EndR})
		}
	}
	for {
		next := 0.0
		for _, m := range l.members {
			if r := m.Wall.HostR; m.Wall.Raised() && r > next && (len(gs) == 0 || r < gs[len(gs)-1].r-sameLevel) {
				next = r
			}
		}
		if next == 0 {
			break
		}
		gs = append(gs, group{r: next})
	}
	for i, m := range l.members {
		if err := l.rootFits(gs, i); err != nil {
			return nil, fmt.Errorf("%s: %w", m.Feature, err)
		}
	}
	return gs, nil
}

// rootFits reports a root or floor radius of member m that its column's closing would not make.
func (l *layout) rootFits(gs []group, m int) error {
	w, col := l.members[m].Wall, l.column(m)
	r := gs[l.groupOf(gs, col)].r
	if w.Raised() && w.HostR > r+sameLevel {
		return fmt.Errorf("root radius %.3f mm is larger than %.3f mm, the radius of the level it stands on", w.HostR, r)
	}
	if !w.Raised() && math.Abs(w.EndR-r) > sameLevel {
		return fmt.Errorf("floor radius %.3f mm differs from %.3f mm, the root radius of %s",
			w.EndR, r, l.members[col].Feature)
	}
	return nil
}

// groupOf returns the group of a column.
func (l *layout) groupOf(gs []group, col int) int {
	if col >= 0 {
		for i := range gs {
			if math.Abs(gs[i].r-l.members[col].Wall.HostR) <= sameLevel {
				return i
			}
		}
	}
	return 0
}
