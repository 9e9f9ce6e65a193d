package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"platen/toolgen/job"
	"platen/toolgen/part"
)

// maxFile is the largest job file or font read, bytes.
const maxFile = 16 << 20

// load reads a job file and returns it with the opener for the files it names: relative to its
// folder, and not outside it.
func load(path string) (*job.Job, []byte, part.Opener, error) {
	data, err := readAll(path)
	if err != nil {
		return nil, nil, nil, err
	}
	j, err := readJob(data, path)
	if err != nil {
		return nil, nil, nil, err
	}
	dir := filepath.Dir(path)
	open := func(name string) ([]byte, error) {
		if !filepath.IsLocal(filepath.FromSlash(name)) {
			return nil, fmt.Errorf("file %q lies outside the folder of the job; allowed: a file beside the job or below it", name)
		}
		return readAll(filepath.Join(dir, filepath.FromSlash(name)))
	}
	return j, data, open, nil
}

func readAll(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return nil, err
	}
	if len(data) > maxFile {
		return nil, fmt.Errorf("%s: larger than %d MiB", path, maxFile>>20)
	}
	return data, nil
}

// defaultDir is the folder of a build: named like the job file, beside it.
func defaultDir(path string) string { return strings.TrimSuffix(path, filepath.Ext(path)) }
