package store

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
)

// manifestLimit is the most a manifest may take, bytes.
const manifestLimit = 16 << 20

// errNoManifest says that a file is no manifest of a build.
var errNoManifest = errors.New("not a manifest of a build")

// readManifest returns the files a manifest in the folder lists.
func readManifest(r root, name string) ([]Entry, error) {
	info, err := r.Lstat(name)
	if err != nil {
		return nil, err
	}
	if info.IsDir() {
		return nil, errFolder
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%w: not a plain file", errNoManifest)
	}
	if info.Size() > manifestLimit {
		return nil, fmt.Errorf("%w: %d bytes, at most %d are read", errNoManifest, info.Size(), manifestLimit)
	}
	in, err := r.Open(name)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	text, err := io.ReadAll(io.LimitReader(in, manifestLimit))
	if err != nil {
		return nil, err
	}
	return parseManifest(text)
}

// parseManifest returns the entries under the key "files". A list that could lead out of the folder,
// or that could not be checked, is none.
func parseManifest(text []byte) ([]Entry, error) {
	var m struct {
		Files *[]Entry `json:"files"`
	}
	if err := json.Unmarshal(text, &m); err != nil {
		return nil, fmt.Errorf("%w: %w", errNoManifest, err)
	}
	if m.Files == nil {
		return nil, fmt.Errorf("%w: no list of files", errNoManifest)
	}
	seen := newNames()
	for _, e := range *m.Files {
		if err := seen.add(e.Name); err != nil {
			return nil, fmt.Errorf("%w: %w", errNoManifest, err)
		}
		if e.Size < 0 || len(e.SHA256) != 64 || strings.Trim(e.SHA256, "0123456789abcdef") != "" {
			return nil, fmt.Errorf("%w: size or SHA-256 of %q is no such thing", errNoManifest, e.Name)
		}
	}
	return *m.Files, nil
}

// Verify checks that dir holds what its manifest lists: every file there, of the right size and
// SHA-256. The error names every file that is missing or differs. Files no manifest lists are not
// looked at; nothing is written.
func Verify(dir string) error {
	info, err := os.Stat(dir)
	if err == nil && !info.IsDir() {
		return fmt.Errorf("verify: %q is not a folder", dir)
	}
	r, err := osDisk{}.Open(dir)
	if err != nil {
		return fmt.Errorf("verify: open folder %q: %w", dir, cause(err))
	}
	defer r.Close()
	listed, err := readManifest(r, ManifestName)
	if err != nil {
		return fmt.Errorf("verify: %s in folder %q: %w", ManifestName, dir, cause(err))
	}
	var wrong []error
	for _, e := range listed {
		is, err := look(r, e.Name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			wrong = append(wrong, fmt.Errorf("verify: %s is missing", e.Name))
		case err != nil:
			wrong = append(wrong, fmt.Errorf("verify: %s: %w", e.Name, cause(err)))
		case is.Size == notPlain:
			wrong = append(wrong, fmt.Errorf("verify: %s is not a plain file", e.Name))
		case is != e:
			wrong = append(wrong, fmt.Errorf("verify: %s differs from its manifest: %d bytes, SHA-256 %s, want %d bytes, %s",
				e.Name, is.Size, is.SHA256, e.Size, e.SHA256))
		}
	}
	return errors.Join(wrong...)
}
