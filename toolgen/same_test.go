package toolgen_test

import (
	"bytes"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
)

// TestSameBytes builds two examples on one core and on two: every file is the same to the byte.
func TestSameBytes(t *testing.T) {
	tray, err := examples.Starter("stacking_tray")
	require.NoError(t, err)
	crossing, err := examples.Kind("finger_recess")
	require.NoError(t, err)
	for name, text := range map[string][]byte{"stacking_tray": tray, "finger_recess": crossing} {
		t.Run(name, func(t *testing.T) {
			one, two := onCores(t, string(text), 1), onCores(t, string(text), 2)
			require.Equal(t, 7, len(one))
			for file := range one {
				require.NotEmpty(t, one[file], file)
				require.True(t, bytes.Equal(one[file], two[file]), "%s differs", file)
			}
		})
	}
}

// onCores returns the files of a job built on a number of cores, and its manifest.
func onCores(t *testing.T, text string, cores int) map[string][]byte {
	t.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	r := build(t, text, 0.05)
	files := map[string][]byte{}
	for _, a := range r.Artefacts() {
		var b bytes.Buffer
		require.NoError(t, a.Write(&b))
		files[a.Name] = b.Bytes()
	}
	m, err := r.Manifest("", nil)
	require.NoError(t, err)
	files["manifest.json"] = m
	return files
}
