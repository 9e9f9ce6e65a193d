package store

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"slices"
	"syscall"
)

// disk is the way to the file system; tests put one that fails in its place.
type disk interface {
	MkdirAll(dir string) error
	Open(dir string) (root, error)
}

// root is one folder. No name leads out of it.
type root interface {
	Create(name string) (file, error) // fails if the name is taken
	Open(name string) (io.ReadCloser, error)
	OpenLock(name string) (lock, error)
	Lstat(name string) (fs.FileInfo, error)
	Names() ([]string, error) // sorted
	Rename(from, to string) error
	Remove(name string) error
	Sync() error
	Close() error
}

type file interface {
	io.Writer
	Sync() error
	Close() error
}

// lock is a file with a kernel lock, which goes with Close or with the process.
type lock interface {
	TryLock() (bool, error)
	SetHolder(string) error
	Holder() string // "" if unknown
	Close() error
}

type osDisk struct{}

const (
	filePerm   = 0o666 // less the user's mask
	folderPerm = 0o777
)

// MkdirAll makes the folder and those above it.
func (osDisk) MkdirAll(dir string) error { return os.MkdirAll(dir, folderPerm) }

// Open opens the folder.
func (osDisk) Open(dir string) (root, error) {
	r, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return osRoot{r}, nil
}

type osRoot struct{ *os.Root }

// Create makes a new file.
func (r osRoot) Create(name string) (file, error) {
	f, err := r.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, filePerm)
	if err != nil {
		return nil, err
	}
	return osFile{f}, nil
}

// Open opens a file for reading.
func (r osRoot) Open(name string) (io.ReadCloser, error) { return r.Root.Open(name) }

// OpenLock opens or makes the lock file.
func (r osRoot) OpenLock(name string) (lock, error) {
	f, err := r.OpenFile(name, os.O_RDWR|os.O_CREATE, filePerm)
	if err != nil {
		return nil, err
	}
	// A link would make us write into the file it points to; then the two are not the same.
	entry, err := r.Lstat(name)
	if err == nil {
		var opened fs.FileInfo
		if opened, err = f.Stat(); err == nil && !os.SameFile(entry, opened) {
			err = errors.New("not a plain file")
		}
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return osLock{f}, nil
}

// Names lists the folder.
func (r osRoot) Names() ([]string, error) {
	d, err := r.Root.Open(".")
	if err != nil {
		return nil, err
	}
	defer d.Close()
	out, err := d.Readdirnames(-1)
	slices.Sort(out)
	return out, err
}

// Sync brings the folder's names to the disk, where the system can.
func (r osRoot) Sync() error {
	if runtime.GOOS == "windows" {
		return nil // has no such call for folders
	}
	d, err := r.Root.Open(".")
	if err != nil {
		return err
	}
	return errors.Join(synced(d.Sync()), d.Close())
}

type osFile struct{ *os.File }

// Sync brings the content to the disk, where the system can.
func (f osFile) Sync() error { return synced(f.File.Sync()) }

// synced forgives file systems that know no sync.
func synced(err error) error {
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		return nil
	}
	return err
}

// cause returns the reason of a file error without the operation and the path: the caller names the
// file as the user knows it, not by its scratch name.
func cause(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
