package store

import (
	"io"
	"io/fs"
	"maps"
	"slices"
	"testing/fstest"
)

// memory is a disk of one folder without links, for tests that try thousands of folders.
type memory fstest.MapFS

func (m memory) MkdirAll(string) error     { return nil }
func (m memory) Open(string) (root, error) { return memoryRoot(m), nil }

type memoryRoot fstest.MapFS

func (m memoryRoot) Create(name string) (file, error) {
	if m[name] != nil {
		return nil, fs.ErrExist
	}
	m[name] = &fstest.MapFile{}
	return memoryFile{m[name]}, nil
}

func (m memoryRoot) Open(name string) (io.ReadCloser, error) { return fstest.MapFS(m).Open(name) }
func (m memoryRoot) OpenLock(string) (lock, error)           { return memoryLock{}, nil }
func (m memoryRoot) Lstat(name string) (fs.FileInfo, error)  { return fstest.MapFS(m).Lstat(name) }
func (m memoryRoot) Names() ([]string, error)                { return slices.Sorted(maps.Keys(m)), nil }
func (m memoryRoot) Sync() error                             { return nil }
func (m memoryRoot) Close() error                            { return nil }

func (m memoryRoot) Rename(from, to string) error {
	f := m[from]
	if f == nil {
		return fs.ErrNotExist
	}
	delete(m, from)
	m[to] = f
	return nil
}

func (m memoryRoot) Remove(name string) error {
	if m[name] == nil {
		return fs.ErrNotExist
	}
	delete(m, name)
	return nil
}

type memoryFile struct{ *fstest.MapFile }

func (f memoryFile) Write(p []byte) (int, error) {
	f.Data = append(f.Data, p...)
	return len(p), nil
}
func (f memoryFile) Sync() error  { return nil }
func (f memoryFile) Close() error { return nil }

type memoryLock struct{}

func (memoryLock) TryLock() (bool, error) { return true, nil }
func (memoryLock) SetHolder(string) error { return nil }
func (memoryLock) Holder() string         { return "" }
func (memoryLock) Close() error           { return nil }
