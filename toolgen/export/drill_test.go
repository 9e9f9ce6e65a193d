package export_test

import (
	"bytes"
	"encoding/csv"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"platen/toolgen/export"
	"platen/toolgen/geom"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func wall(x float64) *float64 { return &x }

func hole(id string) export.Drill {
	return export.Drill{
		ID: id, Feature: "I1/left/P3", Reason: "floor corner",
		At: geom.Vec3{X: -12.5, Y: 7.25, Z: 18}, Dia: 0.6, Depth: 4.2, BackDia: 5, BackDepth: 14.8,
		Axis: geom.Vec3{Z: -1}, From: export.Back, FormedWall: wall(0.4567), Datum: "block-centre base",
	}
}

func TestDrillCSVGolden(t *testing.T) {
	tilted := hole("I1/rib/P1/root/1")
	tilted.Axis = geom.Vec3{X: 0.6, Z: -0.8}
	tilted.From = export.Face
	tilted.BackDia, tilted.BackDepth = 0, 0
	tilted.FormedWall = nil
	tilted.At = geom.Vec3{X: -0.0004, Y: 0.0005, Z: 1234.5678}
	user := hole("I1/user/P1/edge/1")
	user.Feature = `=SUM(A1), "left"; -x`
	user.Reason = "'Ecke innen \u00e4u\u00dfere"
	rows := []export.Drill{hole("I1/left/P3/corner/1"), tilted, user}

	var b bytes.Buffer
	require.NoError(t, export.DrillCSV(&b, rows))
	path := filepath.Join("testdata", "drill.golden.csv")
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), b.String())
}

func TestDrillCSVForm(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, export.DrillCSV(&b, []export.Drill{hole("a"), hole("b")}))
	s := b.String()
	require.True(t, utf8.ValidString(s))
	require.False(t, strings.HasPrefix(s, "\ufeff"))
	lines := strings.Split(s, "\r\n")
	require.Len(t, lines, 4)
	require.Empty(t, lines[3])
	require.NotContains(t, strings.ReplaceAll(s, "\r\n", ""), "\n")
	require.NotContains(t, strings.ReplaceAll(s, "\r\n", ""), "\r")
	require.Equal(t, "id,feature,reason,x_mm,y_mm,z_face_mm,dia_mm,depth_mm,back_drill_dia_mm,back_drill_depth_mm,"+
		"axis_x,axis_y,axis_z,drill_from,formed_wall_mm,reach_ratio,datum", lines[0])
	require.Equal(t, "a,I1/left/P3,floor corner,-12.500,7.250,18.000,0.600,4.200,5.000,14.800,0.000000,0.000000,-1.000000,"+
		"back,0.457,7.000,block-centre base", lines[1])

	b.Reset()
	require.NoError(t, export.DrillCSV(&b, nil))
	require.Equal(t, lines[0]+"\r\n", b.String())
}

func TestDrillCSVNumbers(t *testing.T) {
	number := regexp.MustCompile(`^-?[0-9]+\.[0-9]{3}$`)
	rng := rand.New(rand.NewPCG(3, 5))
	for range 500 {
		d := hole("a")
		scale := math.Pow(10, rng.Float64()*9-5)
		d.At = geom.Vec3{X: rng.NormFloat64() * scale, Y: rng.NormFloat64() * scale, Z: rng.NormFloat64() * scale}
		d.Axis = geom.Vec3{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit()
		d.Dia, d.Depth = 0.3+5*rng.Float64(), 0.3+50*rng.Float64()
		var b bytes.Buffer
		require.NoError(t, export.DrillCSV(&b, []export.Drill{d}))
		rec, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		want := []float64{d.At.X, d.At.Y, d.At.Z, d.Dia, d.Depth, d.BackDia, d.BackDepth, d.Axis.X, d.Axis.Y, d.Axis.Z}
		for i, x := range want {
			cell := rec[1][3+i]
			half := 0.0005
			if i < 7 {
				require.Regexp(t, number, cell)
			} else { // a part of the axis
				require.Regexp(t, `^-?[01]\.[0-9]{6}$`, cell)
				half = 0.5e-6
			}
			require.False(t, cell[0] == '-' && strings.Trim(cell, "-0.") == "", "a negative zero: %s", cell)
			got, err := strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
			require.InDelta(t, x, got, half+1e-9*math.Abs(x))
		}
	}
}

func TestDrillCSVRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 17))
	round := func(x float64) float64 { return math.Round(x*1000) / 1000 }
	texts := []string{"", "plain", "=1+1", "+1", "-1", "@x", "'", "''=", " =1", ";=1", "a;-b; '+c", "a,b", `say "so"`, "  ", "\u00a0=2", "＝3", "Größe"}
	var rows []export.Drill
	for i := range 200 {
		pick := func() string { return texts[rng.IntN(len(texts))] }
		d := export.Drill{
			ID: pick() + "#" + strconv.Itoa(i), Feature: pick(), Reason: pick(), Datum: pick(),
			At:  geom.Vec3{X: round(rng.NormFloat64() * 100), Y: round(rng.NormFloat64() * 100), Z: round(rng.Float64() * 40)},
			Dia: round(0.3 + rng.Float64()), Depth: round(1 + 10*rng.Float64()), Axis: geom.Vec3{Z: -1},
		}
		if rng.IntN(2) == 0 {
			d.From, d.BackDia, d.BackDepth = export.Back, 5, round(10*rng.Float64()+0.001)
			d.FormedWall = wall(round(rng.Float64()))
		}
		rows = append(rows, d)
	}
	var b bytes.Buffer
	require.NoError(t, export.DrillCSV(&b, rows))
	got, err := export.ReadDrillCSV(&b)
	require.NoError(t, err)
	require.Equal(t, rows, got)
}

func TestDrillCSVRefuses(t *testing.T) {
	with := func(change func(*export.Drill)) []export.Drill {
		d := hole("bad")
		change(&d)
		return []export.Drill{hole("good"), d}
	}
	for _, c := range []struct {
		name string
		rows []export.Drill
		want string
	}{
		{"no id", with(func(d *export.Drill) { d.ID = "" }), "id is empty"},
		{"id twice", []export.Drill{hole("a"), hole("b"), hole("a")}, `row 3: id "a" is used in row 1 already`},
		{"place NaN", with(func(d *export.Drill) { d.At.Y = math.NaN() }), "is not finite"},
		{"diameter 0", with(func(d *export.Drill) { d.Dia = 0 }), "both must be at least 0.001"},
		{"diameter NaN", with(func(d *export.Drill) { d.Dia = math.NaN() }), "both must be at least 0.001"},
		{"depth infinite", with(func(d *export.Drill) { d.Depth = math.Inf(1) }), "both must be at least 0.001"},
		{"half a back drill", with(func(d *export.Drill) { d.BackDia = 0 }), "back drill of diameter 0 mm"},
		{"negative back drill", with(func(d *export.Drill) { d.BackDepth = -1 }), "back drill of diameter 5 mm"},
		{"axis", with(func(d *export.Drill) { d.Axis.X = 0.1 }), "is not a unit vector"},
		{"axis NaN", with(func(d *export.Drill) { d.Axis.X = math.NaN() }), "is not a unit vector"},
		{"side", with(func(d *export.Drill) { d.From = 2 }), "only face or back"},
		{"wall NaN", with(func(d *export.Drill) { d.FormedWall = wall(math.NaN()) }), "formed wall NaN mm"},
		{"wall negative", with(func(d *export.Drill) { d.FormedWall = wall(-0.1) }), "formed wall -0.1 mm"},
		{"line break", with(func(d *export.Drill) { d.Reason = "a\r\n=1" }), "reason: text"},
		{"tab", with(func(d *export.Drill) { d.Feature = "a\t=1" }), "U+0009"},
		{"not UTF-8", with(func(d *export.Drill) { d.Datum = "\xff" }), "datum: text"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.ErrorContains(t, export.DrillCSV(&b, c.rows), c.want)
			require.Zero(t, b.Len())
		})
	}
}

func TestReadDrillCSVRefuses(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, export.DrillCSV(&b, []export.Drill{hole("a"), hole("b")}))
	for _, c := range []struct{ name, old, repl, want string }{
		{"header", "x_mm", "x_in", "header"},
		{"no number", "7.250", "7,250", "wrong number of fields"},
		{"word", "-12.500", "left", `line 2: x_mm: "left" is not a number`},
		{"side", "back,", "top,", "only face or back"},
		{"reach", "7.000", "7.010", "reach_ratio: 7.01"},
		{"axis", "-1.000", "-0.990", "is not a unit vector"},
		{"depth", "4.200", "0.000", "both must be at least"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := export.ReadDrillCSV(strings.NewReader(strings.Replace(b.String(), c.old, c.repl, 1)))
			require.ErrorContains(t, err, c.want)
		})
	}
	_, err := export.ReadDrillCSV(strings.NewReader(""))
	require.ErrorContains(t, err, "header")
}

// startsFormula reports whether a spreadsheet would read the cell as a formula: spaces in front do
// not help.
func startsFormula(cell string) bool {
	r, _ := utf8.DecodeRuneInString(strings.TrimLeftFunc(cell, unicode.IsSpace))
	return strings.ContainsRune("=+-@＝＋－＠", r) && r != utf8.RuneError
}

func FuzzDrillText(f *testing.F) {
	for _, s := range []string{"", "=cmd", "+1", "-1", "@x", "'x", " =1", "a;=b", "a,b", `"`, `""`, "a\nb", "\xff", "＝1", ";;-;", "\ufeff", "\u0085"} {
		f.Add(s, s, s)
	}
	f.Fuzz(func(t *testing.T, id, feature, reason string) {
		d := hole("x" + id)
		d.Feature, d.Reason, d.Datum = feature, reason, id
		var b bytes.Buffer
		if err := export.DrillCSV(&b, []export.Drill{d}); err != nil {
			require.ErrorContains(t, err, "drill list: row 1")
			require.Zero(t, b.Len())
			return
		}
		text := b.String()
		require.Equal(t, 2, strings.Count(text, "\n"), "a text made a row")
		got, err := export.ReadDrillCSV(&b)
		require.NoError(t, err)
		require.Len(t, got, 1)
		require.Equal(t, []string{d.ID, feature, reason, id}, []string{got[0].ID, got[0].Feature, got[0].Reason, got[0].Datum})

		rec, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		require.NoError(t, err)
		for i, cell := range rec[1] {
			if i > 2 && i < 16 {
				continue // numbers may begin with a minus
			}
			require.False(t, startsFormula(cell), "cell %q", cell)
			for _, piece := range strings.Split(cell, ";") {
				require.False(t, startsFormula(piece), "piece %q of cell %q", piece, cell)
			}
		}
	})
}
