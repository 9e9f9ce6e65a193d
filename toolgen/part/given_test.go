package part_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// plug is a kind that sinks its outline 5 mm.
var plug = part.Kind{
	Kind: job.Kind{Name: "plug", Text: "a test recess", On: "sunk", Params: []job.Param{{Key: "outline", Type: job.Outline, Text: "plan"}}},
	Shape: func(e part.Env) ([]part.Solid, error) {
		o, err := part.FromShape(e.Values.Outline("outline"), 0, e.Open)
		if err != nil {
			return nil, part.Blame("outline", "%w", err)
		}
		return []part.Solid{{Outline: o, Sunk: true, Height: 5}}, nil
	},
}

// stack is a kind of three solids: the first on its host, the second on the first, the third beside it on
// the host; what is nested lies on the second.
var stack = part.Kind{
	Kind: job.Kind{Name: "stack", Text: "a test stack", On: "raised", Params: []job.Param{{Key: "heights", Type: job.Lengths, Text: "three heights"}}},
	Shape: func(e part.Env) ([]part.Solid, error) {
		h := e.Values.Lengths("heights")
		if len(h) != 3 {
			return nil, part.BlameEntry("heights", len(h)-1, fmt.Errorf("three are wanted"))
		}
		o, err := outline.Circle(4)
		return []part.Solid{
			{Suffix: "a", Outline: o, Height: h[0]},
			{Suffix: "b", Outline: o, Height: h[1], On: 1, Carries: true},
			{Suffix: "c", Outline: o, Height: h[2]},
		}, err
	},
}

// resolve reads a job of the given trim line and features and resolves it.
func resolve(t *testing.T, trim, features string, open part.Opener, kinds ...part.Kind) (*part.Part, error) {
	t.Helper()
	kinds = append(kinds, plug)
	plain := make([]job.Kind, len(kinds))
	for i, k := range kinds {
		plain[i] = k.Kind
	}
	text := "format: 1\nname: n\nsheet: {material: HIPS, gauge: 1}\ntool: {material: aluminium 5083}\npart: {outline: " + trim + "}\nfeatures:\n" + features
	j, err := job.Read([]byte(text), "j.yaml", plain, job.Names{})
	require.NoError(t, err)
	return part.Resolve(j, kinds, open)
}
