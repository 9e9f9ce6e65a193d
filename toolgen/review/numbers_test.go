package review_test

import (
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/review"
	"platen/toolgen/wall"
)

// plumb is a job of one sharp pocket with plumb walls: areas as of a box.
func plumb(units string, l, w, d, gauge float64) string {
	return whole(fmt.Sprintf(`units: %s
sheet: {material: HIPS, gauge: %g mm}
part: {outline: {rect: [%g, %g]}, flange: 0}
features:
  - {kind: pocket, size: [%g, %g], depth: %g, holds: opening, draft: 0, corner: 0, edge: 0, floor: 0}
`, units, gauge, 2*l, 2*w, l, w, d))
}

// TestDrawRatio holds the areal draw ratio against published and derived boxes.
func TestDrawRatio(t *testing.T) {
	for _, c := range []struct {
		name       string
		units      string
		l, w, d, g float64
		ratio      float64
	}{
		// Crawford, Plastics Engineering, 3rd ed., Example 4.7: 30000 mm3 over 45000 mm2, 0.67 mm of 2 mm.
		{"textbook box", "mm", 150, 100, 60, 2, 3},
		// SPE, The Ubiquitous Draw Ratio, 2005: area 208, footprint 120 square inches, printed 1.7.
		{"10 x 12 x 2 in", "inch", 10, 12, 2, 2, 208.0 / 120},
		// The same, second example: printed 300 and 2.73, where the sum is 110 + 42 x 5 = 320.
		{"10 x 11 x 5 in", "inch", 10, 11, 5, 2, 320.0 / 110},
		// Derived: 1 + 4 d / w.
		{"half as deep as wide", "mm", 80, 80, 40, 1, 3},
		{"as deep as wide", "mm", 80, 80, 80, 1, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := assemble(t, plumb(c.units, c.l, c.w, c.d, c.g))
			f := p.Body.Part.Features[0]
			require.InDelta(t, c.ratio, wall.DrawRatio(f), 1e-12)
			require.InDelta(t, c.g/c.ratio, wall.Nominal{Gauge: c.g}.End(f).MM, 1e-12)
			// In a part of four times the opening: (3 + ratio) / 4.
			limit := (3+c.ratio)/4 - 1e-6
			p.Body.Part.Sheet.Areal.Free.V = limit
			found := of("draw.areal", review.Run(p))
			require.Len(t, found, 1)
			require.InDelta(t, (3+c.ratio)/4, found[0].Got, 1e-12)
			p.Body.Part.Sheet.Areal.Free.V = limit + 2e-6
			require.Empty(t, of("draw.areal", review.Run(p)))
		})
	}
}

// TestDrawRatioOfADraftedPocket: 110 x 90 at the opening, corners of 15, 40 deep, 6 deg. Opening
// 9900 - (4 - pi) 225, run m = 40 tan 6 deg, floor by Steiner's formula, wall mean girth x 40 / cos 6 deg.
func TestDrawRatioOfADraftedPocket(t *testing.T) {
	p := assemble(t, whole(`features:
  - {kind: pocket, size: [110, 90], depth: 40, holds: opening, draft: 6, corner: 15, edge: 1, floor: 2}
`))
	host, end, side := wall.Areas(p.Body.Part.Features[0])
	m, cos := 40*math.Tan(6*math.Pi/180), math.Cos(6*math.Pi/180)
	girth := 2*(110.0+90) - 8*15 + 2*math.Pi*15
	require.InDelta(t, 9900-(4-math.Pi)*225, host, 1e-9)
	require.InDelta(t, host-girth*m+math.Pi*m*m, end, 1e-9)
	require.InDelta(t, (girth-math.Pi*m)*40/cos, side, 1e-9)
	require.InDelta(t, 2.340, wall.DrawRatio(p.Body.Part.Features[0]), 5e-4)
}

// TestWidening measures on the tool what the fix of a low draft says it will do to the other end.
func TestWidening(t *testing.T) {
	job := func(kind, more string, draft float64) string {
		return whole(fmt.Sprintf("features:\n  - {kind: %s, size: [60, 40], draft: %g, %s}\n", kind, draft, more))
	}
	for _, c := range []struct {
		kind, more, word string
		from, to, high   float64
		atEnd            bool
	}{
		{"pocket", "depth: 30, holds: floor", "opening %.2f mm wider", 0.5, 1, 30, true},
		{"pocket", "depth: 18, holds: opening", "floor %.2f mm narrower", 2, 3, 18, false},
		{"step", "height: 12", "foot %.2f mm wider", 2, 3, 12, true},
	} {
		low, high := assemble(t, job(c.kind, c.more, c.from)), assemble(t, job(c.kind, c.more, c.to))
		across := func(p *review.Pass) float64 {
			s := p.Body.Solids[0]
			z := s.Wall.End
			if c.atEnd {
				z = s.Wall.Host
			}
			return 2 * s.Wall.D(z)
		}
		by := math.Abs(across(high) - across(low))
		require.InDelta(t, 2*c.high*(math.Tan(c.to*math.Pi/180)-math.Tan(c.from*math.Pi/180)), by, 1e-9)
		found := of("wall.draft-low", review.Run(low))
		require.Len(t, found, 1)
		require.Contains(t, found[0].Fix, fmt.Sprintf("draft %.2f deg (", c.to))
		require.Contains(t, found[0].Fix, fmt.Sprintf(c.word, by))
	}
}

// TestDepthOverWidth: depth over the shorter side of the opening, or the diameter of the largest disc.
func TestDepthOverWidth(t *testing.T) {
	tan := math.Tan(6 * math.Pi / 180)
	for shape, want := range map[string]float64{
		"size: [60, 40], holds: floor":              25 / (40 + 50*tan),
		"size: [60, 40], holds: opening, corner: 8": 25.0 / 40,
		"outline: {circle: 44}, holds: opening":     25.0 / 44,
		"outline: {slot: [90, 30]}, holds: floor":   25 / (30 + 50*tan),
		"outline: {polygon: [[-40, -30], [50, -30], [-40, 60]], corner: 8}":// disc of a right triangle of 90: 90 - 45 sqrt 2
		25 / (2*(90-45*math.Sqrt2) + 50*tan),
	} {
		fs := judge(t, whole("limits:\n  - {rule: depth.width, limit: 0.01, reason: to see it}\nfeatures:\n  - {kind: pocket, depth: 25, "+shape+"}\n"))
		found := of("depth.width", fs)
		require.Len(t, found, 1, shape)
		require.InDelta(t, want, found[0].Got, 1e-6, shape)
	}
}

// TestShrinkSpreadByHand: HIPS in a female tool is guessed half-way from 0.5 to 0.8 %; the tables go from
// 0.3 to 0.8 %. Whatever the tool does with heat cancels: the error of a length on the tool is L times the
// ratio of the factors less one.
func TestShrinkSpreadByHand(t *testing.T) {
	const length, guess, low, high = 150, 0.0065, 0.003, 0.008
	want := length * max(math.Abs((1-guess)/(1-low)-1), (1-guess)/(1-high)-1)
	for _, tool := range []string{"aluminium 6082", "MDF", "tooling board medium"} {
		fs := judge(t, whole(fmt.Sprintf(`tool: {material: %s, wall_allowance: none, temperature: 70}
shrink: {basis: female}
features:
  - {kind: pocket, size: [%d, 60], depth: 15}
`, tool, length)))
		found := of("shrink.spread", fs)
		require.Len(t, found, 1)
		require.InDelta(t, want, found[0].Got, 1e-12, tool)
		require.InDelta(t, 0.527, found[0].Got, 5e-4)
		// The same length upwards.
		fs = judge(t, whole(fmt.Sprintf(`tool: {material: %s, wall_allowance: none, temperature: 70}
shrink: {basis: female}
features:
  - {kind: boss, diameter: 90, height: %d}
`, tool, length)))
		found = of("shrink.spread", fs)
		require.Len(t, found, 1)
		require.InDelta(t, want, found[0].Got, 1e-12, tool)
		require.Contains(t, found[0].Text, "along Z")
	}
}

// BenchmarkReview reviews 384 pockets, and 384 cones close enough to be held against each other.
func BenchmarkReview(b *testing.B) {
	text, err := os.ReadFile("../../testdata/workloads/t384.yaml")
	require.NoError(b, err)
	cones := `format: 1
name: cones
sheet: {material: HIPS, gauge: 0.5}
tool: {material: aluminium 6082, wall_allowance: none}
part: {outline: {rect: [620, 420], corner: 8}}
features:
  - {kind: nesting_cone, diameter: 14, height: 8, repeat: {grid: [24, 16], pitch: [25, 25]}}
`
	for name, text := range map[string]string{"t384": string(text), "cones": cones} {
		p := assemble(b, text)
		b.Run(name, func(b *testing.B) {
			n := 0
			for b.Loop() {
				n = len(review.Run(p))
			}
			b.ReportMetric(float64(n), "findings")
		})
	}
}
