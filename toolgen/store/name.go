package store

import (
	"fmt"
	"strings"
)

// nameLimit is the longest file name, bytes: short enough for every file system with our prefixes.
const nameLimit = 100

// CheckName refuses a file name that could leave the folder or that some system can not hold.
// Allowed are 1 to 100 of the characters A-Z a-z 0-9 . _ -, the first a letter or digit, the last
// not a dot. Names of devices (con, nul, com1 ...) are refused on every system, with any ending, so
// a job that builds here builds everywhere.
func CheckName(name string) error {
	if name == "" || len(name) > nameLimit {
		return fmt.Errorf("file name %.120q of %d bytes, 1 to %d are allowed", name, len(name), nameLimit)
	}
	for i := range len(name) {
		c := name[i]
		alnum := 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
		if !alnum && (i == 0 || c != '.' && c != '_' && c != '-') {
			return fmt.Errorf("file name %q: character %q at place %d, allowed are A-Z a-z 0-9 and, not first, . _ -",
				name, rune(c), i+1)
		}
	}
	if strings.HasSuffix(name, ".") {
		return fmt.Errorf("file name %q ends with a dot", name)
	}
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	if isDevice(stem) {
		return fmt.Errorf("file name %q is the name of a device", name)
	}
	return nil
}

func isDevice(stem string) bool {
	switch stem {
	case "con", "prn", "aux", "nul":
		return true
	}
	rest, com := strings.CutPrefix(stem, "com")
	if !com {
		var lpt bool
		if rest, lpt = strings.CutPrefix(stem, "lpt"); !lpt {
			return false
		}
	}
	return len(rest) == 1 && '0' <= rest[0] && rest[0] <= '9'
}

// names collects names that must be legal, distinct and none of ours. Case does not make a
// difference: some file systems see none.
type names map[string]bool

func newNames() names { return names{ManifestName: true} }

func (n names) add(name string) error {
	if err := CheckName(name); err != nil {
		return err
	}
	fold := strings.ToLower(name)
	if fold == ManifestName {
		return fmt.Errorf("file name %q is kept for the manifest", name)
	}
	if n[fold] {
		return fmt.Errorf("file name %q is used twice", name)
	}
	n[fold] = true
	return nil
}

func checkNames(files []File) error {
	seen := newNames()
	for _, f := range files {
		if err := seen.add(f.Name); err != nil {
			return err
		}
	}
	return nil
}
