package store

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// Scratch names are prefix + name + "-" + 26 random characters: ".tmp-tool.stl-..." for a file that
// is not in place yet, ".old-tool.stl-..." for one that has to leave its place.
const (
	tempPrefix = ".tmp-"
	oldPrefix  = ".old-"
	randomLen  = 26 // of rand.Text, 130 bits in base 32
)

func scratch(prefix, name string) string { return prefix + name + "-" + rand.Text() }

// splitScratch takes a scratch name apart; ok is false for any other file.
func splitScratch(s string) (prefix, name string, ok bool) {
	for _, prefix = range []string{tempPrefix, oldPrefix} {
		rest, found := strings.CutPrefix(s, prefix)
		cut := len(rest) - randomLen - 1
		if !found || cut < 1 || rest[cut] != '-' {
			continue
		}
		if strings.Trim(rest[cut+1:], "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567") != "" || CheckName(rest[:cut]) != nil {
			continue
		}
		return prefix, rest[:cut], true
	}
	return "", "", false
}

// commit puts the new set in place of the old. The rename of the manifest is the moment it holds:
// until then recoverFolder takes everything back, from then on it only drops the old files.
func (b *build) commit(entries []Entry, temps map[string]string, dropped []string) error {
	leaving := slices.Clone(dropped)
	for _, e := range entries {
		leaving = append(leaving, e.Name)
	}
	for _, name := range leaving {
		err := b.root.Rename(name, scratch(oldPrefix, name))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s: %w", name, cause(err))
		}
	}
	if err := b.root.Sync(); err != nil {
		return fmt.Errorf("sync: %w", cause(err))
	}
	for _, e := range entries {
		if err := b.root.Rename(temps[e.Name], e.Name); err != nil {
			return fmt.Errorf("%s: %w", e.Name, cause(err))
		}
	}
	if err := b.root.Sync(); err != nil {
		return fmt.Errorf("sync: %w", cause(err))
	}
	if err := b.root.Rename(temps[ManifestName], ManifestName); err != nil {
		return fmt.Errorf("%s: %w", ManifestName, cause(err))
	}
	if err := b.root.Sync(); err != nil {
		return fmt.Errorf("sync: the new files are in place: %w", cause(err))
	}
	return nil
}

// leftovers are the scratch files in a folder.
type leftovers struct {
	staged   string                      // the staged manifest, "" for none
	temps    []string                    // other staged files
	isStaged map[string]bool             // names with a staged file
	olds     []struct{ at, name string } // moved away, and where they belong
}

func findLeftovers(r root) (leftovers, error) {
	l := leftovers{isStaged: map[string]bool{}}
	files, err := r.Names()
	if err != nil {
		return l, cause(err)
	}
	for _, f := range files {
		prefix, name, ok := splitScratch(f)
		switch {
		case !ok:
		case prefix == oldPrefix:
			l.olds = append(l.olds, struct{ at, name string }{f, name})
		case name == ManifestName:
			l.staged = f
		default:
			l.temps = append(l.temps, f)
			l.isStaged[name] = true
		}
	}
	return l, nil
}

// recoverFolder brings the folder to a complete set and removes all scratch files. It is run with
// the lock held, so whatever it finds belongs to no living build; it may itself be cut off at any
// point and run again.
//
// A staged manifest is written after all other files are staged and leaves its name last. So
//   - without one, either the commit is complete or it never began: scratch files may go;
//   - with one, a file it lists is in place exactly if its staged file is gone. Such files go back to
//     a staged name first, then the old files return, then the staged manifest goes, then the rest.
func recoverFolder(r root) error {
	l, err := findLeftovers(r)
	if err != nil {
		return err
	}
	if l.staged != "" {
		if err := l.takeBack(r); err != nil {
			return err
		}
		if err := remove(r, l.staged); err != nil {
			return err
		}
		if l, err = findLeftovers(r); err != nil {
			return err
		}
	}
	for _, old := range l.olds {
		err = errors.Join(err, remove(r, old.at))
	}
	for _, t := range l.temps {
		err = errors.Join(err, remove(r, t))
	}
	return err
}

// takeBack undoes a commit that did not come to its end.
func (l leftovers) takeBack(r root) error {
	listed, err := readManifest(r, l.staged)
	if err != nil && !errors.Is(err, errNoManifest) {
		return cause(err)
	}
	// A manifest that can not be read was cut off while it was staged: nothing was in place yet.
	for _, e := range listed {
		if l.isStaged[e.Name] {
			continue
		}
		is, err := look(r, e.Name)
		if errors.Is(err, fs.ErrNotExist) || err == nil && is != e {
			continue
		}
		if err != nil {
			return fmt.Errorf("%s: %w", e.Name, cause(err))
		}
		if err := r.Rename(e.Name, scratch(tempPrefix, e.Name)); err != nil {
			return fmt.Errorf("%s: %w", e.Name, cause(err))
		}
	}
	for _, old := range l.olds {
		if err := r.Rename(old.at, old.name); err != nil {
			return fmt.Errorf("%s: %w", old.name, cause(err))
		}
	}
	return nil
}

func remove(r root, name string) error {
	if err := r.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: %w", name, cause(err))
	}
	return nil
}
