package toolgen_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// table reads the package table of the contributors' page: allowed imports by package.
func table(t *testing.T) map[string][]string {
	text, err := os.ReadFile("../DEVELOPERS.md")
	require.NoError(t, err)
	rows := map[string][]string{}
	for _, line := range strings.Split(string(text), "\n") {
		cells := strings.Split(line, "|")
		if len(cells) != 5 || !strings.HasPrefix(strings.TrimSpace(cells[1]), "`") {
			continue
		}
		rows[strings.Trim(cells[1], " `")] = strings.Fields(cells[3])
	}
	return rows
}

// TestLayers holds the imports of every package against the table: no import that is not allowed, no
// package without a row, no row without a package.
func TestLayers(t *testing.T) {
	rows := table(t)
	require.Greater(t, len(rows), 20)
	seen := map[string]bool{}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		pkg := filepath.ToSlash(filepath.Dir(strings.TrimPrefix(path, "../")))
		if strings.HasSuffix(pkg, "test") {
			return nil
		}
		seen[pkg] = true
		allowed, ok := rows[pkg]
		require.True(t, ok, "package %s has no row in DEVELOPERS.md", pkg)
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, imp := range f.Imports {
			name, _ := strconv.Unquote(imp.Path.Value)
			if own, ok := strings.CutPrefix(name, "platen/"); ok {
				own = strings.TrimPrefix(own, "toolgen/")
				require.True(t, slices.Contains(allowed, own), "%s imports %s, which its row does not allow", path, own)
			}
		}
		return nil
	})
	require.NoError(t, err)
	for pkg := range rows {
		require.True(t, seen[pkg], "DEVELOPERS.md has a row for %s, which has no code", pkg)
	}
}
