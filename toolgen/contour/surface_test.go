package contour_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen/contour"
)

func TestSurfaceOfPocket(t *testing.T) {
	s := pocket(t)
	t0 := time.Now()
	m, rep, err := contour.Surface(context.Background(), s, s.options(0.02))
	t.Logf("%+v %v", rep, time.Since(t0))
	require.NoError(t, err)
	t.Log(m.Area())
}

func TestSurfaceOfCrossing(t *testing.T) {
	for _, r := range []float64{2, 1, 0.5, 0.3} {
		s := crossing(t, r)
		for _, tol := range []float64{0.05, 0.02} {
			t0 := time.Now()
			m, rep, err := contour.Surface(context.Background(), s, s.options(tol))
			t.Logf("%v %v %+v %v %v", r, tol, rep, time.Since(t0), err)
			if err == nil {
				t.Log(m.Area())
			}
		}
	}
}
