package job

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"platen/toolgen/geom"
)

// function is what an expression may call.
type function struct {
	least, most int // arguments
	call        func(args []quantity, bare float64) (quantity, error)
}

// mostArguments is the largest number of arguments of min and max.
const mostArguments = 16

// functions are those of an expression. Angles are degrees.
var functions = map[string]function{
	"min":   {2, mostArguments, fold(func(a, b float64) float64 { return min(a, b) })},
	"max":   {2, mostArguments, fold(func(a, b float64) float64 { return max(a, b) })},
	"hypot": {2, 2, fold(math.Hypot)},
	"abs":   {1, 1, func(a []quantity, _ float64) (quantity, error) { a[0].v = math.Abs(a[0].v); return a[0], nil }},
	"floor": {1, 1, whole(math.Floor)},
	"ceil":  {1, 1, whole(math.Ceil)},
	"round": {1, 1, whole(math.Round)},
	"sqrt":  {1, 1, root},
	"sin":   {1, 1, ratio(geom.Angle.Sin)},
	"cos":   {1, 1, ratio(geom.Angle.Cos)},
	"tan":   {1, 1, ratio(geom.Angle.Tan)},
	"asin":  {1, 1, angle(math.Asin)},
	"acos":  {1, 1, angle(math.Acos)},
	"atan":  {1, 1, angle(math.Atan)},
}

// functionNames are the names of the functions, sorted.
func functionNames() []string { return slices.Sorted(maps.Keys(functions)) }

// Expressions says in a few lines what may stand in the place of a number, for the manual.
func Expressions() string {
	return "In the place of any number: names of values, numbers with or without a unit, + - * / ^, brackets, pi and\n" +
		strings.Join(functionNames(), ", ") + ".\n" +
		"Angles of sin, cos and tan are degrees. A number without a unit is in the job's units; where it is added to a\n" +
		"length it is a length, where it multiplies one it is plain. A ratio of lengths is no length, multiplied by such\n" +
		"numbers either: write 20 mm * (a / b). With a comma inside [ ] or { } the expression stands in quotes. Values may use each other in any order.\n"
}

// fold takes arguments of one kind, two by two.
func fold(f func(a, b float64) float64) func([]quantity, float64) (quantity, error) {
	return func(args []quantity, bare float64) (quantity, error) {
		out := args[0]
		for _, q := range args[1:] {
			a, b, err := alike(out, q, bare)
			if err != nil {
				return q, err
			}
			out = a
			out.v = f(a.v, b.v)
		}
		return out, nil
	}
}

// stepSlack is how far beyond a whole number a quotient may lie by rounding alone, of its size: 0.3 / 0.1 is
// three steps.
const stepSlack = 1e-9

// whole takes a plain number: a length is no whole number but in some unit.
func whole(f func(float64) float64) func([]quantity, float64) (quantity, error) {
	return func(args []quantity, _ float64) (quantity, error) {
		q := args[0]
		if q.dims != plainNumber {
			return q, fmt.Errorf("it takes a plain number, not %s; divide by a step and multiply again, as in round(x / 0.5 mm) * 0.5 mm", q)
		}
		if near := math.Round(q.v); math.Abs(q.v-near) <= stepSlack*max(1, math.Abs(q.v)) {
			q.v = near
		}
		q.v = f(q.v)
		return q, nil
	}
}

func root(args []quantity, _ float64) (quantity, error) {
	q := args[0]
	switch d := q.dims; {
	case d.mm%2 != 0 || d.deg%2 != 0 || d.degC%2 != 0:
		return q, fmt.Errorf("no square root of %s", q)
	case q.v < 0:
		return q, fmt.Errorf("no square root of %s, which is negative", short(q.v))
	}
	q.v, q.dims = math.Sqrt(q.v), dims{q.dims.mm / 2, q.dims.deg / 2, q.dims.degC / 2}
	return q, nil
}

// ratio takes an angle in degrees and gives a plain number.
func ratio(f func(geom.Angle) float64) func([]quantity, float64) (quantity, error) {
	return func(args []quantity, bare float64) (quantity, error) {
		v, ok := args[0].of(dims{deg: 1}, bare)
		if !ok {
			return args[0], fmt.Errorf("it takes an angle in degrees, not %s", args[0])
		}
		return quantity{v: f(geom.Angle(v) * geom.Degree)}, nil
	}
}

// angle takes a plain number and gives an angle in degrees.
func angle(f func(float64) float64) func([]quantity, float64) (quantity, error) {
	return func(args []quantity, _ float64) (quantity, error) {
		if args[0].dims != plainNumber {
			return args[0], fmt.Errorf("it takes a plain number, not %s", args[0])
		}
		v := f(args[0].v)
		if math.IsNaN(v) {
			return args[0], fmt.Errorf("no angle has %s; from -1 to 1", short(args[0].v))
		}
		return quantity{v: geom.Angle(v).Degrees(), dims: dims{deg: 1}}, nil
	}
}
