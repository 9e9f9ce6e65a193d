package part_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
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
