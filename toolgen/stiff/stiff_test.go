package stiff_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/stiff"
	"platen/toolgen/wall"
)

// even is a wall that is the same everywhere.
type even float64

func (e even) Cover(geom.Vec3) (wall, off float64, known bool) { return float64(e), 0, true }

func assemble(t *testing.T, text string) *body.Body {
	t.Helper()
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	j, err := job.Read([]byte(text), "job.yaml", kinds, job.Names{})
	require.NoError(t, err)
	p, err := part.Resolve(j, features.All(), nil)
	require.NoError(t, err)
	b, err := body.Assemble(p, wall.None{})
	require.NoError(t, err)
	return b
}

const head = "format: 1\nname: n\nsheet: {material: HIPS, gauge: 1}\ntool: {material: aluminium 5083, measured: underside}\nshrink: {off: true}\npart: {outline: {rect: [220, 120]}}\n"

// uniform is a beam of one section.
func uniform(span, area, i float64, n int) *stiff.Beam {
	b := &stiff.Beam{From: -span / 2, To: span / 2}
	for k := range n {
		b.Sections = append(b.Sections, stiff.Section{At: b.From + span*float64(k)/float64(n-1), Area: area, I: i})
	}
	return b
}

// TestBeamOfATextbook: a force in the middle sags F l^3 / (48 E I), one at a third F l^3 x 0.0177... by the formula
// for a place a from the end, b from the other: F b (l^2 - b^2)^(3/2) / (9 sqrt 3 l E I), b the shorter
// (Timoshenko, Strength of Materials, from memory).
func TestBeamOfATextbook(t *testing.T) {
	const span, e, i = 300.0, 2000.0, 500.0
	b := uniform(span, 10, i, 61)
	force := 100 * 9.80665e-3
	b.Loads = []stiff.Load{{At: 0, Mass: 100}}
	sag, at := b.Sag(e)
	require.InEpsilon(t, force*span*span*span/(48*e*i), sag, 2e-3)
	require.InDelta(t, 0, at, 1e-9)
	b.Loads = []stiff.Load{{At: -50, Mass: 100}} // 100 from the left
	sag, at = b.Sag(e)
	require.InEpsilon(t, force*100*math.Pow(span*span-100*100, 1.5)/(9*math.Sqrt(3)*span*e*i), sag, 2e-3)
	require.InDelta(t, span/2-math.Sqrt((span*span-100*100)/3), at, span/60)
	// Twice the load, half the sag of twice the stiffness; the same from the other end.
	b.Loads = []stiff.Load{{At: 50, Mass: 200}}
	other, _ := b.Sag(2 * e)
	require.InEpsilon(t, sag, other, 1e-9)
	// A load over the hands bends nothing.
	b.Loads = []stiff.Load{{At: -150, Mass: 1000}, {At: 170, Mass: 1000}}
	sag, _ = b.Sag(e)
	require.InDelta(t, 0, sag, 1e-12)
}

// TestSteppedBeam: half as stiff over the middle half, a force in the middle. By moment areas
// F l^3 / (48 E I) (1 / 8 + 2 x 7 / 8).
func TestSteppedBeam(t *testing.T) {
	const span, e, i = 400.0, 2000.0, 500.0
	b := uniform(span, 10, i, 401)
	for k := range b.Sections {
		if math.Abs(b.Sections[k].At) < span/4 {
			b.Sections[k].I = i / 2
		}
	}
	b.Loads = []stiff.Load{{At: 0, Mass: 100}}
	sag, _ := b.Sag(e)
	require.InEpsilon(t, 0.981*span*span*span/(48*e*i)*(1.0/8+2*7.0/8), sag, 5e-3)
}

// TestFlatSheet: b t^3 / 12, and under its own mass 5 w l^4 / (384 E I).
func TestFlatSheet(t *testing.T) {
	b, err := stiff.Lift(context.Background(), assemble(t, head), even(1.2))
	require.NoError(t, err)
	require.Equal(t, "X", b.Axis)
	require.InDelta(t, 200, b.Span(), 1e-9)
	for _, s := range b.Sections {
		require.InEpsilon(t, 120*1.2*1.2*1.2/12, s.I, 1e-6)
		require.InDelta(t, 120*1.2, s.Area, 1e-6)
		require.InDelta(t, 0.6, s.Centre, 1e-3, "the sheet lies on the tool, its underside is measured")
	}
	w := 1050e-6 * 120 * 1.2 * 9.80665e-3
	sag, at := b.Sag(2000)
	require.InEpsilon(t, 5*w*math.Pow(200, 4)/(384*2000*120*1.2*1.2*1.2/12), sag, 3e-3)
	require.InDelta(t, 0, at, 1e-9)
	require.InDelta(t, 1050e-6*120*1.2*220, b.Own, 1e-6)
	// A skirt of height h at both sides: the T of three plates, by hand.
	s := b.Sections[20].Skirted(10)
	a1, a2 := 120*1.2, 2*1.2*10
	z := (a1*0.6 + a2*(0.6-5)) / (a1 + a2)
	require.InEpsilon(t, 120*1.2*1.2*1.2/12+a1*(0.6-z)*(0.6-z)+2*1.2*1000/12+a2*(0.6-5-z)*(0.6-5-z), s.I, 1e-3)
	stiffer, _ := b.Skirted(10).Sag(2000)
	require.Less(t, stiffer, sag/10)
}

// TestHatSection: a cut through a pocket is a hat of five strips; its roundings are small.
func TestHatSection(t *testing.T) {
	b := assemble(t, head+"features: [{kind: pocket, size: [150, 60], depth: 20, draft: 10, corner: 10, edge: 0.5, floor: 0.5}]\n")
	beam, err := stiff.Lift(context.Background(), b, even(0.8))
	require.NoError(t, err)
	mid := beam.Sections[20]
	const d, w0 = 20.0, 0.8
	out := d * math.Tan(10*math.Pi/180)
	slant := d / math.Cos(10*math.Pi/180)
	a := []float64{120 - 60 - 2*out, 60, 2 * slant} // land, floor, walls
	z := []float64{0.4, -d + 0.4, -d/2 + 0.4}
	area, centre := 0.0, 0.0
	for i := range a {
		area += a[i] * w0
		centre += a[i] * w0 * z[i]
	}
	centre /= area
	inertia := w0 * 2 * slant * d * d / 12
	for i := range a {
		inertia += a[i] * w0 * (z[i] - centre) * (z[i] - centre)
	}
	require.InEpsilon(t, area, mid.Area, 0.02)
	require.InDelta(t, centre, mid.Centre, 0.25)
	require.InEpsilon(t, inertia, mid.I, 0.03)
	require.InEpsilon(t, 120*w0*w0*w0/12, beam.Sections[0].I, 1e-3, "flat beside the pocket")
	require.InDelta(t, 20, mid.High-mid.Low, 0.3)
}

// TestLoadsOfProducts takes the masses that pockets tell, along the longer side.
func TestLoadsOfProducts(t *testing.T) {
	text := head + "features: [{kind: pocket, name: a, product: {size: [40, 30], corner: 5, height: 10, mass: 50}, fingers: none, at: [-60, 0], repeat: {grid: [1, 2], pitch: [0, 50]}},\n" +
		"  {kind: pocket, name: b, product: {size: [40, 30], corner: 5, height: 10}, fingers: none, at: [40, 0]}]\n"
	beam, err := stiff.Lift(context.Background(), assemble(t, text), even(1))
	require.NoError(t, err)
	require.Equal(t, []stiff.Load{{At: -60, Mass: 50}, {At: -60, Mass: 50}}, beam.Loads)
	require.InDelta(t, 100, beam.Load, 1e-12)
}

// TestPanels: the widest disc of a plain part, of a floor within its roundings, and of the land beside a pocket.
func TestPanels(t *testing.T) {
	p := stiff.Panels(assemble(t, head), 5)
	require.Len(t, p, 1)
	require.InDelta(t, 60, p[0].Radius, 1e-2)
	text := head + "features: [{kind: pocket, size: [70, 50], depth: 10, draft: 6, corner: 8, edge: 2, floor: 3, at: [-55, 0]}]\n"
	b := assemble(t, text)
	p = stiff.Panels(b, 5)
	require.Len(t, p, 2)
	tan42 := math.Tan(42 * math.Pi / 180)
	// From the opening's edge at -20 + 10 tan 6 + 2 tan 42 to the end at 110, or half the width of 120.
	left := -20 + 10*math.Tan(6*math.Pi/180) + 2*tan42
	require.InDelta(t, min((110-left)/2, 60), p[0].Radius, 0.05)
	require.Nil(t, p[0].Solid)
	require.InDelta(t, 25-3*tan42, p[1].Radius, 0.01)
	require.Equal(t, "I1/pocket-1", p[1].Solid.ID)
	require.Len(t, stiff.Panels(b, 40), 1)
	// What is nested parts a floor.
	b = assemble(t, head+"features: [{kind: pocket, size: [150, 60], depth: 10, corner: 8, floor: 3, features: [{kind: stiffening_rib, length: 40, turn: 90}]}]\n")
	for _, q := range stiff.Panels(b, 5) {
		if q.Solid != nil && q.Solid.ID == "I1/pocket-1" {
			require.Greater(t, math.Abs(q.Middle.X), 20.0)
		}
	}
}

// TestStopsWhenTold: a cancelled context ends the cuts.
func TestStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := stiff.Lift(ctx, assemble(t, head), even(1))
	require.ErrorIs(t, err, context.Canceled)
}

// TestEitherSide: the section of a part is the same whichever side of the sheet touches the tool, where the wall is
// even and the job's sizes hold on the same face.
func TestEitherSide(t *testing.T) {
	const pocket = "features: [{kind: pocket, size: [150, 60], depth: 20, draft: 10, corner: 10, edge: 2, floor: 2, at: [10, 5]}]\n"
	under, err := stiff.Lift(context.Background(), assemble(t, head+pocket), even(0.01))
	require.NoError(t, err)
	over, err := stiff.Lift(context.Background(), assemble(t, strings.Replace(head, "measured: underside", "contact: upper, measured: upper", 1)+pocket), even(0.01))
	require.NoError(t, err)
	for i, s := range under.Sections {
		require.InEpsilon(t, s.I, over.Sections[i].I, 5e-3, "at %g", s.At)
		require.InDelta(t, s.Centre, over.Sections[i].Centre, 0.05)
		require.InEpsilon(t, s.Area, over.Sections[i].Area, 1e-3)
	}
}

// TestNominalWalls: area balance gives the land its gauge and a floor the gauge over the pocket's draw.
func TestNominalWalls(t *testing.T) {
	b := assemble(t, head+"features: [{kind: pocket, size: [150, 60], depth: 20, draft: 10, corner: 10, edge: 2, floor: 2}]\n")
	n := stiff.NewNominal(b, wall.Nominal{Gauge: 1})
	m := b.MapOf(0)
	at := func(x, y, z float64) float64 {
		w, off, known := n.Cover(m.Point(geom.Vec3{X: x, Y: y, Z: z}))
		require.True(t, known)
		require.Zero(t, off)
		return w
	}
	require.InDelta(t, 1, at(100, 50, 0), 1e-12)
	thin := 1 / wall.DrawRatio(b.Part.Features[0])
	require.InDelta(t, thin, at(0, 0, -20), 1e-12)
	require.InDelta(t, thin, at(0, 31.7, -10), 1e-12)
}

// TestHoles: what is punched out carries nothing, weighs nothing and is no panel.
func TestHoles(t *testing.T) {
	text := head + "features: [{kind: aperture, size: [100, 60], corner: 0.5, at: [0, 10]}]\n"
	b := assemble(t, text)
	beam, err := stiff.Lift(context.Background(), b, even(1.2))
	require.NoError(t, err)
	require.InEpsilon(t, 120*1.2*1.2*1.2/12, beam.Sections[0].I, 1e-6)
	mid := beam.Sections[20]
	require.InEpsilon(t, 60*1.2*1.2*1.2/12, mid.I, 0.02, "to the step across")
	require.InEpsilon(t, 60*1.2, mid.Area, 0.02)
	require.InEpsilon(t, 1050e-6*1.2*(220*120-100*60), beam.Own, 0.02)
	whole, err := stiff.Lift(context.Background(), assemble(t, head), even(1.2))
	require.NoError(t, err)
	less, _ := beam.Sag(2000)
	full, _ := whole.Sag(2000)
	require.Greater(t, less, full)
	p := stiff.Panels(b, 5)
	require.Len(t, p, 1)
	// It touches two sides of the part, 110 and 60 off its middle, and the hole's corner, whose centre lies at 49.5,
	// 19.5 below: (60.5 - r)^2 + (40.5 - r)^2 = (r + 0.5)^2.
	require.InDelta(t, (203-math.Sqrt(203*203-4*5300.25))/2, p[0].Radius, 0.01)
}
