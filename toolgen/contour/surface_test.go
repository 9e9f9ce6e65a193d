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
