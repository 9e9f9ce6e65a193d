package features_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/part/parttest"
	"platen/toolgen/wall"
)

// entry resolves a job of one entry below features, with words of what stands above replaced.
func entry(t *testing.T, text string, replace ...string) (*part.Part, error) {
	t.Helper()
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	j, err := job.Read([]byte(strings.NewReplacer(replace...).Replace(parttest.Head(500))+"  - "+text+"\n"), "j.yaml", kinds, job.Names{})
	require.NoError(t, err)
	return part.Resolve(j, features.All(), func(name string) ([]byte, error) { return nil, fmt.Errorf("no file %q", name) })
}

// made resolves and assembles a job of one entry.
func made(t *testing.T, text string) (*part.Part, *body.Body) {
	t.Helper()
	p, err := entry(t, text)
	require.NoError(t, err, text)
	b, err := body.Assemble(p, wall.None{})
	require.NoError(t, err, text)
	return p, b
}

// TestSnapHeightsSuffice: heights of snaps that are not given suffice for the tool behind the wall by area
// balance; what by hand is too low is told in the job's own number, which passes.
func TestSnapHeightsSuffice(t *testing.T) {
	for _, gauge := range []float64{0.3, 0.6, 1, 1.25, 1.5, 1.8} {
		for _, kind := range []string{"snap_button", "snap_socket"} {
			for _, face := range []string{"upper", "underside"} {
				p, err := entry(t, fmt.Sprintf("{kind: %s, face: %s, diameter: 14}", kind, face), "gauge: 1", fmt.Sprintf("gauge: %g", gauge))
				require.NoError(t, err)
				_, err = body.Assemble(p, wall.Nominal{Gauge: gauge})
				require.NoError(t, err, "%s %s of %g mm", kind, face, gauge)
			}
		}
	}
	p, err := entry(t, "{kind: snap_button, height: 4}", "gauge: 1", "gauge: 1.25")
	require.NoError(t, err)
	_, err = body.Assemble(p, wall.Nominal{Gauge: 1.25})
	require.ErrorContains(t, err, "; height (4 mm) at least ")
	_, after, _ := strings.Cut(err.Error(), "; height (4 mm) at least ")
	least, _, _ := strings.Cut(after, " mm")
	p, err = entry(t, "{kind: snap_button, height: "+least+"}", "gauge: 1", "gauge: 1.25")
	require.NoError(t, err)
	_, err = body.Assemble(p, wall.Nominal{Gauge: 1.25})
	require.NoError(t, err, "%s", least)
}
