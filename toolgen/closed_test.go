package toolgen_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/features"
	"platen/toolgen"
	"platen/toolgen/body"
	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/form"
	"platen/toolgen/job"
)

// pack is a small hinged pack with a product and two snaps that lie unlike.
const pack = `format: 1
name: small pack
sheet: {material: PETG, gauge: 0.6}
tool: {material: aluminium 6082, contact: underside, measured: upper, seal: frame}
part: {outline: {rect: [130, 130], corner: 8}}
features:
  - {kind: pocket, name: base, at: [0, -34], depth: 10, product: {size: [40, 20], height: 12}, fingers: none}
  - {kind: pocket, name: lid, at: [0, 34], size: [54, 34], depth: 5, corner: 8}
  - {kind: hinge_line, name: fold, length: 126}
  - {kind: snap_button, name: button, repeat: {points: [[-48, -36], [44, -30]]}}
  - {kind: snap_socket, name: socket, repeat: {points: [[-48, 36], [44, 30]]}}
`

// closes checks the pack with the given words replaced.
func closes(t *testing.T, replace ...string) *toolgen.Result {
	t.Helper()
	text := strings.NewReplacer(replace...).Replace(pack)
	require.True(t, len(replace) == 0 || text != pack)
	var ks []job.Kind
	for _, k := range features.All() {
		ks = append(ks, k.Kind)
	}
	j, err := job.Read([]byte(text), "pack.yaml", ks, job.Names{})
	require.NoError(t, err)
	r, err := toolgen.Check(context.Background(), j, toolgen.Options{Kinds: features.All(), Open: os.ReadFile, NoBand: true, NoStack: true})
	require.NoError(t, err)
	return r
}

// about returns the findings of the rules of closing.
func about(r *toolgen.Result) map[string][]finding.Finding {
	out := map[string][]finding.Finding{}
	for _, f := range r.Findings {
		switch group, _, _ := strings.Cut(f.ID, "."); group {
		case "hinge", "snap", "close":
			if f.Severity > finding.Note {
				out[f.ID] = append(out[f.ID], f)
			}
		}
	}
	return out
}

// TestPackCloses: flanges lie on each other, nothing meets before, snaps overlap by what was asked.
func TestPackCloses(t *testing.T) {
	r := closes(t)
	require.Empty(t, about(r))
	c, _ := r.CloseSummary()
	require.InDelta(t, 0, c.Flanges.Low, 0.05)
	require.InDelta(t, 0, c.Flanges.High, 0.05)
	require.LessOrEqual(t, c.Flanges.Min, c.Flanges.Low)
	require.GreaterOrEqual(t, c.Flanges.Max, c.Flanges.High)
	require.InDelta(t, 0, c.Flanges.Mean, 0.01)
	// Flange beyond what features and 3 mm round them take, roughly: 130 x 65 less beads, pocket and snaps.
	require.InDelta(t, 130*65-130*8-62*42-2*math.Pi*10*10, c.Flanges.Area, 1600)
	require.True(t, c.Touch.Clear)
	require.Len(t, c.Snaps, 2)
	for i, s := range c.Snaps {
		require.Equal(t, "I1/socket/P"+string(rune('1'+i)), s.Socket)
		require.Equal(t, [2]float64{}, s.Miss)
		require.InDelta(t, 12, s.Wide, 0.04, "the button on its formed face")
		require.InDelta(t, 0.15, s.Asked, 1e-9)
		require.InDelta(t, 0.15, s.Overlap, 0.03)
		require.InDelta(t, s.Overlap/(s.Lip/2), s.Strain, 2e-4) // rounded lengths
		require.Greater(t, s.Play, 0.0, "shut, nothing is strained")
		require.InDelta(t, 0.5, s.Top, 0.05)
		require.True(t, s.Known)
	}
	require.Len(t, c.Rooms, 2)
	require.InDelta(t, 15, c.Rooms[0].Free, 0.1, "10 in the base and 5 in the lid")
	require.InDelta(t, 12, c.Rooms[0].Product, 1e-9)
	require.InDelta(t, 5, c.Rooms[1].Free, 0.1, "the lid is wider than the base, whose flange lies over its floor")
}

// TestSnapsOnAnyFace: sizes of snaps hold on the faces that meet, whichever side touches the tool, is
// measured, or is folded inward.
func TestSnapsOnAnyFace(t *testing.T) {
	for _, c := range []struct {
		name    string
		replace []string
		within  float64 // of the overlap
	}{
		{"tool over the sheet", []string{"contact: underside", "contact: upper", "seal: frame", "seal: platen"}, 1e-3},
		{"underside measured", []string{"measured: upper", "measured: underside"}, 0.03},
		{"folded down", []string{"length: 126", "length: 126, folds: down", "button, repeat", "button, face: underside, repeat", "socket, repeat", "socket, face: underside, repeat"}, 1e-3},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := closes(t, c.replace...)
			for _, id := range []string{"snap.pair", "snap.overlap", "snap.strain", "snap.shut", "hinge.axis", "close.gap"} {
				require.Empty(t, about(r)[id])
			}
			sum, _ := r.CloseSummary()
			require.InDelta(t, 0, sum.Flanges.Mean, 0.01)
			for _, s := range sum.Snaps {
				require.InDelta(t, 12, s.Wide, 2*c.within)
				require.InDelta(t, 0.15, s.Overlap, c.within)
			}
		})
	}
}

// TestProductStrikes: a box 4 mm over the flange, from 24 to 44 mm off the line, meets the flat lid with its
// near edge when half a turn less atan(4 / 24) is done; its way left is r times that, at most
// hypot(24, 4) atan(4 / 24) = 4.018 mm.
func TestProductStrikes(t *testing.T) {
	r := closes(t, "  - {kind: pocket, name: lid, at: [0, 34], size: [54, 34], depth: 5, corner: 8}\n", "", "height: 12", "height: 14")
	sum, _ := r.CloseSummary()
	require.False(t, sum.Touch.Clear)
	require.InDelta(t, 180-math.Atan2(4, 24)*180/math.Pi, sum.Touch.Angle, 0.2)
	require.InDelta(t, math.Hypot(24, 4)*math.Atan2(4, 24), *sum.Touch.Deep, 0.05)
	require.Equal(t, "I1/base (product)", sum.Touch.Base)
	require.Equal(t, "", sum.Touch.Lid)
	require.InDelta(t, -24, sum.Touch.At[1], 0.5)
	require.InDelta(t, 4, sum.Touch.At[2], 0.1)
	require.InDelta(t, 10, sum.Rooms[0].Free, 0.1)
}

// TestPackDoesNotClose breaks the pack in turn: each fault is found by its own rule, with place and amount.
func TestPackDoesNotClose(t *testing.T) {
	for _, c := range []struct {
		name, old, with string
		rules           []string // that speak, no others
		line            int
		got, within     float64
		fix             string
	}{
		{"hinge 1 mm off", "fold, length", "fold, at: [0, 1], length", []string{"snap.pair"}, 10, 2, 1e-9, "by 0.000, -1.000 mm"},
		{"axis on the wrong face", "fold, length", "fold, axis: underside, length", []string{"hinge.axis"}, 9, -1.2, 0.02, "axis: upper"},
		{"snaps turned, not mirrored", "[[-48, 36], [44, 30]]", "[[48, 36], [-44, 30]]", []string{"snap.pair"}, 10, math.Hypot(4, 6), 1e-9, "x -48.00, y 36.00"},
		{"product too tall", "height: 12", "height: 16", []string{"close.room", "close.strikes"}, 7, 16, 1e-9, "1.0"},
		{"no wall allowance", "measured: upper", "measured: upper, wall_allowance: none", []string{"snap.overlap", "snap.shut", "snap.strain"}, 10, 1.03, 0.1, "wall_allowance: formed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := about(closes(t, c.old, c.with))
			require.Len(t, found, len(c.rules), "%v", found)
			for _, id := range c.rules {
				require.NotEmpty(t, found[id], id)
			}
			f := found[c.rules[0]][0]
			require.Equal(t, finding.Error, f.Severity)
			require.Equal(t, c.line, f.Pos.Line)
			require.InDelta(t, c.got, f.Got, c.within)
			require.Contains(t, f.Fix, c.fix)
			require.NotNil(t, f.At)
		})
	}
}

// TestPackWithoutFlange: a fold line beside the edge has nothing on its other side; the job is reviewed all
// the same and says so.
func TestPackWithoutFlange(t *testing.T) {
	for at, want := range map[string]string{"[0, 58]": "no flange", "[0, 62]": "on one side"} {
		r := closes(t, "fold, length", "fold, at: "+at+", length")
		sum, why := r.CloseSummary()
		require.Nil(t, sum)
		require.Contains(t, why, want)
		require.Len(t, about(r)["close.unknown"], 1)
	}
}

// TestSnapWhereTheSheetBridges holds the sheet 0.4 mm off the tool over the first button: its face lies 0.4 mm
// farther out all round and 0.4 mm higher, and the overlap is 0.4 mm larger, whichever side of the sheet meets.
func TestSnapWhereTheSheetBridges(t *testing.T) {
	const off = 0.4
	for _, more := range [][]string{nil, {"measured: upper", "measured: underside"}, {"length: 126", "length: 126, folds: down", "button, repeat", "button, face: underside, repeat", "socket, repeat", "socket, face: underside, repeat"}} {
		r := closes(t, more...)
		in := closing.Input{Line: closing.Of(r.Part)[0], Body: r.Body, Formed: r.Formed, Shell: r.Shell}
		lying, err := closing.Close(t.Context(), in)
		require.NoError(t, err)
		require.Zero(t, lying.Snaps[0].Off)
		middle := r.Body.Map.Point(lying.Snaps[0].Button.Middle.At(0)).Plan()
		for i := range r.Formed.Sheet.Nodes {
			if n := &r.Formed.Sheet.Nodes[i]; n.At.Plan().Sub(middle).Norm() < 12 {
				n.Status, n.Gap = form.Bridged, off
			}
		}
		held, err := closing.Close(t.Context(), in)
		require.NoError(t, err)
		a, b := lying.Snaps[0], held.Snaps[0]
		out := 1.0
		if b.Button.Sunk { // folded down: the sheet off the tool's hollow is the smaller for it
			out = -1
		}
		require.InDelta(t, off, b.Off, 1e-9)
		require.True(t, b.Known)
		require.InDelta(t, a.Wide.Mean+out*off, b.Wide.Mean, 2e-3)
		require.InDelta(t, a.Overlap+out*off, b.Overlap, 2e-3)
		require.InDelta(t, a.Top-out*off, b.Top, 2e-3)
		require.Zero(t, held.Snaps[1].Off)
		require.InDelta(t, lying.Snaps[1].Overlap, held.Snaps[1].Overlap, 1e-9)
	}
}

// TestPlainFold: two flat halves have nothing that could meet before the flanges do, and the file says so.
func TestPlainFold(t *testing.T) {
	text, err := examples.Kind("hinge_line")
	require.NoError(t, err)
	o := options()
	o.NoSheet = false
	o.Only = []string{"close.json"}
	r, err := toolgen.Build(context.Background(), read(t, string(text)), o)
	require.NoError(t, err)
	files := r.Artefacts()
	require.Len(t, files, 1)
	var b bytes.Buffer
	require.NoError(t, files[0].Write(&b))
	var got toolgen.CloseSummary
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	require.True(t, got.Touch.Clear)
	require.Nil(t, got.Touch.Deep)
}

// TestSnapsOfThickSheet: from a gauge of 1.25 mm the wall at a lip is thicker than at the widest by more than the
// undercut, so that the tool has none there; the formed lip stands where it is asked all the same, and the
// heights that are not given suffice.
func TestSnapsOfThickSheet(t *testing.T) {
	r := closes(t, "gauge: 0.6", "gauge: 1.25", "fingers: none", "fingers: none, clearance: 1")
	c, _ := r.CloseSummary()
	require.Len(t, c.Snaps, 2)
	for i, s := range r.Closed.Snaps {
		require.Negative(t, r.Body.Solids[slices.IndexFunc(r.Body.Solids, func(o *body.Solid) bool { return o.Feature == s.Socket })].Wall.Undercut.Depth)
		require.InDelta(t, 12, c.Snaps[i].Wide, 0.12)
		require.InDelta(t, 12-0.3, 2*s.Lip.Mean, 0.12)
	}
}
