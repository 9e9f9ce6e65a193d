package stack_test

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/stack"
	"platen/toolgen/wall"
)

// read reads a job text.
func read(t testing.TB, text string) *job.Job {
	t.Helper()
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	var n job.Names
	for _, s := range material.Sheets() {
		n.Materials = append(n.Materials, s.Name)
	}
	for _, m := range material.Tools() {
		n.ToolMaterials = append(n.ToolMaterials, m.Name)
	}
	j, err := job.Read([]byte(text), "job.yaml", kinds, n)
	require.NoError(t, err)
	return j
}

// made returns the part of a job text whose sheet has the same wall everywhere.
func made(t testing.TB, text string, mm float64) *stack.Part {
	t.Helper()
	p, err := part.Resolve(read(t, text), features.All(), os.ReadFile)
	require.NoError(t, err)
	b, err := body.Assemble(p, wall.None{})
	require.NoError(t, err)
	out, err := stack.New(context.Background(), b, stack.Even(mm))
	require.NoError(t, err)
	return out
}
