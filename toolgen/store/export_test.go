package store

import (
	"errors"
	"io"
	"io/fs"
	"testing/fstest"
)

// ErrLost makes a write lose half its bytes and report them as written.
var ErrLost = errors.New("bytes lost")

// Faults is a disk that fails at a chosen call. It counts every call that could fail.
type Faults struct {
	At    int   // number of the call that fails, from 1; 0 for none
	Err   error // what it says; nil makes a write short without saying so
	Crash bool  // fail all later calls too, as if the process had died
	Calls int   // calls so far
	Log   []string

	Memory fstest.MapFS // the folder, if it is to be in memory; every path names it
}

func (d *Faults) base() disk {
	if d.Memory != nil {
		return memory(d.Memory)
	}
	return osDisk{}
}

// With returns the saver on this disk.
func (d *Faults) With(s Saver) Saver {
	s.disk = faultyDisk{d}
	return s
}

// Scratch reports whether name is one a save uses on its way.
func Scratch(name string) bool {
	_, _, ok := splitScratch(name)
	return ok
}

func (d *Faults) step(what string) error {
	d.Calls++
	d.Log = append(d.Log, what)
	if d.Calls == d.At || d.Crash && d.At > 0 && d.Calls > d.At {
		return d.Err
	}
	return nil
}

type faultyDisk struct{ d *Faults }

func (f faultyDisk) MkdirAll(dir string) error {
	if err := f.d.step("mkdir"); err != nil {
		return err
	}
	return f.d.base().MkdirAll(dir)
}

func (f faultyDisk) Open(dir string) (root, error) {
	if err := f.d.step("open folder"); err != nil {
		return nil, err
	}
	r, err := f.d.base().Open(dir)
	return faultyRoot{f.d, r}, err
}

type faultyRoot struct {
	d *Faults
	r root
}

func (f faultyRoot) Create(name string) (file, error) {
	if err := f.d.step("create " + name); err != nil {
		return nil, err
	}
	out, err := f.r.Create(name)
	return faultyFile{f.d, name, out}, err
}

func (f faultyRoot) Open(name string) (io.ReadCloser, error) {
	if err := f.d.step("open " + name); err != nil {
		return nil, err
	}
	in, err := f.r.Open(name)
	return faultyReader{f.d, name, in}, err
}

func (f faultyRoot) OpenLock(name string) (lock, error) {
	if err := f.d.step("open " + name); err != nil {
		return nil, err
	}
	l, err := f.r.OpenLock(name)
	return faultyLock{f.d, l}, err
}

func (f faultyRoot) Lstat(name string) (fs.FileInfo, error) {
	if err := f.d.step("stat " + name); err != nil {
		return nil, err
	}
	return f.r.Lstat(name)
}

func (f faultyRoot) Names() ([]string, error) {
	if err := f.d.step("list"); err != nil {
		return nil, err
	}
	return f.r.Names()
}

func (f faultyRoot) Rename(from, to string) error {
	if err := f.d.step("rename " + from + " " + to); err != nil {
		return err
	}
	return f.r.Rename(from, to)
}

func (f faultyRoot) Remove(name string) error {
	if err := f.d.step("remove " + name); err != nil {
		return err
	}
	return f.r.Remove(name)
}

// Sync only counts: a test can not cut the power, and true syncs take nine tenths of the time.
func (f faultyRoot) Sync() error { return f.d.step("sync folder") }

func (f faultyRoot) Close() error { return f.r.Close() }

type faultyFile struct {
	d    *Faults
	name string
	f    file
}

func (f faultyFile) Write(p []byte) (int, error) {
	before := f.d.Calls
	err := f.d.step("write " + f.name)
	hit := f.d.At > 0 && (before+1 == f.d.At || f.d.Crash && before+1 > f.d.At)
	if !hit {
		return f.f.Write(p)
	}
	n, writeErr := f.f.Write(p[:len(p)/2])
	if writeErr != nil {
		return n, writeErr
	}
	if err == ErrLost {
		return len(p), nil
	}
	return n, err
}

// Sync only counts, as for the folder.
func (f faultyFile) Sync() error { return f.d.step("sync " + f.name) }

// Close always frees the handle, as the system does.
func (f faultyFile) Close() error {
	err := f.d.step("close " + f.name)
	if closeErr := f.f.Close(); closeErr != nil {
		return closeErr
	}
	return err
}

type faultyReader struct {
	d    *Faults
	name string
	r    io.ReadCloser
}

func (f faultyReader) Read(p []byte) (int, error) {
	if err := f.d.step("read " + f.name); err != nil {
		return 0, err
	}
	return f.r.Read(p)
}

func (f faultyReader) Close() error { return f.r.Close() }

type faultyLock struct {
	d *Faults
	l lock
}

func (f faultyLock) TryLock() (bool, error) {
	if err := f.d.step("lock"); err != nil {
		return false, err
	}
	return f.l.TryLock()
}

func (f faultyLock) SetHolder(who string) error {
	if err := f.d.step("write holder"); err != nil {
		return err
	}
	return f.l.SetHolder(who)
}

func (f faultyLock) Holder() string { return f.l.Holder() }

// Close always frees the lock, as the system does for a dead process.
func (f faultyLock) Close() error { return f.l.Close() }
