package closing

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/part"
	"platen/toolgen/sdf"
)

// Looks along a snap's face.
const (
	snapPoints = 48 // of every element of the section
	snapAround = 16
)

// Ring is the formed face of a snap at one height: how far it stands from the snap's axis, mm.
type Ring struct {
	H              float64 // from the flange that meets, out of a button, into a socket
	Mean, Min, Max float64
	Back           geom.Vec2 // the other side of the sheet there: mean distance from the axis and height
}

// Snap is a pair as it closes, measured on the formed faces that meet.
type Snap struct {
	Pair
	Faces     [2]meridian // of the button and of the socket
	Wide, Lip Ring        // the button at its widest, the socket at its narrowest
	Overlap   float64     // by which the button's widest is larger than the lip, mm a side
	Asked     float64     // the same as the job asks it, mm a side
	Strain    float64     // of the lip while the button passes, the button held rigid; ratio
	Play      float64     // least room between both faces when closed and centred, mm a side; negative: strained
	Top       float64     // room between the button's top and the socket's floor, mm
	Off       float64     // most that the sheet stands off the tool on either, mm; 0: it lies on it
	Known     bool        // whether the formed wall is known all over both
}

// meridian is the formed face of one half of a snap.
type meridian struct {
	solid *body.Solid
	Rings []Ring
	End   float64 // from the flange to its top or floor, at the axis, mm
	Off   float64 // most that the sheet stands off the tool, mm
	Known bool

	Foot          float64 // from the flange to the level it lies on, mm
	Land, BackEnd float64 // wall of the flange, and End of the other side of the sheet, mm
}

// snaps measures every pair of the line.
func snaps(in Input) []Snap {
	pairs, _ := Pairs(in.Body.Part, in.Line)
	out := make([]Snap, len(pairs))
	for i, p := range pairs {
		s := Snap{Pair: p, Asked: p.Asked()}
		s.Faces[0] = in.meridian(p.Button)
		wide, ok := s.Faces[0].widest()
		s.Known, s.Wide, s.Off = s.Faces[0].Known && ok, wide, s.Faces[0].Off
		if p.Socket != nil {
			s.Faces[1] = in.meridian(p.Socket)
			lip, _, ok := s.Faces[1].waist()
			s.Known, s.Lip, s.Off = s.Known && s.Faces[1].Known && ok, lip, max(s.Off, s.Faces[1].Off)
		}
		if s.Known && p.Socket != nil {
			s.Overlap = s.Wide.Mean - s.Lip.Mean
			s.Strain = max(0, s.Overlap/s.Lip.Mean)
		}
		out[i] = s
	}
	return out
}

// waist returns the narrowest ring between the level the half lies on and the widest that is asked, and its
// index; ok is false where none was seen.
func (m meridian) waist() (r Ring, at int, ok bool) {
	for i, q := range m.Rings {
		if q.H-m.Foot <= m.solid.Undercut.Rise && (!ok || q.Mean < r.Mean) {
			r, at, ok = q, i, true
		}
	}
	return r, at, ok
}

// widest returns the widest ring beyond the waist.
func (m meridian) widest() (r Ring, ok bool) {
	_, from, ok := m.waist()
	if !ok {
		return r, false
	}
	for _, q := range m.Rings[from:] {
		if q.Mean > r.Mean {
			r = q
		}
	}
	return r, true
}

// meridian walks over the tool's face of a snap and stands the formed sheet on it, as far off as it bridges,
// and its wall where the face that meets is the free side.
func (in Input) meridian(f *part.Feature) meridian {
	m := meridian{Known: true}
	for _, s := range in.Body.Solids {
		if s.Feature == f {
			m.solid = s
		}
	}
	s := m.solid
	m.Land = in.Formed.Walls().Land().MM
	flange := in.Body.MeetingZ(in.Line.Meets, m.Land)
	out := 1.0 // the way of heights, part frame
	if s.Sunk {
		out = -1
	}
	host := in.Body.Map.Back(s.Outline.Bounds().Centre().At(s.Wall.Host)).Z + in.Body.FreeOf(f)*in.Body.HostWall(f)
	m.Foot = out * (host - flange)
	for _, at := range along(s.Wall) {
		r := Ring{Min: math.Inf(1), Max: math.Inf(-1)}
		n := 0.0
		for i := range snapAround {
			turn := geom.Angle(2 * math.Pi * float64(i) / snapAround)
			q, ok := in.wallFace(s, turn, at)
			m.Known = m.Known && q.known
			if !ok {
				continue
			}
			d := q.meets.Plan().Sub(f.Middle).Norm()
			r.Mean, r.H, n = r.Mean+d, r.H+out*(q.meets.Z-flange), n+1
			r.Back = r.Back.Add(geom.Vec2{X: q.back.Plan().Sub(f.Middle).Norm(), Y: out * (q.back.Z - flange)})
			m.Off = max(m.Off, q.off)
			r.Min, r.Max = min(r.Min, d), max(r.Max, d)
		}
		if n > 0 {
			r.Mean, r.H, r.Back = r.Mean/n, r.H/n, r.Back.Scale(1/n)
			m.Rings = append(m.Rings, r)
		}
	}
	q, ok := in.formedFace(s, s.Outline.Bounds().Centre().At(s.Wall.End))
	m.Known = m.Known && q.known
	if ok {
		m.End, m.BackEnd, m.Off = out*(q.meets.Z-flange), out*(q.back.Z-flange), max(m.Off, q.off)
	}
	return m
}

// faceSteps bounds the walk on to the face, and onFace is where it ends, mm.
const (
	faceSteps = 12
	onFace    = 1e-7
)

// along returns points of a wall's section, from its host level to its end.
func along(w sdf.Wall) []geom.Vec2 {
	p, err := w.Profile()
	if err != nil {
		panic("closing: a solid of the tool has no section: " + err.Error())
	}
	var out []geom.Vec2
	for _, e := range p[1 : len(p)-1] {
		for k := range snapPoints {
			out = append(out, e.Point((float64(k)+0.5)/snapPoints))
		}
	}
	return out
}

// formed is a place of the formed sheet, part frame.
type formed struct {
	meets, back geom.Vec3 // on the face that meets, and on the other side of the sheet
	off         float64   // that the sheet stands off the tool, mm
	known       bool      // false in webbing, where neither wall nor place of the sheet is
}

// wallFace returns the sheet over the wall of a solid, in a direction of its plan, at a point of its section.
func (in Input) wallFace(s *body.Solid, dir geom.Angle, at geom.Vec2) (formed, bool) {
	c := s.Outline.Bounds().Centre()
	return in.formedFace(s, c.Add(geom.Vec2{X: dir.Cos(), Y: dir.Sin()}.Scale(s.Outline.Inside()+at.X)).At(at.Y))
}

// formedFace returns the sheet over the tool's face near p; ok is false where the face there is not the
// solid's, and where the sheet is not known.
func (in Input) formedFace(s *body.Solid, p geom.Vec3) (q formed, ok bool) {
	b := in.Body
	q.known = true
	for range faceSteps {
		f := b.Field.Face(p)
		if math.Abs(f.D) > onFace {
			p = p.Sub(f.G.Scale(f.D))
			continue
		}
		if b.Field.Pieces.At(f.Piece).Feature != s.ID {
			return q, false
		}
		var wall float64
		wall, q.off, q.known = in.Formed.Cover(p)
		n := f.G
		if b.Map.Over {
			n.Y, n.Z = -n.Y, -n.Z
		}
		q.meets = b.Map.Back(p).Add(n.Scale(q.off))
		q.back = q.meets.Add(n.Scale(wall))
		if b.FreeOf(s.Feature) != 0 { // the free side of the sheet meets
			q.meets, q.back = q.back, q.meets
		}
		return q, q.known
	}
	return q, false
}

// seat measures the closed pair with the flanges gap apart.
func (s *Snap) seat(gap float64) {
	if s.Faces[1].solid == nil || !s.Known {
		return
	}
	s.Play = math.Inf(1)
	for _, r := range s.Faces[0].Rings {
		if r.H-s.Faces[0].Foot < flushShare*s.Button.HostR {
			continue // runs out into the flanges, which lie on each other
		}
		s.Play = min(s.Play, room(s.Faces[1].Rings, geom.Vec2{X: r.Mean, Y: r.H - gap}))
	}
	s.Play = micron(s.Play)
	s.Top = micron(s.Faces[1].End + gap - s.Faces[0].End)
}

// flushShare is the share of the height of the waist below which the faces run out into the flanges.
const flushShare = 0.5

// room returns the distance of a point of the button from the face of the socket, negative within its wall.
func room(socket []Ring, p geom.Vec2) float64 {
	best, inside := math.Inf(1), false
	for i := 1; i < len(socket); i++ {
		a := geom.Vec2{X: socket[i-1].Mean, Y: socket[i-1].H}
		b := geom.Vec2{X: socket[i].Mean, Y: socket[i].H}
		d := b.Sub(a)
		u := 0.0
		if dd := d.Dot(d); dd > 0 {
			u = max(0, min(1, p.Sub(a).Dot(d)/dd))
		}
		if v := p.Sub(a.Add(d.Scale(u))); v.Norm() < best {
			// The face runs from the flange to the axis round the button: the socket's wall lies on its right.
			best, inside = v.Norm(), d.Cross(v) < 0
		}
	}
	if inside {
		return -best
	}
	return best
}
