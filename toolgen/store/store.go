// Package store owns the folder a build writes to. Files appear there whole or not at all: after any
// failure, cancel or crash the folder holds the complete old set or the complete new one, at the
// latest once the next Save has put right what a crash left half done.
//
// A manifest owns the folder: it lists every file of the build with its SHA-256. What an earlier
// build listed and this one does not make is removed; what nobody listed is not ours to touch.
package store

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"
)

// ManifestName is the file that lists the others. It is written last.
const ManifestName = "manifest.json"

// File is one artefact of a build. Write is called once and may be cut off by an error of its
// writer, which it must return.
type File struct {
	Name  string
	Write func(io.Writer) error
}

// Entry is what the manifest says of one file.
type Entry struct {
	Name   string `json:"name"`
	Size   int64  `json:"size"`   // bytes
	SHA256 string `json:"sha256"` // of the content, lower-case hexadecimal
}

// ErrInTheWay is in the chain of errors that only Saver.Force overcomes: files that are not ours, or
// that were changed since the build that made them.
var ErrInTheWay = errors.New("files are in the way")

// ErrBusy is in the chain when another build holds the folder for longer than the wait.
var ErrBusy = errors.New("folder is in use")

// Saver holds the choices of a save; its zero value is what Save uses.
type Saver struct {
	// Force replaces files no manifest lists, and removes files of an earlier build even if they
	// were changed.
	Force bool
	// Removed is told of every file of the earlier build that this one does not make and took away;
	// nil tells nobody.
	Removed func(name string)
	// Wait is how long to wait for another build to leave the folder; 0 means 10 s.
	Wait time.Duration

	disk disk // nil for the real one
}

// defaultWait is how long a second build waits for the first.
const defaultWait = 10 * time.Second

// Save writes the files of a build and their manifest into dir, which is made if need be, and
// returns the entries in the order of the files. It is Saver{}.Save.
func Save(ctx context.Context, dir string, files []File, manifest func([]Entry) ([]byte, error)) ([]Entry, error) {
	return Saver{}.Save(ctx, dir, files, manifest)
}

// Save writes all files to temporary names, hashes and syncs them, and only then puts them in place,
// the manifest last. manifest gets the entries and returns the text of manifest.json: a JSON object
// whose key "files" holds exactly these entries, among whatever else it wants to say.
//
// It refuses names outside CheckName or used twice, a file that exists but that no manifest lists
// (unless it has the very content to be written), and files of an earlier build that were changed
// since (ErrInTheWay); and a folder another build holds (ErrBusy).
// On any error, or when ctx is done, what it has written is taken away again and the old files stay.
// Only where the very last sync of the folder fails is an error returned with the new set in place.
func (s Saver) Save(ctx context.Context, dir string, files []File, manifest func([]Entry) ([]byte, error)) (_ []Entry, err error) {
	if err := checkNames(files); err != nil {
		return nil, fmt.Errorf("save: %w", err)
	}
	d := s.disk
	if d == nil {
		d = osDisk{}
	}
	if err := d.MkdirAll(dir); err != nil {
		return nil, fmt.Errorf("save: make folder %q: %w", dir, cause(err))
	}
	root, err := d.Open(dir)
	if err != nil {
		return nil, fmt.Errorf("save: open folder %q: %w", dir, cause(err))
	}
	defer root.Close()
	lock, err := acquire(ctx, root, cmp.Or(s.Wait, defaultWait))
	if err != nil {
		return nil, fmt.Errorf("save: folder %q: %w", dir, err)
	}
	defer lock.Close()
	if err := recoverFolder(root); err != nil {
		return nil, fmt.Errorf("save: folder %q: clear up after an earlier build: %w", dir, err)
	}
	b := &build{root: root, force: s.Force}
	defer func() {
		clearErr := recoverFolder(root)
		if clearErr != nil {
			clearErr = recoverFolder(root) // it can be cut off anywhere, so a passing fault costs nothing
		}
		// After a success a leftover does no harm: the next build clears it.
		if clearErr != nil && err != nil {
			err = errors.Join(err, fmt.Errorf("save: folder %q: clear up: %w", dir, clearErr))
		}
	}()
	entries, err := b.run(ctx, files, manifest)
	if err != nil {
		return nil, fmt.Errorf("save: folder %q: %w", dir, err)
	}
	if s.Removed != nil {
		for _, name := range b.gone {
			s.Removed(name)
		}
	}
	return entries, nil
}

// build is one save on its way.
type build struct {
	root  root
	force bool
	old   map[string]Entry // listed by the manifest found in the folder
	gone  []string         // of those, what this build takes away
}

func (b *build) run(ctx context.Context, files []File, manifest func([]Entry) ([]byte, error)) ([]Entry, error) {
	if err := b.readOld(); err != nil {
		return nil, err
	}
	dropped, err := b.dropped(files)
	if err != nil {
		return nil, err
	}
	b.gone = dropped
	entries := make([]Entry, 0, len(files))
	temps := make(map[string]string, len(files)+1)
	for _, f := range files {
		e, temp, err := stage(ctx, b.root, f)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		temps[f.Name] = temp
		entries = append(entries, e)
	}
	text, err := manifest(slices.Clone(entries))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", ManifestName, err)
	}
	if listed, err := parseManifest(text); err != nil || !slices.Equal(listed, entries) {
		return nil, fmt.Errorf("%s: the text made for it does not list the files written", ManifestName)
	}
	if err := b.checkTargets(entries); err != nil {
		return nil, err
	}
	// A staged manifest says that every file was staged: after a power cut too, hence the sync.
	if err := b.root.Sync(); err != nil {
		return nil, fmt.Errorf("sync: %w", cause(err))
	}
	_, temp, err := stage(ctx, b.root, File{ManifestName, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	}})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", ManifestName, err)
	}
	temps[ManifestName] = temp
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return entries, b.commit(entries, temps, dropped)
}

// readOld reads the manifest of the build before.
func (b *build) readOld() error {
	listed, err := readManifest(b.root, ManifestName)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case errors.Is(err, errFolder):
		return fmt.Errorf("%s: %w", ManifestName, err)
	case errors.Is(err, errNoManifest):
		if !b.force {
			return fmt.Errorf("%w: %s is there, but it lists no files of a build (%w)", ErrInTheWay, ManifestName, err)
		}
		return nil
	case err != nil:
		return fmt.Errorf("%s: %w", ManifestName, cause(err))
	}
	b.old = make(map[string]Entry, len(listed))
	for _, e := range listed {
		b.old[e.Name] = e
	}
	return nil
}

// dropped returns the names of earlier files this build does not make, in order, or refuses those
// that were changed.
func (b *build) dropped(files []File) ([]string, error) {
	made := map[string]bool{}
	for _, f := range files {
		made[f.Name] = true
	}
	var names, changed []string
	for name, e := range b.old {
		if made[name] {
			continue
		}
		is, err := look(b.root, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, cause(err))
		}
		if is != e {
			changed = append(changed, name)
		}
		names = append(names, name)
	}
	slices.Sort(names)
	slices.Sort(changed)
	if len(changed) > 0 && !b.force {
		return nil, fmt.Errorf("%w: %s: made by an earlier build, changed since, and not part of this one",
			ErrInTheWay, strings.Join(changed, ", "))
	}
	return names, nil
}

// checkTargets refuses names that are taken by files that are not ours.
func (b *build) checkTargets(entries []Entry) error {
	var foreign, edited []string
	for _, e := range entries {
		is, err := look(b.root, e.Name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if errors.Is(err, errFolder) {
			return fmt.Errorf("%s: %w", e.Name, err)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", e.Name, cause(err))
		}
		switch old, ours := b.old[e.Name]; {
		case is == e:
		case !ours:
			foreign = append(foreign, e.Name)
		case is != old:
			edited = append(edited, e.Name)
		}
	}
	if len(edited) > 0 && !b.force {
		return fmt.Errorf("%w: %s: changed since an earlier build made them", ErrInTheWay, strings.Join(edited, ", "))
	}
	if len(foreign) > 0 && !b.force {
		return fmt.Errorf("%w: %s: no earlier build in this folder made them", ErrInTheWay, strings.Join(foreign, ", "))
	}
	return nil
}
