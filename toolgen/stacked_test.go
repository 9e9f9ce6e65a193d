package toolgen_test

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen"
	"platen/toolgen/stack"
)

// BenchmarkStackingTray measures what stacking takes beside forming.
func BenchmarkStackingTray(b *testing.B) {
	text, err := os.ReadFile("../examples/stacking_tray.yaml")
	require.NoError(b, err)
	r, err := toolgen.Check(context.Background(), read(b, string(text)), toolgen.Options{Kinds: features.All(), NoBand: true})
	require.NoError(b, err)
	b.Run("sample", func(b *testing.B) {
		for b.Loop() {
			stack.New(r.Body, r.Formed)
		}
	})
	p := stack.New(r.Body, r.Formed)
	b.Run("put", func(b *testing.B) {
		for b.Loop() {
			_, err := stack.Put(context.Background(), p, p, stack.Half(p))
			require.NoError(b, err)
		}
	})
	rest, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(b, err)
	b.Run("rooms", func(b *testing.B) {
		for b.Loop() {
			rest.Rooms()
		}
	})
	b.Run("plays", func(b *testing.B) {
		for b.Loop() {
			_, err := rest.Plays(context.Background())
			require.NoError(b, err)
		}
	})
	b.Run("bear", func(b *testing.B) {
		for b.Loop() {
			rest.Bear(stack.Asked{Layers: 2})
		}
	})
}
