package store_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen/store"
)

func TestSaveIntoNewFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out", "tray")
	es, err := store.Save(t.Context(), dir, files("tool.stl", "mesh", "drill.csv", ""), manifest)
	require.NoError(t, err)
	require.Equal(t, []store.Entry{entry("tool.stl", "mesh"), entry("drill.csv", "")}, es)
	require.Equal(t, built(t, "tool.stl", "mesh", "drill.csv", ""), holds(t, dir))
	require.NoError(t, store.Verify(dir))
}

func TestSaveLargeFile(t *testing.T) {
	dir := t.TempDir()
	big := bytes.Repeat([]byte("0123456789abcdef"), 1<<17)
	es, err := store.Save(t.Context(), dir, []store.File{{Name: "big", Write: func(w io.Writer) error {
		for part := big; len(part) > 0; {
			n := min(len(part), 1000)
			if _, err := w.Write(part[:n]); err != nil {
				return err
			}
			part = part[n:]
		}
		return nil
	}}}, manifest)
	require.NoError(t, err)
	require.Equal(t, entry("big", string(big)), es[0])
	require.NoError(t, store.Verify(dir))
}

func TestManifestOwnsItsFolder(t *testing.T) {
	for _, c := range []struct {
		name    string
		prepare func(t *testing.T, dir string)
		force   bool
		want    set    // beyond the new build; nil if refused
		refused string // part of the error
	}{
		{name: "old files go", prepare: func(t *testing.T, dir string) {
			save(t, dir, "tool.stl", "old", "left.dxf", "trim")
		}, want: set{}},
		{name: "old file gone already", prepare: func(t *testing.T, dir string) {
			save(t, dir, "tool.stl", "old", "left.dxf", "trim")
			require.NoError(t, os.Remove(filepath.Join(dir, "left.dxf")))
		}, want: set{}},
		{name: "changed old files stop the build", prepare: func(t *testing.T, dir string) {
			save(t, dir, "tool.stl", "old", "b.dxf", "trim", "a.dxf", "punch", "c.dxf", "same")
			put(t, dir, "a.dxf", "mine")
			put(t, dir, "b.dxf", "mine")
		}, refused: "a.dxf, b.dxf: made by an earlier build, changed since"},
		{name: "force removes changed old files", prepare: func(t *testing.T, dir string) {
			save(t, dir, "tool.stl", "old", "left.dxf", "trim")
			put(t, dir, "left.dxf", "mine")
		}, force: true, want: set{}},
		{name: "old file now a link stops the build", prepare: func(t *testing.T, dir string) {
			save(t, dir, "left.dxf", "trim")
			put(t, dir, "target", "trim")
			require.NoError(t, os.Remove(filepath.Join(dir, "left.dxf")))
			require.NoError(t, os.Symlink("target", filepath.Join(dir, "left.dxf")))
		}, refused: "left.dxf: made by an earlier build, changed since"},
		{name: "a made file was changed by hand", prepare: func(t *testing.T, dir string) {
			save(t, dir, "tool.stl", "old")
			put(t, dir, "tool.stl", "edited")
		}, refused: "tool.stl: changed since an earlier build made them"},
		{name: "forced over a change by hand", prepare: func(t *testing.T, dir string) {
			save(t, dir, "tool.stl", "old")
			put(t, dir, "tool.stl", "edited")
		}, force: true, want: set{}},
		{name: "files nobody lists stay", prepare: func(t *testing.T, dir string) {
			put(t, dir, "tray.yaml", "job")
			put(t, dir, ".tmp-notes", "mine")
			put(t, dir, ".old-tool.stl", "mine")
		}, want: set{"tray.yaml": "job", ".tmp-notes": "mine", ".old-tool.stl": "mine"}},
		{name: "file in the way", prepare: func(t *testing.T, dir string) {
			put(t, dir, "tool.stl", "foreign")
			put(t, dir, "drill.csv", "foreign")
		}, refused: "tool.stl, drill.csv: no earlier build in this folder made them"},
		{name: "force replaces it", prepare: func(t *testing.T, dir string) {
			put(t, dir, "tool.stl", "foreign")
		}, force: true, want: set{}},
		{name: "the very file in the way", prepare: func(t *testing.T, dir string) {
			put(t, dir, "tool.stl", "mesh")
		}, want: set{}},
		{name: "foreign manifest", prepare: func(t *testing.T, dir string) {
			put(t, dir, "manifest.json", `{"name": "web application"}`)
		}, refused: "manifest.json is there, but it lists no files"},
		{name: "force replaces a foreign manifest", prepare: func(t *testing.T, dir string) {
			put(t, dir, "manifest.json", "no json")
		}, force: true, want: set{}},
		{name: "manifest that points out of the folder", prepare: func(t *testing.T, dir string) {
			put(t, dir, "manifest.json", `{"files":[{"name":"../x","size":0,"sha256":"`+strings.Repeat("0", 64)+`"}]}`)
		}, refused: `file name "../x"`},
		{name: "manifest is a link", prepare: func(t *testing.T, dir string) {
			put(t, dir, "target", `{"files":[]}`)
			require.NoError(t, os.Symlink("target", filepath.Join(dir, "manifest.json")))
		}, refused: "not a plain file"},
		{name: "folder in the way", prepare: func(t *testing.T, dir string) {
			require.NoError(t, os.Mkdir(filepath.Join(dir, "tool.stl"), 0o755))
		}, force: true, refused: "tool.stl: a folder has this name"},
		{name: "folder in place of the manifest", prepare: func(t *testing.T, dir string) {
			require.NoError(t, os.Mkdir(filepath.Join(dir, "manifest.json"), 0o755))
		}, force: true, refused: "manifest.json: a folder has this name"},
		{name: "link in the way", prepare: func(t *testing.T, dir string) {
			put(t, dir, "target", "mesh")
			require.NoError(t, os.Symlink("target", filepath.Join(dir, "tool.stl")))
		}, refused: "tool.stl: no earlier build"},
		{name: "forced link is replaced, not its target", prepare: func(t *testing.T, dir string) {
			put(t, dir, "target", "untouched")
			require.NoError(t, os.Symlink("target", filepath.Join(dir, "tool.stl")))
		}, force: true, want: set{"target": "untouched"}},
		{name: "scratch of a dead build goes", prepare: func(t *testing.T, dir string) {
			put(t, dir, ".tmp-tool.stl-ABCDEFGHIJKLMNOPQRSTUVWXYZ", "half")
		}, want: set{}},
		{name: "lock is a link", prepare: func(t *testing.T, dir string) {
			put(t, dir, "target", "untouched")
			require.NoError(t, os.Symlink("target", filepath.Join(dir, ".lock")))
		}, refused: ".lock: not a plain file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			c.prepare(t, dir)
			before := holds(t, dir)
			pairs := []string{"tool.stl", "mesh", "drill.csv", "rows"}
			_, err := store.Saver{Force: c.force}.Save(t.Context(), dir, files(pairs...), manifest)
			if c.refused != "" {
				require.ErrorContains(t, err, c.refused)
				require.Equal(t, before, holds(t, dir))
				return
			}
			require.NoError(t, err)
			want := built(t, pairs...)
			for name, content := range c.want {
				want = want.and(name, content)
			}
			require.Equal(t, want, holds(t, dir))
			require.NoError(t, store.Verify(dir))
		})
	}
}

func TestInTheWayIsASentinel(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "tool.stl", "foreign")
	_, err := store.Save(t.Context(), dir, files("tool.stl", "mesh"), manifest)
	require.ErrorIs(t, err, store.ErrInTheWay)
}

func TestSaveRefusesNames(t *testing.T) {
	for _, name := range []string{
		"", ".", "..", "../x", "a/b", `a\b`, "/etc/x", `C:\x`, "c:x", ".hidden", ".lock", "-rf", "_x", "a b", "a\x00b", "a\nb",
		"trail.", "größe", "con", "CON", "nul.txt", "Aux.tar.gz", "com1", "LPT9.csv", "com0", "manifest.json", "Manifest.JSON",
		strings.Repeat("x", 101), strings.Repeat("x", 300), "a*b", "a?b", "a:b", "a|b", "<a>", "\xff", "a,b", "~x", "$x",
	} {
		t.Run(strconv.Quote(name), func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			_, err := store.Save(t.Context(), dir, files("tool.stl", "mesh", name, "x"), manifest)
			require.ErrorContains(t, err, "file name")
			require.NoDirExists(t, dir, "made before the refusal")
		})
	}
	for _, name := range []string{"tool.stl", "a", "A-1_b.tar.gz", "7", "com10", "console.csv", "null", "lpt.csv", strings.Repeat("x", 100)} {
		require.NoError(t, store.CheckName(name), name)
	}
	_, err := store.Save(t.Context(), t.TempDir(), files("tool.stl", "a", "Tool.STL", "b"), manifest)
	require.ErrorContains(t, err, `"Tool.STL" is used twice`)
}

func TestSaveFolderIsAFile(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "out", "a file")
	for _, path := range []string{"out", filepath.Join("out", "below")} {
		_, err := store.Save(t.Context(), filepath.Join(dir, path), files("tool.stl", "mesh"), manifest)
		require.ErrorContains(t, err, "not a directory")
	}
	require.Equal(t, set{"out": "a file"}, holds(t, dir))
	require.ErrorContains(t, store.Verify(filepath.Join(dir, "out")), "is not a folder")
}

func TestSaveReportsTheWriter(t *testing.T) {
	dir := t.TempDir()
	save(t, dir, "tool.stl", "old")
	before := holds(t, dir)
	errMesh := errors.New("mesh is open")
	fs := append(files("tool.stl", "new"), store.File{Name: "tool.3mf", Write: func(w io.Writer) error {
		_, err := io.WriteString(w, "half")
		require.NoError(t, err)
		return errMesh
	}})
	_, err := store.Save(t.Context(), dir, fs, manifest)
	require.ErrorIs(t, err, errMesh)
	require.ErrorContains(t, err, "tool.3mf: mesh is open")
	require.Equal(t, before, holds(t, dir))

	fs[1].Write = func(io.Writer) error { panic("broken promise") }
	require.PanicsWithValue(t, "broken promise", func() { _, _ = store.Save(t.Context(), dir, fs, manifest) })
	require.Equal(t, before, holds(t, dir))
	save(t, dir, "tool.stl", "free again")
}

func TestSaveChecksTheManifest(t *testing.T) {
	dir := t.TempDir()
	for name, f := range map[string]func([]store.Entry) ([]byte, error){
		"text":   func([]store.Entry) ([]byte, error) { return []byte("files"), nil },
		"no key": func([]store.Entry) ([]byte, error) { return []byte("{}"), nil },
		"short":  func(es []store.Entry) ([]byte, error) { return manifest(es[1:]) },
		"other": func(es []store.Entry) ([]byte, error) {
			es[0].Size++
			return manifest(es)
		},
	} {
		_, err := store.Save(t.Context(), dir, files("a", "1", "b", "2"), f)
		require.ErrorContains(t, err, "does not list the files written", name)
		require.Empty(t, holds(t, dir), name)
	}
	errNo := errors.New("no version")
	_, err := store.Save(t.Context(), dir, files("a", "1"), func([]store.Entry) ([]byte, error) { return nil, errNo })
	require.ErrorIs(t, err, errNo)
	require.Empty(t, holds(t, dir))
}

func TestSaveStopsWhenCancelled(t *testing.T) {
	dir := t.TempDir()
	save(t, dir, "tool.stl", "old")
	before := holds(t, dir)
	ctx, cancel := context.WithCancel(t.Context())
	endless := store.File{Name: "tool.stl", Write: func(w io.Writer) error {
		block := make([]byte, 1<<16)
		for i := 0; ; i++ {
			if i == 20 {
				cancel()
			}
			if _, err := w.Write(block); err != nil {
				return err
			}
		}
	}}
	_, err := store.Save(ctx, dir, []store.File{endless}, manifest)
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, before, holds(t, dir))

	_, err = store.Save(ctx, dir, files("tool.stl", "new"), manifest)
	require.ErrorIs(t, err, context.Canceled, "cancelled before it began")
	require.Equal(t, before, holds(t, dir))
}

func TestSecondSaveWaitsThenRefuses(t *testing.T) {
	dir := t.TempDir()
	entered, leave := make(chan struct{}), make(chan struct{})
	var first sync.WaitGroup
	first.Go(func() {
		_, err := store.Save(context.Background(), dir, []store.File{{Name: "tool.stl", Write: func(w io.Writer) error {
			close(entered)
			<-leave
			_, err := io.WriteString(w, "first")
			return err
		}}}, manifest)
		if err != nil {
			t.Errorf("first save: %v", err)
		}
	})
	<-entered
	_, err := store.Saver{Wait: 50 * time.Millisecond}.Save(t.Context(), dir, files("tool.stl", "second"), manifest)
	require.ErrorIs(t, err, store.ErrBusy)
	require.ErrorContains(t, err, "folder is in use by process "+strconv.Itoa(os.Getpid()))

	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Millisecond)
	defer cancel()
	_, err = store.Save(ctx, dir, files("tool.stl", "second"), manifest)
	require.ErrorIs(t, err, context.DeadlineExceeded)

	close(leave)
	_, err = store.Save(t.Context(), dir, files("tool.stl", "second"), manifest)
	require.NoError(t, err)
	first.Wait()
	require.Equal(t, built(t, "tool.stl", "second"), holds(t, dir))
}

func TestSavesAtOnceNeverMix(t *testing.T) {
	dir := t.TempDir()
	for round := range 10 {
		var wg sync.WaitGroup
		var sets []set
		for k := range 3 {
			pairs := []string{"tool.stl", strings.Repeat(strconv.Itoa(round*3+k), 5000), "drill.csv", strconv.Itoa(k), "extra" + strconv.Itoa(k), "x"}
			sets = append(sets, built(t, pairs...))
			wg.Go(func() {
				if _, err := store.Save(context.Background(), dir, files(pairs...), manifest); err != nil {
					t.Errorf("round %d save %d: %v", round, k, err)
				}
			})
		}
		wg.Wait()
		require.Contains(t, sets, holds(t, dir))
		require.NoError(t, store.Verify(dir))
	}
}

func TestVerify(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(t *testing.T, dir string)
		want   []string
	}{
		{"missing", func(t *testing.T, dir string) { require.NoError(t, os.Remove(filepath.Join(dir, "a"))) }, []string{"a is missing"}},
		{"longer", func(t *testing.T, dir string) { put(t, dir, "b", "22") }, []string{"b differs from its manifest: 2 bytes"}},
		{"other byte", func(t *testing.T, dir string) { put(t, dir, "b", "3") }, []string{"b differs from its manifest: 1 bytes"}},
		{"both", func(t *testing.T, dir string) {
			put(t, dir, "a", "x")
			put(t, dir, "b", "x")
		}, []string{"a differs", "b differs"}},
		{"link", func(t *testing.T, dir string) {
			require.NoError(t, os.Rename(filepath.Join(dir, "a"), filepath.Join(dir, "c")))
			require.NoError(t, os.Symlink("c", filepath.Join(dir, "a")))
		}, []string{"a is not a plain file"}},
		{"folder", func(t *testing.T, dir string) {
			require.NoError(t, os.Remove(filepath.Join(dir, "a")))
			require.NoError(t, os.Mkdir(filepath.Join(dir, "a"), 0o755))
		}, []string{"a: a folder has this name"}},
		{"no manifest", func(t *testing.T, dir string) { require.NoError(t, os.Remove(filepath.Join(dir, "manifest.json"))) }, []string{"manifest.json in folder"}},
		{"bad manifest", func(t *testing.T, dir string) {
			put(t, dir, "manifest.json", `{"files":[{"name":"a","size":1,"sha256":"00"}]}`)
		}, []string{"not a manifest of a build"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			save(t, dir, "a", "1", "b", "2")
			require.NoError(t, store.Verify(dir))
			c.change(t, dir)
			err := store.Verify(dir)
			for _, w := range c.want {
				require.ErrorContains(t, err, w)
			}
		})
	}
	require.ErrorContains(t, store.Verify(filepath.Join(t.TempDir(), "none")), "open folder")
}
