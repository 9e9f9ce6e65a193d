// Package examples holds the jobs a newcomer runs: starters, each a whole job, and one small job
// of every feature kind in kinds. All are set in an invented field station.
package examples

import (
	"embed"
	"io/fs"
	"strings"
)

//go:embed *.yaml kinds/*.yaml kinds/*.svg
var files embed.FS

// Starters returns the names of the starter jobs, sorted.
func Starters() []string { return list(".") }

// Kinds returns the names of the kinds that have a small job of their own, sorted.
func Kinds() []string { return list("kinds") }

// Starter returns the text of a starter job.
func Starter(name string) ([]byte, error) { return files.ReadFile(name + ".yaml") }

// Kind returns the text of the small job of a feature kind.
func Kind(name string) ([]byte, error) { return files.ReadFile("kinds/" + name + ".yaml") }

// Open opens a file that a small job of a kind names, such as a drawing.
func Open(name string) ([]byte, error) { return files.ReadFile("kinds/" + name) }

func list(dir string) []string {
	entries, err := fs.ReadDir(files, dir)
	if err != nil {
		panic("examples: " + err.Error()) // the files are part of the program
	}
	var names []string
	for _, e := range entries {
		if n, ok := strings.CutSuffix(e.Name(), ".yaml"); ok {
			names = append(names, n)
		}
	}
	return names
}
