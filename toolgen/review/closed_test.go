package review_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/review"
)

const hinged = `sheet: {material: PETG, gauge: 0.6}
part: {outline: {rect: [200, 220], corner: 8}}
features:
  - {kind: pocket, name: base, at: [0, -55], size: [80, 60], depth: 12}
  - {kind: pocket, name: lid, at: [0, 55], size: [84, 64], depth: 6}
  - {kind: hinge_line, name: fold, length: 190}
  - {kind: snap_button, name: button, at: [-70, -60], diameter: 14}
  - {kind: snap_socket, name: socket, at: [-70, 60], diameter: 14}
`

// TestClosedPack judges a closed pack made up for the purpose: each rule just beyond its limit and just
// within.
func TestClosedPack(t *testing.T) {
	deg := func(d float64) geom.Angle { return geom.Angle(d) * geom.Degree }
	for _, c := range []struct {
		name, rule string
		change     func(*closing.Closed)
		want       finding.Severity
		text, fix  []string // words; nil: no finding
	}{
		{"flanges gape", "close.gap", func(c *closing.Closed) { c.Flanges.High = 0.11 }, finding.Warning, []string{"0.11 mm apart"}, []string{"0.11 mm"}},
		{"flanges press", "close.gap", func(c *closing.Closed) { c.Flanges.Low = -0.12 }, finding.Warning, []string{"-0.12"}, []string{"0.12 mm"}},
		{"flanges lie", "close.gap", func(c *closing.Closed) { c.Flanges.Low, c.Flanges.High, c.Flanges.Min = -0.1, 0.1, -0.3 }, 0, nil, nil},
		{"strikes", "close.strikes", func(c *closing.Closed) {
			c.Touch = closing.Touch{Angle: deg(171.5), Deep: 4.2, Base: "I1/base (product)"}
		}, finding.Error, []string{"171.50 deg", "I1/base (product)", "the flange", "4.20 mm"}, []string{"4.20 mm"}},
		{"flanges meet first", "close.strikes", func(c *closing.Closed) {
			c.Touch, c.Flanges.Low = closing.Touch{Angle: deg(179), Deep: 1.2}, -1.2
		}, 0, nil, nil},
		{"nothing strikes", "close.strikes", func(*closing.Closed) {}, 0, nil, nil},
		{"too tall", "close.room", func(c *closing.Closed) { c.Rooms[0].Product = 18.3 }, finding.Error, []string{"18.30 mm", "0.35 mm too tall", "I1/lid"}, []string{"0.35 mm more depth", "17.95 mm"}},
		{"not too tall", "close.room", func(c *closing.Closed) { c.Rooms[0].Product = 17.95 }, 0, nil, nil},
		{"overlap short", "snap.overlap", func(c *closing.Closed) { c.Snaps[0].Overlap = 0.119 }, finding.Warning, []string{"0.119 mm overlap", "0.150 asked"}, nil},
		{"overlap gross", "snap.overlap", func(c *closing.Closed) { c.Snaps[0].Overlap = 0.26 }, finding.Error, []string{"without allowance for the wall"}, []string{"wall_allowance: formed", "interference 0.220 mm less"}},
		{"overlap gone", "snap.overlap", func(c *closing.Closed) { c.Snaps[0].Overlap = -0.01 }, finding.Error, []string{"-0.010 mm overlap"}, nil},
		{"overlap short where the sheet bridges", "snap.overlap", func(c *closing.Closed) { c.Snaps[0].Overlap, c.Snaps[0].Off = 0.1, 0.42 }, finding.Warning, []string{"0.100 mm overlap", "stands up to 0.42 mm off the tool"}, []string{"0.42 mm nearer the tool"}},
		{"top meets where the sheet bridges", "snap.shut", func(c *closing.Closed) { c.Snaps[0].Top, c.Snaps[0].Off = -0.2, 0.42 }, finding.Error, []string{"0.20 mm before", "0.42 mm off the tool"}, nil},
		{"overlap unknown", "snap.overlap", func(c *closing.Closed) { c.Snaps[0].Known = false }, finding.Warning, []string{"not known"}, []string{"larger diameter"}},
		{"overlap as asked", "snap.overlap", func(c *closing.Closed) { c.Snaps[0].Overlap = 0.179 }, 0, nil, nil},
		{"strained", "snap.strain", func(c *closing.Closed) { c.Snaps[0].Strain = 0.051 }, finding.Warning, []string{"5.1 %", "5.0 %"}, []string{"interference at most 0.68 mm"}},
		{"not strained", "snap.strain", func(c *closing.Closed) { c.Snaps[0].Strain = 0.05 }, 0, nil, nil},
		{"top meets", "snap.shut", func(c *closing.Closed) { c.Snaps[0].Top = -0.2 }, finding.Error, []string{"0.20 mm before"}, []string{"0.20 mm more"}},
		{"stays strained", "snap.shut", func(c *closing.Closed) { c.Snaps[0].Play = -0.04 }, finding.Warning, []string{"0.04 mm in each other"}, []string{"undercut: 0.27 mm on both"}}, // 0.15 + 0.08 + 0.04
		{"free", "snap.shut", func(c *closing.Closed) { c.Snaps[0].Play, c.Snaps[0].Top = -0.03, 0 }, 0, nil, nil},
		{"drifts", "close.drift", func(*closing.Closed) {}, finding.Note, []string{"0.30 mm over the 60 mm"}, []string{"within 30 mm"}}, // 0.005 x 60
		{"does not drift", "close.drift", func(c *closing.Closed) { c.Spread = 0.0024 }, 0, nil, nil},                                   // 0.144 mm
	} {
		t.Run(c.name, func(t *testing.T) {
			p := assemble(t, whole(hinged))
			pairs, _ := closing.Pairs(p.Body.Part, closing.Of(p.Body.Part)[0])
			p.Closed = &closing.Closed{
				Line: closing.Of(p.Body.Part)[0], Flanges: closing.Gap{Area: 1}, Touch: closing.Touch{Clear: true}, Spread: 0.005,
				Snaps: []closing.Snap{{Pair: pairs[0], Wide: closing.Ring{Mean: 7}, Lip: closing.Ring{Mean: 6.85}, Overlap: 0.15, Asked: pairs[0].Asked(), Strain: 0.15 / 6.85, Play: 0.05, Top: 0.5, Known: true}},
				Rooms: []closing.Room{{Solid: p.Body.Solids[0], Free: 17.95, Over: "I1/lid"}},
			}
			c.change(p.Closed)
			found := of(c.rule, review.Run(p))
			if c.text == nil {
				require.Empty(t, found, list(found))
				return
			}
			require.Len(t, found, 1)
			spoken(t, found[0])
			grounded(t, found[0])
			require.NotNil(t, found[0].At)
			require.Equal(t, c.want, found[0].Severity)
			for _, w := range c.text {
				require.Contains(t, found[0].Text, w)
			}
			for _, w := range c.fix {
				require.Contains(t, found[0].Fix, w)
			}
		})
	}
	require.InDelta(t, 0.15, mustPairs(t)[0].Asked(), 1e-12)
}

func mustPairs(t *testing.T) []closing.Pair {
	p := assemble(t, whole(hinged))
	pairs, idle := closing.Pairs(p.Body.Part, closing.Of(p.Body.Part)[0])
	require.Empty(t, idle)
	require.Len(t, pairs, 1)
	require.Less(t, math.Abs(pairs[0].Far-60), 1e-9)
	return pairs
}

// TestPackLeftOpen: a part that could not be folded says why.
func TestPackLeftOpen(t *testing.T) {
	p := assemble(t, whole(hinged))
	require.Empty(t, of("close.unknown", review.Run(p)))
	p.Open = "no flange of one half lies on the other's"
	found := of("close.unknown", review.Run(p))
	require.Len(t, found, 1)
	require.Equal(t, finding.Warning, found[0].Severity)
	require.Equal(t, "I1/fold/near", found[0].Feature)
	require.Contains(t, found[0].Text, p.Open)
	spoken(t, found[0])
}
