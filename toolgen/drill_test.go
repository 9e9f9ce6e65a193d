package toolgen_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/toolgen"
	"platen/toolgen/export"
	"platen/toolgen/geom"
	"platen/toolgen/jobtest"
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/shop"
)

// Tolerances of the proof of holes, mm. A row of the list has three decimals.
const (
	rowSlack  = 0.002
	faceSlack = 0.01
	wallSlack = 0.05 // of a least wall: the holes are proven by samples half a millimetre apart
)

// TestDrillsOfExamples and TestDrillsOfRandomJobs hold every row of drills.csv to the tool: the hole
// starts on a level face, the back drill meets it, the chuck clears the walls and nothing breaks
// through, by means of their own.
func TestDrillsOfExamples(t *testing.T) {
	for _, name := range examples.Starters() {
		text, err := examples.Starter(name)
		require.NoError(t, err)
		t.Run(name, func(t *testing.T) { require.NotZero(t, drills(t, check(t, string(text)))) })
	}
	for _, name := range examples.Kinds() {
		text, err := examples.Kind(name)
		require.NoError(t, err)
		t.Run(name, func(t *testing.T) { drills(t, check(t, string(text))) })
	}
}

func TestDrillsOfRandomJobs(t *testing.T) {
	holes, made := 0, 0
	for seed := range uint64(200) {
		r, err := toolgen.Check(context.Background(), read(t, jobtest.Random(seed)), options())
		if err != nil {
			require.ErrorAs(t, err, new(*part.BuildError), "seed %d", seed)
			continue
		}
		made++
		t.Run(fmt.Sprint(seed), func(t *testing.T) { holes += drills(t, r) })
	}
	t.Logf("%d holes in %d jobs", holes, made)
	require.GreaterOrEqual(t, made, 160)
	require.GreaterOrEqual(t, holes, 2000)
}

// drills proves the rows of a job's list and returns how many there are.
func drills(t *testing.T, r *toolgen.Result) int {
	t.Helper()
	var list bytes.Buffer
	for _, a := range r.Artefacts() {
		if strings.HasPrefix(a.Name, "drills") {
			require.NoError(t, a.Write(&list))
		}
	}
	rows, err := export.ReadDrillCSV(&list)
	require.NoError(t, err)
	require.Len(t, rows, len(r.Vents.Holes))
	p := prover{r}
	for i, d := range rows {
		err := errors.Join(p.mouth(d), p.meets(d), p.solid(d), p.chuck(d), p.sides(d))
		for _, o := range rows[:i] {
			err = errors.Join(err, p.apart(d, o))
		}
		require.NoError(t, err, "%+v", d)
	}
	return len(rows)
}

// prover measures one tool.
type prover struct{ *toolgen.Result }

func (p prover) face(q geom.Vec3) float64 { return p.Body.Field.Face(q).D }
func (p prover) least() float64           { return p.Body.Tool.LeastWall.V }

// ring calls f with points of a level circle round the axis of a hole, then with its centre.
func ring(d export.Drill, r, z float64, f func(geom.Vec3) error) error {
	const n = 16
	for k := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.37) / n)
		if err := f(geom.Vec3{X: d.At.X + r*c, Y: d.At.Y + r*s, Z: z}); err != nil {
			return err
		}
	}
	return nil
}

// mouth checks that the hole starts on a level face that reaches all round it.
func (p prover) mouth(d export.Drill) error {
	if d.Axis != (geom.Vec3{Z: -1}) {
		return fmt.Errorf("axis %v", d.Axis)
	}
	s := p.Body.Field.Face(d.At)
	if math.Abs(s.D) > faceSlack || s.G.Z < 1-1e-6 {
		return fmt.Errorf("the hole starts %.4f mm off the face", s.D)
	}
	switch role := p.Body.Field.Pieces.At(s.Piece).Role; role {
	case piece.Floor, piece.Land, piece.Crown:
	default:
		return fmt.Errorf("the hole starts on the %v", role)
	}
	for _, r := range []float64{d.Dia / 4, d.Dia / 2} {
		err := ring(d, r, d.At.Z, func(q geom.Vec3) error {
			if v := p.face(q); math.Abs(v) > faceSlack {
				return fmt.Errorf("the mouth is %.4f mm off the face at %v", v, q)
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// meets checks that the depths join: the small drill at full diameter ends within the back drill at
// full diameter, or passes the base.
func (p prover) meets(d export.Drill) error {
	height := d.At.Z - p.Body.Bottom()
	end := height - d.Depth // above the base
	if d.BackDia == 0 {
		if end > rowSlack {
			return fmt.Errorf("the hole ends %.3f mm above the base and no back drill meets it", end)
		}
		return nil
	}
	if d.BackDia < d.Dia {
		return fmt.Errorf("back drill %.2f mm below the hole's %.2f mm", d.BackDia, d.Dia)
	}
	if end < 0 {
		return fmt.Errorf("the hole passes the base and has a back drill")
	}
	// Where the cone of its point is as wide as the hole, the back drill is this much further up.
	cone := shop.Tip(d.BackDia, shop.PointStandard) * (1 - d.Dia/d.BackDia)
	if d.BackDepth+cone < end-rowSlack {
		return fmt.Errorf("the back drill ends %.3f mm below the hole", end-d.BackDepth-cone)
	}
	if tip := d.BackDepth + shop.Tip(d.BackDia, shop.PointStandard); tip >= height-max(d.Dia, 0.5) {
		return fmt.Errorf("the point of the back drill comes within %.3f mm of the face", height-tip)
	}
	return nil
}

// solid checks what is left round the drills: samples on their surfaces lie in the material, and as
// deep in it as the tool material needs, but for the level face right above them.
func (p prover) solid(d export.Drill) error {
	wall := func(what string) func(q geom.Vec3) error {
		return func(q geom.Vec3) error {
			s := p.Body.Field.Face(q)
			if s.D > -1e-6 && q.Z < d.At.Z-faceSlack {
				return fmt.Errorf("the %s breaks through at %v", what, q)
			}
			up := d.At.Z - q.Z // to the level it starts on
			if -s.D >= min(p.least(), up)-wallSlack {
				return nil
			}
			return fmt.Errorf("the %s leaves %.3f mm of solid %.2f mm below its face at %v", what, -s.D, up, q)
		}
	}
	for z := d.At.Z - 0.2; z > d.At.Z-d.Depth; z -= 0.3 {
		if err := ring(d, d.Dia/2, z, wall("hole")); err != nil {
			return err
		}
	}
	if d.BackDia == 0 {
		return nil
	}
	top := p.Body.Bottom() + d.BackDepth
	for z := p.Body.Bottom(); z < top; z += 0.4 {
		if err := ring(d, d.BackDia/2, z, wall("back drill")); err != nil {
			return err
		}
	}
	tip := shop.Tip(d.BackDia, shop.PointStandard)
	for k := range 6 {
		f := float64(k) / 5
		if err := ring(d, d.BackDia/2*(1-f), top+tip*f, wall("point of the back drill")); err != nil {
			return err
		}
	}
	return nil
}

// chuck checks that the small drill and its chuck get in from where the row says.
func (p prover) chuck(d export.Drill) error {
	t, err := shop.NewDrill(d.Dia)
	if err != nil {
		return err
	}
	if d.From == export.Back {
		if d.BackDia == 0 {
			return fmt.Errorf("drilled from the back without a back drill")
		}
		if 2*shop.ChuckRadius > d.BackDia && t.StickOut() < d.BackDepth+d.Depth-rowSlack {
			return fmt.Errorf("the chuck does not enter the back drill and the drill is %.2f mm too short", d.BackDepth+d.Depth-t.StickOut())
		}
		return nil
	}
	air := func(q geom.Vec3) error {
		if p.face(q) < 0 {
			return fmt.Errorf("the drill or its chuck touches the tool at %v", q)
		}
		return nil
	}
	out := t.StickOut() - d.Depth
	if out <= 0 {
		return fmt.Errorf("the drill is %.2f mm too short", -out)
	}
	top := p.Body.Field.Box().Max.Z + 1
	for z := d.At.Z + 0.1; z < top; z += 0.4 {
		r := d.Dia / 2
		if z >= d.At.Z+out {
			r = shop.ChuckRadius
		}
		if err := errors.Join(ring(d, r, z, air), ring(d, 0.6*r, z, air)); err != nil {
			return err
		}
	}
	return nil
}

// sides checks the solid left to the sides of the block, which lean in with their draft.
func (p prover) sides(d export.Drill) error {
	draft := p.Job.Block.Angle("skirt_draft")
	for _, v := range voids(p, d) {
		gap := -p.Body.Field.Block.Outline.At(d.At.Plan()).D
		gap = (gap-(v.hi-p.Body.Bottom())*draft.Tan())*draft.Cos() - v.r
		if gap < p.least()-faceSlack {
			return fmt.Errorf("only %.3f mm are left to the side of the block", gap)
		}
	}
	return nil
}

// void is a cylinder that a drill leaves.
type void struct{ r, lo, hi float64 }

func voids(p prover, d export.Drill) []void {
	out := []void{{d.Dia / 2, d.At.Z - d.Depth, d.At.Z}}
	if d.BackDia > 0 {
		out = append(out, void{d.BackDia / 2, p.Body.Bottom(), p.Body.Bottom() + d.BackDepth})
	}
	return out
}

// apart checks the solid left between two holes.
func (p prover) apart(a, b export.Drill) error {
	across := a.At.Plan().Sub(b.At.Plan()).Norm()
	for _, u := range voids(p, a) {
		for _, v := range voids(p, b) {
			gap := math.Hypot(max(across-u.r-v.r, 0), max(u.lo-v.hi, v.lo-u.hi, 0))
			if gap < p.least()-faceSlack {
				return fmt.Errorf("only %.3f mm are left to %s", gap, b.ID)
			}
		}
	}
	return nil
}

// TestNothingIsMissedWhereTheFloorIsCutAway: the inner ends of recesses for fingers lie in the pocket, where no
// floor of theirs is left that could shut air in.
func TestNothingIsMissedWhereTheFloorIsCutAway(t *testing.T) {
	r := check(t, `format: 1
name: flush
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083}
part: {outline: {rect: [140, 130], corner: 8}}
features:
  - {kind: pocket, name: cell, product: {size: [58, 36], height: 15, edge: 2}}
`)
	grips := 0
	for _, s := range r.Body.Solids {
		if s.Use == part.Grip {
			grips++
		}
	}
	require.Equal(t, 2, grips)
	for _, f := range r.Findings {
		require.NotEqual(t, "vent.none-fits", f.ID, "%s", f)
	}
	served := 0
	for _, h := range r.Vents.Holes {
		if strings.HasPrefix(h.Feature, "I1/cell/fingers") {
			served++
		}
	}
	require.GreaterOrEqual(t, served, 2, "their outer ends have holes")
}
