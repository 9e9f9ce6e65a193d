package main

import (
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"strings"

	"platen/toolgen/job"
	"platen/toolgen/part"
)

// maxFile is the largest job file or font read, bytes.
const maxFile = 16 << 20

// load reads a job file and returns it with the hash of what is read for it, the job and every file it
// names in the order they are opened, and the opener for those: relative to its folder, and not
// outside it.
func load(path string) (*job.Job, hash.Hash, part.Opener, error) {
	data, err := readAll(path)
	if err != nil {
		return nil, nil, nil, err
	}
	j, err := readJob(data, path)
	if err != nil {
		return nil, nil, nil, err
	}
	sum := sha256.New()
	sum.Write(data)
	dir := filepath.Dir(path)
	open := func(name string) ([]byte, error) {
		if !filepath.IsLocal(filepath.FromSlash(name)) {
			return nil, fmt.Errorf("file %q lies outside the folder of the job; allowed: a file beside the job or below it", name)
		}
		text, err := readAll(filepath.Join(dir, filepath.FromSlash(name)))
		if err == nil {
			fmt.Fprintf(sum, "%s %d ", name, len(text)) // hashes take all they are given
			sum.Write(text)
		}
		return text, err
	}
	return j, sum, open, nil
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
