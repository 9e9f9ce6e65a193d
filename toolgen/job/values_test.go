package job_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/job"
)

// every is a kind with one key of every type and a default where a type can have one.
func every() []job.Kind {
	return []job.Kind{{Name: "every", Text: "one of each", On: "sunk", Params: []job.Param{
		{Key: "length", Type: job.Length, Default: 2.5},
		{Key: "angle", Type: job.Angle, Default: 3.0},
		{Key: "number", Type: job.Number, Default: 0.5},
		{Key: "count", Type: job.Count, Default: 4},
		{Key: "text", Type: job.Text, Default: "plain"},
		{Key: "choice", Type: job.Choice, Default: "a", Choices: []string{"a", "b"}},
		{Key: "flag", Type: job.Flag, Default: true},
		{Key: "temperature", Type: job.Temperature, Default: 23.0},
		{Key: "point", Type: job.Point, Default: geom.Vec2{X: 1, Y: 2}},
		{Key: "points", Type: job.Points, Default: []geom.Vec2{{X: 1}, {Y: 2}}},
		{Key: "lengths", Type: job.Lengths, Default: []float64{1, 2}},
		{Key: "texts", Type: job.Texts, Default: []string{"p", "q"}},
		{Key: "outline", Type: job.Outline},
		{Key: "group", Type: job.Group, Params: []job.Param{{Key: "inner", Type: job.Length, Default: 7.0}, {Key: "other", Type: job.Flag}}},
		{Key: "groups", Type: job.Groups, Params: []job.Param{{Key: "inner", Type: job.Length, Required: true}, {Key: "other", Type: job.Flag}}},
		{Key: "grid", Type: job.Grid},
	}}}
}

// one reads one feature of the kind every; body stands inside { }.
func one(body string) (*job.Values, error) {
	j, err := job.Read([]byte(top+"features:\n  - {kind: every"+body+"}\n"), "j.yaml", every(), names)
	if err != nil {
		return nil, err
	}
	return j.Features[0].Values, nil
}

func TestEveryTypeReadsBack(t *testing.T) {
	tests := []struct {
		written string
		get     func(v *job.Values) any
		want    any
	}{
		{"length: 12", func(v *job.Values) any { return v.Length("length") }, 12.0},
		{"length: -3.5mm", func(v *job.Values) any { return v.Length("length") }, -3.5},
		{"length: 1.5 in", func(v *job.Values) any { return v.Length("length") }, 38.1},
		{"length: '0.5 inch'", func(v *job.Values) any { return v.Length("length") }, 12.7},
		{"length: 1.25e2", func(v *job.Values) any { return v.Length("length") }, 125.0},
		{"length: +4", func(v *job.Values) any { return v.Length("length") }, 4.0},
		{"angle: 6", func(v *job.Values) any { return v.Angle("angle") }, 6 * geom.Degree},
		{"angle: 6 deg", func(v *job.Values) any { return v.Angle("angle") }, 6 * geom.Degree},
		{"number: 1.75", func(v *job.Values) any { return v.Number("number") }, 1.75},
		{"count: 12", func(v *job.Values) any { return v.Count("count") }, 12},
		{"text: no", func(v *job.Values) any { return v.Text("text") }, "no"},
		{"text: 12:30", func(v *job.Values) any { return v.Text("text") }, "12:30"},
		{"text: 'a, b: c'", func(v *job.Values) any { return v.Text("text") }, "a, b: c"},
		{"text: 007", func(v *job.Values) any { return v.Text("text") }, "007"},
		{"choice: b", func(v *job.Values) any { return v.Choice("choice") }, "b"},
		{"flag: false", func(v *job.Values) any { return v.Flag("flag") }, false},
		{"temperature: 60 degC", func(v *job.Values) any { return v.Temperature("temperature") }, 60.0},
		{"point: [1 in, -2]", func(v *job.Values) any { return v.Point("point") }, geom.Vec2{X: 25.4, Y: -2}},
		{"points: [[0, 0], [1e-9, 2]]", func(v *job.Values) any { return v.Points("points") }, []geom.Vec2{{}, {X: 1e-9, Y: 2}}},
		{"lengths: [1, 2 in]", func(v *job.Values) any { return v.Lengths("lengths") }, []float64{1, 50.8}},
		{"texts: [yes, x]", func(v *job.Values) any { return v.Texts("texts") }, []string{"yes", "x"}},
		{"group: {inner: 9}", func(v *job.Values) any { return v.Group("group").Length("inner") }, 9.0},
		{"groups: [{inner: 1}, {inner: 2}]", func(v *job.Values) any { return v.Groups("groups")[1].Length("inner") }, 2.0},
		{"grid: [4, 3]", func(v *job.Values) any { return v.Grid("grid") }, [2]int{4, 3}},
	}
	for _, tt := range tests {
		t.Run(tt.written, func(t *testing.T) {
			v, err := one(", " + tt.written)
			require.NoError(t, err)
			require.Equal(t, tt.want, tt.get(v))
		})
	}
}

func TestOutlinesReadBack(t *testing.T) {
	at := func(s *job.Shape) job.Shape { s.Pos.File, s.Pos.Line, s.Pos.Col = "", 0, 0; return *s }
	tests := []struct {
		written string
		want    job.Shape
	}{
		{"{rect: [110, 90], corner: 15}", job.Shape{Kind: "rect", Size: geom.Vec2{X: 110, Y: 90}, Corner: 15, HasCorner: true}},
		{"{rect: [1 in, 90]}", job.Shape{Kind: "rect", Size: geom.Vec2{X: 25.4, Y: 90}}},
		{"{circle: 30}", job.Shape{Kind: "circle", Size: geom.Vec2{X: 30, Y: 30}}},
		{"{slot: [52, 28]}", job.Shape{Kind: "slot", Size: geom.Vec2{X: 52, Y: 28}}},
		{"{polygon: [[0, 0], [4, 0], [0, 3]], corner: 0}", job.Shape{Kind: "polygon", Size: geom.Vec2{X: 4, Y: 3}, Points: []geom.Vec2{{}, {X: 4}, {Y: 3}}, HasCorner: true}},
		{"{dxf: plate.dxf}", job.Shape{Kind: "dxf", File: "plate.dxf", Centre: true}},
		{"{dxf: plans/plate.dxf, layer: EDGE 1, unit: inch, corner: 2, centre: false}", job.Shape{Kind: "dxf", File: "plans/plate.dxf", Layer: "EDGE 1", Unit: "inch", Corner: 2, HasCorner: true}},
		{"{svg: plate.svg, unit: mm}", job.Shape{Kind: "svg", File: "plate.svg", Unit: "mm", Centre: true}},
	}
	for _, tt := range tests {
		v, err := one(", outline: " + tt.written)
		require.NoError(t, err)
		require.Equal(t, tt.want, at(v.Outline("outline")), tt.written)
	}
}

func TestDefaultsStandWhereNothingIsGiven(t *testing.T) {
	v, err := one("")
	require.NoError(t, err)
	require.Equal(t, 2.5, v.Length("length"))
	require.Equal(t, 3*geom.Degree, v.Angle("angle"))
	require.Equal(t, 4, v.Count("count"))
	require.True(t, v.Flag("flag"))
	require.Equal(t, geom.Vec2{X: 1, Y: 2}, v.Point("point"))
	require.Equal(t, 7.0, v.Group("group").Length("inner"))
	require.Nil(t, v.Outline("outline"))
	require.True(t, v.Has("length"))
	require.False(t, v.Given("length"))
	require.False(t, v.Has("outline"))
	require.False(t, v.Has("group"))
	require.Equal(t, "j.yaml:7:5", v.Pos("length").String(), "of the feature")
	require.Equal(t, []string{"number", "text", "choice", "temperature", "points", "lengths", "texts", "group.other", "groups", "grid"}, v.Unread())
}

func TestAccessorsPanicOnABrokenPromise(t *testing.T) {
	v, err := one("")
	require.NoError(t, err)
	require.PanicsWithValue(t, `job: key "nothing" was not declared`, func() { v.Length("nothing") })
	require.PanicsWithValue(t, `job: key "count" is a whole number, read as a length`, func() { v.Length("count") })
	bad := every()
	bad[0].Params[0].Default = "2"
	require.PanicsWithValue(t, `job: default of key "length" does not fit a length`, func() {
		_, _ = job.Read(nil, "j.yaml", bad, names)
	})
	bad[0].Params[0] = job.Param{Key: "name", Type: job.Text}
	require.PanicsWithValue(t, `job: key "name" of every: declared twice`, func() {
		_, _ = job.Read(nil, "j.yaml", bad, names)
	})
}

// TestEvilValues gives every type what YAML, calculators and habit know as a number or a flag.
// Only the types named take it; whoever does not names a place.
func TestEvilValues(t *testing.T) {
	const number = "length angle number temperature"
	tests := []struct{ value, taken, says string }{
		{"0777", "", `"0777" is not written as a plain decimal number; write 777`},
		{"0x1F", "", `"0x1F" is not written as a plain decimal number; write 31`},
		{"0o17", "", `"0o17" is not written as a plain decimal number; write 15`},
		{"0b101", "", `"0b101" is not written as a plain decimal number; write 5`},
		{"1_000", "", `"1_000" is not written as a plain decimal number; write 1000`},
		{"12:30", "", `"12:30" mixes units as a clock does; write one decimal number`},
		{".5", "", `".5" is not written as a plain decimal number; write 0.5`},
		{"+.5e3", "", `"+.5e3" is not written as a plain decimal number; write 0.5e3`},
		{"5.", "", `"5." is not written as a plain decimal number; write 5`},
		{"'1,5'", "", `"1,5" is not written as a plain decimal number; write 1.5`},
		{"'1,000'", "", `"1,000" is not`},
		{"−5", "", `"−5" is not written as a plain decimal number; write -5`},
		{"1/4", number, ""},
		{"8/4", number + " count", ""},
		{".nan", "", `".nan" is not a finite number`},
		{".inf", "", `".inf" is not a finite number`},
		{"-.INF", "", `"-.INF" is not a finite number`},
		{"NaN", "", `"NaN" is not a finite number`},
		{"Infinity", "", `"Infinity" is not a finite number`},
		{"1e999", "", `"1e999" is too large for a number`},
		{"1e-999", "", `"1e-999" is too small for a number`},
		{"true", "flag", `"true" is not`},
		{"yes", "", `"yes" is not`},
		{"on", "", `"on" is not`},
		{"2026-01-05", "", `"2026-01-05" is not`},
		{"5e", "", `unit "e" `},
		{"1 2", "", `"1 2" is not`},
		{"0x", "", `unit "x" is not taken for a length`},
		{"--5", "", `"--5" is not`},
		{"١٢", "", `"١٢" is not`},
		{"'12'", "", "a number stands without quotes; write 12"},
		{"12", number + " count", ""},
		{"-0", number + " count", ""},
		{"3.0", number, ""},
		{"3e1", number, ""},
		{"12 mm", "length", ""},
		{"12 in", "length", ""},
		{"12 deg", "angle", ""},
		{"12 degC", "temperature", ""},
		{"12 cm", "", ""},
		{"12 MM", "", ""},
		{"12 furlong", "", ""},
	}
	for _, tt := range tests {
		for _, key := range []string{"length", "angle", "number", "temperature", "count", "flag"} {
			v, err := one(fmt.Sprintf(", %s: %s", key, tt.value))
			if containsWord(tt.taken, key) {
				require.NoError(t, err, "%s: %s", key, tt.value)
				require.True(t, v.Given(key))
				continue
			}
			lines := firstLines(t, err)
			require.Len(t, lines, 1, "%s: %s", key, tt.value)
			require.Contains(t, lines[0], fmt.Sprintf("j.yaml:7:%d: ", 21+len(key)), "%s: %s", key, tt.value)
			if key == "length" {
				require.Contains(t, lines[0], tt.says)
			}
		}
	}
}

func containsWord(list, word string) bool {
	for len(list) > 0 {
		var w string
		if n, _ := fmt.Sscan(list, &w); n == 0 {
			return false
		}
		if w == word {
			return true
		}
		list = list[min(len(list), len(w)+1):]
	}
	return false
}

func TestUnitsNotTakenSayWhatToWrite(t *testing.T) {
	tests := []struct{ written, says string }{
		{"length: 2 cm", `unit "cm" is not taken for a length; write 20 mm`},
		{"length: 0.1 m", `unit "m" is not taken for a length; write 100 mm`},
		{"length: 40 thou", `unit "thou" is not taken for a length; write 0.04 in`},
		{"length: 3/8 in", `"3/8 in" is not written as a plain decimal number; write 0.375 in`},
		{"length: 6 deg", `unit "deg" is not taken for a length`},
		{"angle: 0.5 rad", `unit "rad" is not taken for an angle; write 28.6479 deg`},
		{"temperature: 140 °F", `unit "°F" is not taken for a temperature; write 60 degC`},
		{"temperature: 333.15 K", `unit "K" is not taken for a temperature; write 60 degC`},
		{"number: 5 %", `unit "%": a plain number carries no unit`},
		{"count: 3.0", `"3.0" is not written as a whole number; write 3`},
		{"count: 2.5", `"2.5" is not a whole number`},
		{"flag: On", `"On" is neither true nor false; write true`},
		{"flag: 'true'", `"true" is neither true nor false; write true`},
	}
	for _, tt := range tests {
		_, err := one(", " + tt.written)
		require.Contains(t, firstLines(t, err)[0], tt.says)
	}
}

func TestNullOfAnySpellingIsNoValue(t *testing.T) {
	for _, key := range []string{"length", "text", "choice", "flag", "outline", "group", "groups", "points", "grid"} {
		for _, null := range []string{"", "~", "null", "Null", "NULL"} {
			_, err := one(", " + key + ": " + null)
			require.Equal(t, []string{fmt.Sprintf("j.yaml:7:19: key %q in every 1 has no value", key)}, firstLines(t, err))
		}
	}
}
