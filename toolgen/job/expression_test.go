package job_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
)

// reckoned reads a length that an expression gives, with named values before it.
func reckoned(units, values, key, text string) (*job.Values, error) {
	file := strings.Replace(top, "name: n\n", "name: n\nunits: "+units+"\nvalues: {"+values+"}\n", 1)
	if units == "inch" {
		file = strings.Replace(file, "gauge: 1}", "gauge: 1 mm}", 1)
	}
	j, err := job.Read([]byte(file+"features:\n  - {kind: every, "+key+": \""+text+"\"}\n"), "j.yaml", every(), names)
	if err != nil {
		return nil, err
	}
	return j.Features[0].Values, nil
}

// TestExpressions: worked by hand.
func TestExpressions(t *testing.T) {
	tests := []struct {
		text         string
		mm, ofInches float64 // in a job in mm and in one in inches, mm
	}{
		{"2*r + wall", 27, 24 + 3*25.4},
		{"(r + 3 mm) / 2", 7.5, 7.5},
		{"-wall", -3, -3 * 25.4},
		{"- (wall - 1)", -2, -2 * 25.4},
		{"2^3^2 / 512", 1, 25.4}, // powers from the right
		{"-2^2", -4, -4 * 25.4},
		{"2 in + 1 mm", 51.8, 51.8},
		{"10 mm / 2 in * 25.4 * 2 mm", 10, 10}, // a unit binds its number first
		{"sqrt(r^2 + (5 mm)^2)", 13, 13},
		{"hypot(r, 5 mm)", 13, 13},
		{"max(wall, 2, 1)", 3, 3 * 25.4},
		{"min(r, wall)", 3, 12},
		{"20 * sin(30)", 10, 254},
		{"20 * cos(slope)", 10, 254},
		{"r * tan(45 deg)", 12, 12},
		{"r * (asin(0.5) / 30 deg)", 12, 12},
		{"floor(50 mm / r) * r", 48, 48},
		{"round(13.4 mm / 0.5 mm) * 0.5 mm", 13.5, 13.5},
		{"ceil(0.3 / 0.1)", 3, 3 * 25.4}, // three, whatever the last bit says
		{"1 in * 3 * (r / 24 mm)", 38.1, 38.1},
		{"20 * (1 - cos(60)) * 2", 20, 20 * 25.4},
		{"abs(-4)", 4, 4 * 25.4},
		{"7", 7, 7 * 25.4},
		{"r", 12, 12},
		{"deep", 5, 5 * 25.4}, // named in terms of a later one
	}
	for _, tt := range tests {
		if tt.text == "7" {
			continue // a number stands without quotes
		}
		for units, want := range map[string]float64{"mm": tt.mm, "inch": tt.ofInches} {
			v, err := reckoned(units, "deep: wall + 2, r: 12 mm, wall: 3, slope: 60 deg", "length", tt.text)
			require.NoError(t, err, "%s in %s", tt.text, units)
			require.InDelta(t, want, v.Length("length"), 1e-9, "%s in %s", tt.text, units)
		}
	}
	v, err := reckoned("mm", "n: 6, a: 10 mm", "count", "n * 2 - floor(25 mm / a)")
	require.NoError(t, err)
	require.Equal(t, 10, v.Count("count"))
	v, err = reckoned("inch", "slope: 6", "angle", "slope / 2 + 1 deg")
	require.NoError(t, err)
	require.InDelta(t, 4, v.Angle("angle").Degrees(), 1e-12, "inches do not scale angles")
}

func TestExpressionFaults(t *testing.T) {
	const values = "r: 12 mm, wall: 3, slope: 6 deg, share: r / 24 mm"
	tests := []struct {
		text string
		at   int // characters from the opening quote on
		says string
	}{
		{"2*rr + 1", 2, `no value is named "rr"`},
		{"2*wal + 1", 2, `no value is named "wal"; did you mean "wall"?`},
		{"sqr(4)", 0, `no function is named "sqr"`},
		{"r + share", 2, "a length and a ratio do not go together"},
		{"1 + r*r + r", 8, "an area and a length do not go together"},
		{"r*r", 0, `"r*r" is an area, not a length`},
		{"share", 0, `"share" is a ratio, not a length`},
		{"share * 1", 0, `"share * 1" is a ratio, not a length`},
		{"20 * r / (wall + r)", 0, `"20 * r / (wall + r)" is a ratio, not a length`},
		{"20 * (r / (wall + r))", 0, `"20 * (r / (wall + r))" is a ratio, not a length`},
		{"20 / share", 0, `"20 / share" is a ratio, not a length`},
		{"share * cos(slope) * 2", 0, `"share * cos(slope) * 2" is a ratio, not a length`},
		{"(share + 1) * 2", 0, `"(share + 1) * 2" is a ratio, not a length`},
		{"2 ^ share", 0, `"2 ^ share" is a ratio, not a length`},
		{"2 * share ^ 2", 0, `"2 * share ^ 2" is a ratio, not a length`},
		{"2 * r ^ 0", 0, `"2 * r ^ 0" is a ratio, not a length`},
		{"sqrt(share) * 3", 0, `"sqrt(share) * 3" is a ratio, not a length`},
		{"max(share, 3) * floor(share)", 0, `"max(share, 3) * floor(share)" is a ratio, not a length`},
		{"cos(slope)", 0, `"cos(slope)" is a plain number, not a length`},
		{"2 / r", 0, `"2 / r" is one over a length, not a length`},
		{"slope", 0, `"slope" is an angle, not a length`},
		{"r / (wall - 3)", 2, "division by zero"},
		{"sqrt(-r*r)", 0, "sqrt: no square root of -144, which is negative"},
		{"sqrt(r)", 0, "sqrt: no square root of a length"},
		{"asin(2)", 0, "asin: no angle has 2; from -1 to 1"},
		{"sin(r)", 0, "sin: it takes an angle in degrees, not a length"},
		{"floor(r)", 0, "floor: it takes a plain number, not a length; divide by a step and multiply again, as in round(x / 0.5 mm) * 0.5 mm"},
		{"tan(90)", 0, "this comes to 1.63312e+16; numbers to 1e+12"},
		{"10^(10^9)", 2, "this comes to +Inf; numbers to 1e+12"},
		{"(0 - 2)^0.5", 7, "this comes to NaN; numbers to 1e+12"},
		{"r^0.5", 1, "a length to the power of 0.5; a whole number from -4 to 4"},
		{"max(r)", 0, "max takes 2 to 16 numbers, not 1"},
		{"hypot(r, r, r)", 0, "hypot takes 2 numbers, not 3"},
		{"(r + 1", 0, "( is not closed"},
		{"r + 1)", 5, ") closes no bracket"},
		{"r +", 3, "the expression ends where a number or a name is missing"},
		{"r * / 2", 4, `"/" has no place here in the expression`},
		{"r, 2", 1, `"," has no place here in the expression`},
		{"max + 1", 0, `"max" is a function; it takes its numbers in brackets`},
		{"2 r", 0, `unit "r" is not taken for a length`},
		{"1 + 2 r", 4, `"r" after a number is no unit, and * is missing where it is a name`},
		{"r wall", 2, `an operator is missing before "wall"; write * to multiply`},
		{"r mm", 2, "the unit mm goes with a number; multiply by 1 mm"},
		{"(1 + 2) mm", 8, "the unit mm goes with a number; multiply by 1 mm"},
		{"2 (r)", 2, "an operator is missing before (; write * to multiply"},
		{"r(2)", 0, `no function is named "r"`},
		{"r ** 2", 2, "** is no operator here; write ^ for a power"},
		{"r % 2", 2, `"%" has no place in an expression`},
		{"r > 2 ? 1 : 3", 2, `">" has no place in an expression`},
		{"r | max(2)", 2, `"|" has no place in an expression`},
		{"map([1], {#})", 0, `no function is named "map"`},
		{"r + [1]", 4, `"[" has no place in an expression`},
		{"let x = 2; x", 0, `no value is named "let"`},
		{"r + .5", 4, `"." has no place in an expression`},
		{"r + 0x1F", 4, `"0x1F" is not written as a plain decimal number; write 31`},
		{"r + 1_000", 4, `"1_000" is not written as a plain decimal number; write 1000`},
		{"r + 007", 4, `"007" is not written as a plain decimal number; write 7`},
		{"r + 2 cm", 4, `unit "cm" is not taken for a length; write 20 mm`},
		{"r + 1e400", 4, `"1e400" is too large for a number`},
		{"ž + 1", 0, `"ž + 1" is not a length`},
		{"r + ž", 4, `"ž" has no place in an expression`},
		{"r + " + strings.Repeat("1+", 120) + "1", 200, "an expression of 245 characters; at most 200, name its parts in values"},
		{strings.Repeat("(", 101) + "r" + strings.Repeat(")", 101), 200, "an expression of 203 characters"},
		{strings.Repeat("-", 150) + "r", 0, ""}, // silly, and right
	}
	for _, tt := range tests {
		v, err := reckoned("mm", values, "length", tt.text)
		if tt.says == "" {
			require.NoError(t, err)
			require.InDelta(t, 12, v.Length("length"), 1e-12)
			continue
		}
		lines := firstLines(t, err)
		require.Len(t, lines, 1, tt.text)
		place := fmt.Sprintf("j.yaml:9:%d: ", 28+tt.at)
		if !strings.Contains(lines[0], place) {
			place = fmt.Sprintf("j.yaml:9:%d: ", 27) // of the whole, with its quote
		}
		require.True(t, strings.HasPrefix(lines[0], place), "%s: want %d in %s", tt.text, tt.at, lines[0])
		require.Contains(t, lines[0], tt.says, tt.text)
	}
}

func TestNamedValueFaults(t *testing.T) {
	tests := []struct {
		values string
		want   []string
	}{
		{"{a: b + 1, b: 2*c, c: a}", []string{`j.yaml:6:10: values go round in a circle: a -> b -> c -> a`}},
		{"{a: a}", []string{`j.yaml:6:10: values go round in a circle: a -> a`}},
		{"{x: a, a: 2*b, b: a}", []string{`j.yaml:6:16: values go round in a circle: a -> b -> a`}},
		{"{a: 1, a: 2}", []string{`j.yaml:6:16: value "a" is given twice, first on line 6`}},
		{"{A: 1}", []string{`j.yaml:6:10: "A" can not name a value`}},
		{"{2a: 1}", []string{`j.yaml:6:10: "2a" can not name a value`}},
		{"{mm: 1}", []string{`j.yaml:6:10: "mm" is taken: it is a function, a unit or a constant of expressions`}},
		{"{sin: 1}", []string{`j.yaml:6:10: "sin" is taken: it is a function, a unit or a constant of expressions`}},
		{"{a: }", []string{`j.yaml:6:13: value "a" takes a number, not nothing`}},
		{"{a: [1]}", []string{`j.yaml:6:13: value "a" takes a number, not a list`}},
		{"{a: '1'}", []string{`j.yaml:6:13: value "a": a number stands without quotes; write 1`}},
		{"{a: 1 / 0, b: a, c: b + a}", []string{`j.yaml:6:15: value "a": division by zero`}},
		{"{in: 1}", []string{`j.yaml:6:10: "in" is taken: it is a function, a unit or a constant of expressions`}},
		{"[1]", []string{`j.yaml:6:9: "values" takes names and numbers, not a list`}},
	}
	for _, tt := range tests {
		_, err := job.Read([]byte(top+"values: "+tt.values+"\n"), "j.yaml", kinds(), names)
		require.Equal(t, tt.want, firstLines(t, err), tt.values)
	}
	// A word of the library's own language is a name like any other.
	j, err := job.Read([]byte(top+"values: {not: 2, let: not + 1, true: 3, nil: 4, or: let*not*true*nil}\n"), "j.yaml", kinds(), names)
	require.NoError(t, err)
	require.InDelta(t, 72, j.Named[4].Value, 0)
	require.Equal(t, "a number without a unit", j.Named[4].Of)
}

// TestLongChainsOfValues: each is reckoned once, and a chain as long as may be is no depth.
func TestLongChainsOfValues(t *testing.T) {
	var b strings.Builder
	for i := range 499 {
		fmt.Fprintf(&b, "  v%d: v%d + v%d\n", i, i+1, min(i+2, 499))
	}
	text := top + "values:\n" + b.String() + "  v499: 1e-200\n"
	j, err := job.Read([]byte(text), "j.yaml", kinds(), names)
	require.NoError(t, err)
	require.Greater(t, j.Named[0].Value, 1e-100, "a Fibonacci number of them: 2^500 additions, made once")
	_, err = job.Read([]byte(text+"  more: 1\n"), "j.yaml", kinds(), names)
	require.ErrorContains(t, err, "501 named values; at most 500")
}

// TestExpressionsAgainstGo compares random expressions with what Go makes of them.
func TestExpressionsAgainstGo(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	var grow func(depth int) (string, float64)
	grow = func(depth int) (string, float64) {
		if depth == 0 || rng.IntN(5) == 0 {
			n := rng.IntN(90) + 1
			return fmt.Sprint(n), float64(n)
		}
		a, x := grow(depth - 1)
		b, y := grow(depth - 1)
		switch rng.IntN(6) {
		case 0:
			return "(" + a + " + " + b + ")", x + y
		case 1:
			return "(" + a + ")-(" + b + ")", x - y
		case 2:
			return "(" + a + ")*" + "(" + b + ")", x * y
		case 3:
			return "max(" + a + "," + b + ")", max(x, y)
		case 4:
			return "hypot(" + a + ", " + b + ")", math.Hypot(x, y)
		}
		return "-(" + a + ")", -x
	}
	tried := 0
	for tried < 300 {
		text, want := grow(4)
		if len(text) > 190 || math.Abs(want) > 9000 || math.Abs(want) < 0.01 || !strings.ContainsAny(text, "(+") {
			continue
		}
		tried++
		v, err := reckoned("mm", "a: 1", "length", text)
		require.NoError(t, err, text)
		require.InDelta(t, want, v.Length("length"), 1e-9*max(1, math.Abs(want)), text)
	}
}

// FuzzExpression: no text makes a length that is not finite, and every refusal is at a place of the file.
func FuzzExpression(f *testing.F) {
	for _, s := range []string{
		"2*r + wall", "max(r, 3)", "r^2/r", "((r))", "sin(30)*r", "1e9*1e9", "r mm", "1 in + r", "--r", "a -> b", "_0 + r", "f_max(1,2)",
		"r\u00a0+ 1", "#", "..", "r ? 1 : 2", "r[0]", "{r}", "r | max", "let r = 1; r", "::r", "\u2028", "floor(r/2 mm)", "1 + 2 cm", "r,,r", "max(,)",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.ContainsAny(text, "\"\\\n\r\t") {
			return
		}
		v, err := reckoned("inch", "r: 12 mm, wall: 0.1, slope: 6 deg", "length", text)
		if err == nil {
			require.Less(t, math.Abs(v.Length("length")), 10000.1)
			return
		}
		var ref *job.Refusal
		require.True(t, errors.As(err, &ref))
		for _, f := range ref.Faults {
			require.True(t, strings.Contains(text, "_") || !strings.Contains(f.Text, "_"), f.Text)
			require.Positive(t, f.Pos.Col)
		}
	})
}
