package form_test

import (
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
)

var ccx = flag.String("ccx", "", "program CalculiX to hold the square membrane against")

// TestSquareElsewhere blows a square membrane here and in a finite element program, from an input this
// test writes, and holds one against the other; and both against what an earlier run of CalculiX 2.20
// from another input gave.
func TestSquareElsewhere(t *testing.T) {
	if *ccx == "" {
		t.Skip("no program given with -ccx")
	}
	const half, mu, gauge = 50.0, 0.1, 0.5
	loads, earlier := []float64{0.5, 1}, []float64{0.4181, 0.6007}
	sq := formtest.Square{Half: half, Gauge: gauge, Modulus: mu}
	for _, p := range loads {
		sq.Pressures = append(sq.Pressures, p*mu*gauge/half)
	}
	folder := t.TempDir()
	f, err := os.Create(filepath.Join(folder, "square.inp"))
	require.NoError(t, err)
	require.NoError(t, sq.Deck(f))
	require.NoError(t, f.Close())
	run := exec.CommandContext(t.Context(), *ccx, "square")
	run.Dir = folder
	said, err := run.CombinedOutput()
	require.NoError(t, err, "%s", said)
	text, err := os.ReadFile(filepath.Join(folder, "square.dat"))
	require.NoError(t, err)
	theirs := middles(t, string(text))
	require.Len(t, theirs, len(loads))
	for i, p := range loads {
		s := form.LevelFrame(formtest.Box2(2*half, 2*half), 0, 0)
		s.Gauge, s.Law, s.Pressure = gauge, form.Rubber(mu, 0), sq.Pressures[i]
		sh := formed(t, formtest.Nothing{}, s, form.Options{Mesh: half / 20, Steps: 1500, Hold: 6000, Levels: -1})
		low := 0.0
		for _, n := range sh.Nodes {
			low = max(low, -n.At.Z)
		}
		t.Logf("p a/(mu t) %g: height/a here %.4f, finite elements %.4f, an earlier run of them %.4f", p, low/half, theirs[i]/half, earlier[i])
		require.InEpsilon(t, theirs[i], low, 0.005)
		require.InEpsilon(t, earlier[i], theirs[i]/half, 0.005)
	}
}

// middles returns how far the middle moved across the sheet at each of the printed times.
func middles(t *testing.T, text string) []float64 {
	t.Helper()
	var out []float64
	for line := range strings.Lines(text) {
		f := strings.Fields(line)
		if len(f) != 4 || f[0] != "1" { // the middle is node 1: its number and three displacements
			continue
		}
		z, err := strconv.ParseFloat(f[3], 64)
		require.NoError(t, err)
		out = append(out, math.Abs(z))
	}
	return out
}
