package parttest

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/job"
)

var word = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)

// measured are the types whose limits carry a unit.
var measured = map[job.Type]string{job.Length: "mm", job.Point: "mm", job.Lengths: "mm", job.Angle: "deg", job.Temperature: "degC"}

// declaration checks what the tables and the editor schema print.
func (s *suite) declaration(t *testing.T) {
	k := s.kind
	require.Regexp(t, word, k.Name)
	line(t, k.Text)
	require.Contains(t, []string{"sunk", "raised", "raised or sunk"}, k.On)
	require.NotNil(t, k.Shape)
	require.NotEmpty(t, k.Params)
	require.Contains(t, k.Example, "kind: "+k.Name)
	for _, p := range k.Params {
		declared(t, p)
		for _, q := range p.Params {
			declared(t, q)
		}
	}
}

// line checks a text for the bench: one line, no stop, no capital.
func line(t *testing.T, text string) {
	t.Helper()
	require.NotEmpty(t, text)
	require.NotContains(t, text, "\n")
	require.False(t, strings.HasSuffix(text, "."), "%q ends with a stop", text)
}

func declared(t *testing.T, p job.Param) {
	t.Helper()
	require.Regexp(t, word, p.Key)
	line(t, p.Text)
	if unit, ok := measured[p.Type]; ok {
		require.Contains(t, p.Limits(), unit, "key %s has no limits with their unit", p.Key)
	}
	if p.Default != nil {
		require.NotEmpty(t, p.Source, "default of key %s has no source", p.Key)
	}
	switch d := p.Default.(type) {
	case float64:
		require.True(t, p.Min <= d && d <= p.Max, "default %g of key %s is not within %g and %g", d, p.Key, p.Min, p.Max)
	case int:
		require.True(t, p.Min <= float64(d) && float64(d) <= p.Max, "default %d of key %s is not within %g and %g", d, p.Key, p.Min, p.Max)
	case geom.Vec2:
		require.True(t, p.Min <= min(d.X, d.Y) && max(d.X, d.Y) <= p.Max, "default %v of key %s", d, p.Key)
	case string:
		if p.Type == job.Choice {
			require.True(t, slices.Contains(p.Choices, d), "default %q of key %s is no choice", d, p.Key)
		}
	case nil:
		// A number that may be left out says what then holds.
		if !p.Required && (p.Type == job.Length || p.Type == job.Angle || p.Type == job.Number || p.Type == job.Count) {
			require.Contains(t, p.Text, "not given:", "key %s", p.Key)
		}
	}
}
