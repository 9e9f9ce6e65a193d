package store

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
)

// writeBuffer is gathered before a write reaches the disk, bytes.
const writeBuffer = 1 << 18

// stage writes one file under a scratch name, down to the disk, and returns its entry.
func stage(ctx context.Context, r root, f File) (_ Entry, temp string, err error) {
	temp = scratch(tempPrefix, f.Name)
	out, err := r.Create(temp)
	if err != nil {
		return Entry{}, "", cause(err)
	}
	closed := false
	defer func() {
		if !closed {
			_ = out.Close() // the error that led here says more
		}
	}()
	sum := &summer{ctx: ctx, w: out, hash: sha256.New()}
	buf := bufio.NewWriterSize(sum, writeBuffer)
	if err := f.Write(buf); err != nil {
		return Entry{}, "", err
	}
	// A short write and an error that f.Write swallowed stay in the buffer and come out here.
	if err := buf.Flush(); err != nil {
		return Entry{}, "", err
	}
	if err := out.Sync(); err != nil {
		return Entry{}, "", cause(err)
	}
	closed = true
	if err := out.Close(); err != nil {
		return Entry{}, "", cause(err)
	}
	info, err := r.Lstat(temp)
	if err != nil {
		return Entry{}, "", cause(err)
	}
	if info.Size() != sum.size {
		return Entry{}, "", fmt.Errorf("%d bytes arrived of %d written", info.Size(), sum.size)
	}
	return Entry{Name: f.Name, Size: sum.size, SHA256: sum.text()}, temp, nil
}

// summer hashes and counts what it passes on, and stops when ctx is done.
type summer struct {
	ctx  context.Context
	w    io.Writer
	hash hash.Hash
	size int64
}

// Write passes p on.
func (s *summer) Write(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := s.w.Write(p)
	s.hash.Write(p[:n]) // never fails
	s.size += int64(n)
	return n, cause(err)
}

func (s *summer) text() string { return hex.EncodeToString(s.hash.Sum(nil)) }

// errFolder says that a name is taken by a folder; no choice of the caller overcomes that.
var errFolder = errors.New("a folder has this name")

// notPlain is the size in the entry of what is neither file nor folder: it equals no listed entry.
const notPlain = -1

// look returns the entry that the file in the folder would have.
func look(r root, name string) (Entry, error) {
	info, err := r.Lstat(name)
	if err != nil {
		return Entry{}, err
	}
	if info.IsDir() {
		return Entry{}, errFolder
	}
	if !info.Mode().IsRegular() {
		return Entry{Name: name, Size: notPlain}, nil
	}
	in, err := r.Open(name)
	if err != nil {
		return Entry{}, err
	}
	defer in.Close()
	h := sha256.New()
	n, err := io.Copy(h, in)
	if err != nil {
		return Entry{}, err
	}
	return Entry{Name: name, Size: n, SHA256: hex.EncodeToString(h.Sum(nil))}, nil
}
