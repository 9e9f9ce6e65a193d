package store_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"platen/toolgen/store"
)

var oldPairs = []string{"tool.stl", "old mesh", "drill.csv", "same", "left.dxf", "trim"}
var newPairs = []string{"tool.stl", "new mesh", "drill.csv", "same", "tool.3mf", "zip"}

// start is a folder a save is tried on: what is in it, and what must be there in the end.
type start struct {
	name     string
	old, new set
}

func starts(t *testing.T) []start {
	return []start{
		{"empty folder", set{}, built(t, newPairs...)},
		{
			"earlier build",
			built(t, oldPairs...).and("tray.yaml", "job"), built(t, newPairs...).and("tray.yaml", "job"),
		},
		{"the same file, not listed", set{"tool.3mf": "zip"}, built(t, newPairs...)},
	}
}

// folder returns a new folder as the save finds it.
func (s start) folder(t *testing.T) string {
	dir := t.TempDir()
	for name, content := range s.old {
		put(t, dir, name, content)
	}
	return dir
}

// memory returns the same in memory.
func (s start) memory() fstest.MapFS {
	m := fstest.MapFS{}
	for name, content := range s.old {
		m[name] = &fstest.MapFile{Data: []byte(content)}
	}
	return m
}

func contents(m fstest.MapFS) set {
	out := set{}
	for name, f := range m {
		out[name] = string(f.Data)
	}
	return out
}

// calls returns the calls of a save that could fail.
func (s start) calls(t *testing.T) []string {
	t.Helper()
	f := &store.Faults{}
	dir := s.folder(t)
	_, err := f.With(store.Saver{}).Save(t.Context(), dir, files(newPairs...), manifest)
	require.NoError(t, err)
	require.Equal(t, s.new, holds(t, dir))
	return f.Log
}

// After any single failure the folder holds one complete set and no scratch file, and a save that
// reports success has put the new set in place.
func TestAnySingleFaultLeavesOneSet(t *testing.T) {
	faults := []error{syscall.ENOSPC, syscall.EIO, syscall.EACCES, syscall.EDQUOT, nil, store.ErrLost}
	for _, c := range starts(t) {
		t.Run(c.name, func(t *testing.T) {
			log := c.calls(t)
			require.Greater(t, len(log), 40)
			sawOld, sawNew := 0, 0
			for n := 1; n <= len(log); n++ {
				for k, fault := range faults {
					if k < 4 && k != n%4 {
						continue // one error a call will do: none is treated apart
					}
					if k >= 4 && !strings.HasPrefix(log[n-1], "write .tmp") {
						continue // only a write can lose bytes without an error
					}
					at := fmt.Sprintf("call %d (%s) fails with %v", n, log[n-1], fault)
					dir := c.folder(t)
					f := &store.Faults{At: n, Err: fault}
					_, err := f.With(store.Saver{}).Save(t.Context(), dir, files(newPairs...), manifest)
					got := holds(t, dir)
					for name := range got {
						require.False(t, store.Scratch(name), "%s: %s is left", at, name)
					}
					if err == nil {
						require.Equal(t, c.new, got, at)
						sawNew++
						continue
					}
					switch fault {
					case nil:
						require.ErrorIs(t, err, io.ErrShortWrite, at)
					case store.ErrLost:
						require.ErrorContains(t, err, "bytes arrived of", at)
					default:
						require.ErrorIs(t, err, fault, at)
					}
					require.NotContains(t, err.Error(), ".tmp-", at)
					if strings.Contains(err.Error(), "the new files are in place") {
						require.Equal(t, c.new, got, at)
						sawNew++
						continue
					}
					require.Equal(t, c.old, got, at)
					sawOld++
				}
			}
			require.Positive(t, sawOld)
			require.Positive(t, sawNew)
		})
	}
}

// A process that dies at any call leaves a folder that the next start brings back to one complete
// set, even if that start dies in its turn at any call.
func TestACrashIsPutRight(t *testing.T) {
	dead := errors.New("process died")
	refuse := []store.File{{Name: "tool.stl", Write: func(io.Writer) error { return dead }}}
	for _, c := range starts(t) {
		t.Run(c.name, func(t *testing.T) {
			n := len(c.calls(t))
			sawOld, sawNew := 0, 0
			for first := 1; first <= n; first++ {
				for second := 0; ; second++ {
					disk := c.memory()
					f := &store.Faults{At: first, Err: dead, Crash: true, Memory: disk}
					_, _ = f.With(store.Saver{}).Save(t.Context(), "", files(newPairs...), manifest)
					g := &store.Faults{At: second, Err: dead, Crash: true, Memory: disk}
					if second > 0 {
						_, err := g.With(store.Saver{}).Save(t.Context(), "", refuse, manifest)
						require.ErrorIs(t, err, dead)
					}
					_, err := (&store.Faults{Memory: disk}).With(store.Saver{}).Save(t.Context(), "", refuse, manifest)
					require.ErrorIs(t, err, dead)
					got := contents(disk)
					if _, done := got["tool.3mf"]; done && len(got) == len(c.new) {
						require.Equal(t, c.new, got, "death at call %d, then at %d", first, second)
						sawNew++
					} else {
						require.Equal(t, c.old, got, "death at call %d, then at %d", first, second)
						sawOld++
					}
					if second > 0 && g.Calls < second {
						break // the second save lived to its end
					}
				}
			}
			require.Positive(t, sawOld)
			require.Positive(t, sawNew)
		})
	}
}

func TestReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	log := starts(t)[0].calls(t)
	for n, call := range log {
		if !strings.HasPrefix(call, "open .lock") && !strings.HasPrefix(call, "create") {
			continue
		}
		f := &store.Faults{At: n + 1, Err: syscall.EROFS, Crash: true}
		_, err := f.With(store.Saver{}).Save(t.Context(), dir, files(newPairs...), manifest)
		require.ErrorIs(t, err, syscall.EROFS)
		require.ErrorContains(t, err, dir)
	}
}
