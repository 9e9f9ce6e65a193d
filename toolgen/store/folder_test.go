package store_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/store"
)

// set is what a folder holds: content by name.
type set map[string]string

// files turns name, content pairs into artefacts.
func files(pairs ...string) []store.File {
	var out []store.File
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, store.File{Name: pairs[i], Write: func(w io.Writer) error {
			_, err := io.WriteString(w, pairs[i+1])
			return err
		}})
	}
	return out
}

func manifest(es []store.Entry) ([]byte, error) {
	return json.MarshalIndent(map[string]any{"format": 1, "files": es}, "", "\t")
}

// built is the set a build of these pairs leaves, with its manifest.
func built(t *testing.T, pairs ...string) set {
	t.Helper()
	out := set{}
	es := []store.Entry{}
	for i := 0; i < len(pairs); i += 2 {
		out[pairs[i]] = pairs[i+1]
		es = append(es, entry(pairs[i], pairs[i+1]))
	}
	text, err := manifest(es)
	require.NoError(t, err)
	out[store.ManifestName] = string(text)
	return out
}

func entry(name, content string) store.Entry {
	sum := sha256.Sum256([]byte(content))
	return store.Entry{Name: name, Size: int64(len(content)), SHA256: hex.EncodeToString(sum[:])}
}

// holds returns what the folder holds, without the lock; scratch files count.
func holds(t *testing.T, dir string) set {
	t.Helper()
	es, err := os.ReadDir(dir)
	require.NoError(t, err)
	out := set{}
	for _, e := range es {
		switch {
		case e.Name() == ".lock":
		case !e.Type().IsRegular():
			out[e.Name()] = e.Type().String()
		default:
			b, err := os.ReadFile(filepath.Join(dir, e.Name()))
			require.NoError(t, err)
			out[e.Name()] = string(b)
		}
	}
	return out
}

func put(t *testing.T, dir, name, content string) {
	t.Helper()
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644))
}

func save(t *testing.T, dir string, pairs ...string) {
	t.Helper()
	_, err := store.Save(t.Context(), dir, files(pairs...), manifest)
	require.NoError(t, err)
}

// and returns s with one more file.
func (s set) and(name, content string) set {
	out := set{name: content}
	for k, v := range s {
		out[k] = v
	}
	return out
}
