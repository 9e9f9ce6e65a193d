package store

import (
	"errors"
	"os"
	"syscall"
	"unsafe"
)

// Values of LockFileEx from the system's published interface.
const (
	lockExclusive   = 0x2
	lockNoWait      = 0x1
	lockViolation   = syscall.Errno(33)
	lockByteHigh    = 0x40000000 // far behind the text, so that others can read who holds the lock
	lockedByteCount = 1
)

var lockFileEx = syscall.NewLazyDLL("kernel32.dll").NewProc("LockFileEx")

func tryLock(f *os.File) (bool, error) {
	at := syscall.Overlapped{OffsetHigh: lockByteHigh}
	ok, _, err := lockFileEx.Call(f.Fd(), lockExclusive|lockNoWait, 0, lockedByteCount, 0,
		uintptr(unsafe.Pointer(&at)))
	if ok != 0 {
		return true, nil
	}
	if errors.Is(err, lockViolation) {
		return false, nil
	}
	return false, err
}
