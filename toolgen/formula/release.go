package formula

import (
	"math"

	"platen/toolgen/geom"
)

// Grip returns the force that draws a closed band of sheet off what it has shrunk on to, N: a band of the height
// and the wall, stretched by a stress, mm and MPa, on walls of a draft. It is 0 where the draft is larger than the
// angle of friction: the part then leaves by itself.
//
// SOURCE: derived: a band in tension sigma t presses by sigma t / r on a wall of radius r, over its way round by
// 2 pi sigma t a unit of height, whatever its outline; of that pressure friction holds mu cos d and the draft
// drives off sin d, over a height of wall of h / cos d.
func Grip(stress, wall, height float64, draft geom.Angle, friction float64) float64 {
	return 2 * math.Pi * stress * wall * height * max(0, friction-draft.Tan())
}
