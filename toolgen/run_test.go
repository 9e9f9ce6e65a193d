package toolgen_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/features"
	"platen/toolgen"
	"platen/toolgen/job"
)

// read reads a job text with all feature kinds.
func read(t testing.TB, text string) *job.Job {
	t.Helper()
	j, err := parse(text)
	require.NoError(t, err)
	return j
}

func parse(text string) (*job.Job, error) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	return job.Read([]byte(text), "job.yaml", kinds, job.Names{})
}

// options form no sheet: most tests are of the geometry.
func options() toolgen.Options {
	return toolgen.Options{Kinds: features.All(), Open: examples.Open, Version: "test", NoSheet: true, Anyway: true}
}

// check reviews a job text.
func check(t testing.TB, text string) *toolgen.Result {
	t.Helper()
	r, err := toolgen.Check(context.Background(), read(t, text), options())
	require.NoError(t, err)
	return r
}

// build makes the named files of a job text.
func build(t testing.TB, text string, tol float64, only ...string) *toolgen.Result {
	t.Helper()
	o := options()
	o.Tolerance, o.Only = tol, only
	r, err := toolgen.Build(context.Background(), read(t, text), o)
	require.NoError(t, err)
	return r
}
