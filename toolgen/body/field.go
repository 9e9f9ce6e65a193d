package body

import (
	"fmt"
	"slices"
	"strings"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// field builds the distance field: the block, lone features with their closed profiles, clusters
// rounded together.
func (b *Body) field() error {
	t := &piece.Table{}
	block, err := b.block(t)
	if err != nil {
		return err
	}
	group, err := b.groups()
	if err != nil {
		return err
	}
	land := block.IDs[len(block.IDs)-1][0]
	var patches []*sdf.Patch
	for i, s := range b.Solids {
		if group[i] != i {
			continue
		}
		members := membersOf(group, i)
		host, parent := land, -1
		if s.Parent != nil {
			p := b.solidOf(s.Parent)
			host, parent = p.EndPiece, p.Patch
		}
		patch := &sdf.Patch{Name: b.names(members), Host: host, Parent: parent}
		if err := b.fill(t, patch, members); err != nil {
			return err
		}
		for _, m := range members {
			b.Solids[m].Patch = len(patches)
		}
		patches = append(patches, patch)
	}
	b.Field = sdf.NewBody(t, block, patches)
	return b.onLand(block)
}

// settle bounds the rounds in which evened roundings, now wider, join further features.
const settle = 8

// groups returns the clusters with their roundings evened, each solid named by the first of its group.
//
// ERROR: where the evened roundings do not fit on a member.
func (b *Body) groups() ([]int, error) {
	group := b.mergeHosts(b.clusters())
	for range settle {
		for i := range group {
			members := membersOf(group, i)
			if len(members) < 2 {
				continue
			}
			b.even(members)
			for _, m := range members {
				if _, err := b.Solids[m].Wall.Profile(); err != nil {
					return nil, unfit(b.Solids[m], fmt.Errorf("rounded together with %s: %w", b.others(members, m), err))
				}
			}
		}
		next := b.mergeHosts(b.clusters())
		if slices.Equal(next, group) {
			break
		}
		group = next
	}
	return group, nil
}

// fill makes the patch of the given solids.
func (b *Body) fill(t *piece.Table, patch *sdf.Patch, members []int) error {
	s := b.Solids[members[0]]
	if len(members) == 1 {
		p, err := s.Wall.Profile()
		if err != nil {
			return unfit(s, err)
		}
		patch.Sweep = sdf.NewSweepOn(t, patch.Host, s.ID, s.Outline, p, s.Wall.Roles(piece.Land, p))
		s.EndPiece = patch.Sweep.IDs[len(p)-1][0]
		return nil
	}
	for _, i := range members {
		if s := b.Solids[i]; s.EndSize {
			return b.apart(members, i)
		}
	}
	for _, i := range members {
		if s := b.Solids[i]; s.Wall.Waisted() {
			return b.refuse(s, fmt.Errorf("it has an undercut and can not be rounded together with %s, which it meets; move them apart", b.others(members, i)))
		}
	}
	ms := make([]sdf.Member, len(members))
	for k, i := range members {
		m := b.Solids[i]
		m.Member = k
		ms[k] = sdf.Member{Feature: m.ID, Outline: m.Outline, Wall: m.Wall, Host: -1}
		for l, h := range members {
			if b.Solids[h].Feature == m.Parent {
				ms[k].Host = l
			}
		}
	}
	joint, err := sdf.NewJoint(t, patch.Host, s.Wall.Host, ms)
	if err != nil {
		return unfit(s, fmt.Errorf("rounding %s together: %w", patch.Name, err))
	}
	for k, i := range members {
		b.Solids[i].EndPiece = joint.Level()[k+1]
	}
	patch.Joint = joint
	if err := b.misfits(joint, members); err != nil {
		return err
	}
	return b.hidden(t, joint, members)
}

// misfits refuses a cluster whose roundings do not fit, and notes what is merely tight.
func (b *Body) misfits(j *sdf.Joint, members []int) error {
	for _, m := range j.Check() {
		s := b.named(members, m.Members[0])
		if m.Hard {
			if t := b.named(members, m.Members[1]); t != s && s.Sunk && t.Sunk {
				return b.close(s, t, m)
			}
			return unfit(s, fmt.Errorf("%s", m))
		}
		place := m.At
		unit := "mm"
		if m.Angle {
			unit = "deg"
		}
		f := finding.Finding{
			ID: "blend.tight", Severity: finding.Warning, Feature: s.ID, Pos: s.Pos, At: &place,
			Got: m.Got, Limit: m.Limit, Unit: unit, Text: m.String(), Source: "derived: fit of the rounding ball",
			Fix: "move the features apart, or take smaller roundings",
		}
		if m.Largest > 0 {
			f.Fix = fmt.Sprintf("a rounding of at most %.2f mm, or move the features apart", m.Largest)
		}
		b.Notes = append(b.Notes, f)
	}
	return nil
}

// even gives the sunk members of a cluster one edge and one floor rounding, the smallest asked: a
// level is opened by one ball and its roots are closed by one. A raised member's root is at most that
// floor rounding; where something sinks from its top, it is that and its crown is the edge.
func (b *Body) even(members []int) {
	var edges, floors []float64
	hosts := map[*part.Feature]bool{}
	for _, i := range members {
		if s := b.Solids[i]; s.Female() {
			edges, floors = append(edges, s.Wall.HostR), append(floors, s.Wall.EndR)
			hosts[s.Parent] = true
		}
	}
	for _, i := range members {
		if s := b.Solids[i]; !s.Female() && hosts[s.Feature] {
			edges = append(edges, max(s.Wall.EndR, raisedLimit)) // one ball opens its top with what sinks from it
		}
	}
	edge, de := smallest(edges)
	floor, df := smallest(floors)
	if d := b.Part.Job.Defaults; d.Has("crossing") {
		edge, de = max(d.Length("crossing"), rootLimit), true
	}
	for _, i := range members {
		s := b.Solids[i]
		hostR, endR := edge, floor
		switch {
		case !s.Female():
			hostR, endR = max(s.Wall.HostR, raisedLimit), max(s.Wall.EndR, raisedLimit)
			if len(floors) > 0 {
				hostR = min(hostR, floor)
			}
			if hosts[s.Feature] {
				hostR, endR = floor, edge
			}
		case !de:
			hostR = s.Wall.HostR
		}
		if s.Female() && !df {
			endR = s.Wall.EndR
		}
		if hostR != s.Wall.HostR || endR != s.Wall.EndR {
			b.Notes = append(b.Notes, finding.Finding{
				ID: "blend.radius-evened", Severity: finding.Note, Feature: s.ID, Pos: s.Pos,
				Got: s.Wall.HostR, Limit: hostR, Unit: "mm",
				Text: fmt.Sprintf("it meets other features, so its roundings are evened: %.2f to %.2f mm where it starts, %.2f to %.2f mm at its end",
					s.Wall.HostR, hostR, s.Wall.EndR, endR),
				Fix: "ask the same roundings of all features that meet",
			})
		}
		s.Wall.HostR, s.Wall.EndR = hostR, endR
	}
}

// raisedLimit is the least rounding of a raised feature in a cluster, mm (lettering).
const raisedLimit = 0.1

// mergeHosts joins groups until all members of a group that lie on levels outside it lie on the same
// one.
func (b *Body) mergeHosts(group []int) []int {
	for again := true; again; {
		again = false
		outer := map[int]*part.Feature{}
		seen := map[int]bool{}
		for i, s := range b.Solids {
			g := group[i]
			if s.Parent != nil && group[b.index(s.Parent)] == g {
				continue
			}
			if seen[g] && outer[g] != s.Parent {
				for _, p := range []*part.Feature{outer[g], s.Parent} {
					if p != nil {
						regroup(group, group[b.index(p)], g)
						again = true
					}
				}
				break
			}
			outer[g], seen[g] = s.Parent, true
		}
	}
	return group
}

// regroup joins groups a and c under the smaller of their names.
func regroup(group []int, a, c int) {
	lo, hi := min(a, c), max(a, c)
	for i, g := range group {
		if g == hi {
			group[i] = lo
		}
	}
}

func membersOf(group []int, g int) []int {
	var ms []int
	for i := range group {
		if group[i] == g {
			ms = append(ms, i)
		}
	}
	return ms
}

func (b *Body) names(members []int) string {
	ids := make([]string, len(members))
	for k, i := range members {
		ids[k] = b.Solids[i].ID
	}
	return strings.Join(ids, "+")
}

// others names the members of a cluster but i.
func (b *Body) others(members []int, i int) string {
	return b.names(slices.DeleteFunc(slices.Clone(members), func(k int) bool { return k == i }))
}

func (b *Body) index(f *part.Feature) int {
	for i, s := range b.Solids {
		if s.Feature == f {
			return i
		}
	}
	panic("body: feature of another part")
}

func (b *Body) solidOf(f *part.Feature) *Solid { return b.Solids[b.index(f)] }

// block returns the block: base, sides with their draft, land, and the rounding between them.
func (b *Body) block(t *piece.Table) (*sdf.Sweep, error) {
	blk := b.Part.Job.Block
	size, draft, edge := b.blockSize(), blk.Angle("skirt_draft"), blk.Length("edge")
	o, err := outline.Rect(size.X, size.Y, blk.Length("corner"))
	if err != nil {
		return nil, &part.BuildError{Pos: blk.Pos("corner"), Feature: "block", Err: err}
	}
	// The block is cut at its own size: only the part is scaled.
	if o, err = o.Map(geom.Moved(b.centre)); err != nil {
		return nil, err
	}
	// The block is a raised feature on its own base, whose host plane is the base seen from below.
	w := sdf.Wall{Host: b.Bottom(), End: b.Land(), Datum: b.Bottom(), Draft: draft, EndR: edge, Inside: o.Inside()}
	p, err := w.Profile()
	if err != nil {
		return nil, &part.BuildError{Pos: blk.Pos("edge"), Feature: "block", Err: err}
	}
	if r, run := o.Convex(), -p.Inner(); r < run && r > 0 {
		return nil, &part.BuildError{Pos: blk.Pos("corner"), Feature: "block",
			Err: fmt.Errorf("corner radius %.3f mm: skirt and edge run %.3f mm inward; corner 0 or at least %.3f mm", r, run, run+0.001)}
	}
	p[0].A.X = -p[0].A.X // the base lies inside the outline
	roles := w.Roles(piece.Base, p)
	side := piece.Side
	if b.drapes() {
		side = piece.Skirt
	}
	for i, r := range roles {
		switch r {
		case piece.Wall:
			roles[i] = side
		case piece.Crown:
			roles[i] = piece.Land
		}
	}
	return sdf.NewSweep(t, "block", o, p, roles), nil
}

// drapes reports whether the sheet drapes down the sides of the block.
func (b *Body) drapes() bool { return b.Part.Job.Tool.Choice("seal") == "platen" }

// onLand checks that every feature keeps to the flat land of the block.
func (b *Body) onLand(block *sdf.Sweep) error {
	flat := block.Profile.Inner()
	for i := range b.Part.Impressions {
		m := b.MapOf(i)
		for _, e := range b.Part.Outline.Elems {
			if over := block.Outline.At(m.Plan(e.A)).D - flat; over > 1e-9 {
				return &part.BuildError{Pos: b.Part.Job.Block.Pos("size"), Feature: "block",
					Err: fmt.Errorf("it is too small for the part: the trim line lies up to %.3f mm beyond its flat land; make tool.block.size or margin larger", over)}
			}
		}
	}
	for _, s := range b.Solids {
		if b.Field.Patches[s.Patch].Parent >= 0 {
			continue // within the level of another patch
		}
		p, _ := s.Wall.Profile()
		for _, e := range s.Outline.Elems {
			if d := block.Outline.At(e.A).D; d+p.Reach() > flat-1e-9 {
				at := b.Back(e.A.At(b.Land()))
				return b.refuse(s, fmt.Errorf("it runs over the edge of the block near part x %.2f, y %.2f: its rounding ends %.3f mm beyond the flat land; move it, or make tool.block.margin or size larger by at least %.3f mm",
					at.X, at.Y, d+p.Reach()-flat, d+p.Reach()-flat))
			}
		}
		if pokes(s.Outline, block.Outline, flat-p.Reach()) {
			return b.refuse(s, fmt.Errorf("it runs over the edge of the block"))
		}
	}
	return nil
}
