package parttest

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
)

// sameField is how far the fields of two orders may differ, mm: the stop limit of the ball search of
// clusters, ten times over.
const sameField = 1e-8

// order checks that the order in which features are listed changes nothing: three apart, and two that
// cross.
func (s *suite) order(t *testing.T) {
	ex := unnamed(s.kind.Example)
	probe, err := Make(Head(small)+Entry(ex), s.kinds)
	require.NoError(t, err)
	size := around(probe).Size()
	for name, places := range map[string][]place{
		"apart":    {{}, {at: geom.Vec2{X: size.X + 10, Y: 5}, turn: 35}, {at: geom.Vec2{X: 10, Y: -size.X - size.Y}, turn: 200}},
		"crossing": {{}, {at: geom.Vec2{X: size.X / 4, Y: size.Y / 5}, turn: 60}, {at: geom.Vec2{X: size.X + size.Y + 40}, turn: 10}},
	} {
		t.Run(name, func(t *testing.T) {
			head := Head(2*small + 4*(size.X+size.Y))
			first, errA := Make(head+entries(ex, places, 0, 1, 2), s.kinds)
			for _, order := range [][3]int{{2, 1, 0}, {1, 2, 0}} {
				other, errB := Make(head+entries(ex, places, order[0], order[1], order[2]), s.kinds)
				require.Equal(t, errA == nil, errB == nil, "made in one order only: %v, %v", errA, errB)
				if errA != nil {
					require.Equal(t, "crossing", name, "%v", errA)
					require.NoError(t, Unplaced(errA, head+entries(ex, places, 0, 1, 2)))
					continue
				}
				rng, box := s.source(), around(first)
				for range 500 {
					p := within(rng, box)
					require.InDelta(t, first.Field.At(p).D, other.Field.At(p).D, sameField, "Dist(%v)", p)
					if q, _, ok := near(first, rng); ok {
						require.InDelta(t, 0, other.Field.Face(q).D, sameField+onFace, "face at %v", q)
					}
				}
			}
		})
	}
}

// place is where an example stands.
type place struct {
	at   geom.Vec2
	turn float64 // deg
}

// entries returns the example at the places, in an order. The first kind of the example is placed.
func entries(example string, places []place, order ...int) string {
	head, rest, _ := strings.Cut(example, "\n")
	var b strings.Builder
	for _, i := range order {
		p := places[i]
		b.WriteString(Entry(fmt.Sprintf("%s\nat: [%.3f, %.3f]\nturn: %.3f\n%s", head, p.at.X, p.at.Y, p.turn, rest)))
	}
	return b.String()
}
