package features_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/part/parttest"
	"platen/toolgen/wall"
)

// entry resolves a job of one entry below features.
func entry(t *testing.T, text string) (*part.Part, error) {
	t.Helper()
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	j, err := job.Read([]byte(parttest.Head(500)+"  - "+text+"\n"), "j.yaml", kinds, job.Names{})
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
