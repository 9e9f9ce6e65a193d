package stack_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/stack"
)

// TestSectionIsSquareToTheSides leans a side by so many degrees from the level, towards a direction of the
// plan: from one degree on it is cut square, whichever way it leans and whichever way it faces.
func TestSectionIsSquareToTheSides(t *testing.T) {
	for _, lean := range []float64{0, 0.5, 0.99, 1.01, 3, 5.7, 30, 90} {
		for _, way := range []float64{0, 37, 90, 200} {
			for _, up := range []float64{1, -1} {
				a := geom.Angle(lean) * geom.Degree
				u := geom.Turned(geom.Angle(way) * geom.Degree).Point(geom.Vec2{X: 1})
				got := stack.Across(u.Scale(a.Sin()).At(up * a.Cos()))
				want := u
				if lean < 1 {
					want = geom.Vec2{X: 1}
				}
				require.InDelta(t, 0, got.Sub(want).Norm(), 1e-9, "%g deg off the level towards %g deg", lean, way)
			}
		}
	}
}
