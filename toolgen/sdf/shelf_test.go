package sdf_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// TestQuickBodyAcrossManyPages asks the quick field all over a cluster, more than once, so that its pages
// are dropped on the way: it says what the body does.
func TestQuickBodyAcrossManyPages(t *testing.T) {
	var tab piece.Table
	o, err := outline.Rect(400, 300, 12)
	require.NoError(t, err)
	w := sdf.Wall{Host: -60, End: 0, Datum: -60, Inside: o.Inside()}
	p, err := w.Profile()
	require.NoError(t, err)
	p[0].A.X = -p[0].A.X
	block := sdf.NewSweep(&tab, "block", o, p, w.Roles(piece.Base, p))
	land := block.IDs[len(block.IDs)-1][0]
	ms := []sdf.Member{
		{Feature: "a", Outline: slot(t, 320, 40, 0, 0, 0), Wall: sunk(0, -15, 6, 3, 4), Host: -1},
		{Feature: "b", Outline: slot(t, 240, 46, 15, 2, 80), Wall: sunk(0, -22, 8, 3, 4), Host: -1},
	}
	j, err := sdf.NewJoint(&tab, land, 0, ms)
	require.NoError(t, err)
	b := sdf.NewBody(&tab, block, []*sdf.Patch{{Name: "a+b", Host: land, Parent: -1, Joint: j}})
	quick := b.Quick()
	r := rand.New(rand.NewPCG(7, 8))
	for range 20000 {
		q := surfacePoint(r, j, j.Box(), 3, 0.02)
		require.InDelta(t, b.At(q).D, quick.At(q).D, 1e-8)
	}
}
