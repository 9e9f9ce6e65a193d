package store

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// lockName is the file whose kernel lock keeps two builds from one folder. It stays in the folder:
// taking it away would let a third build lock a new one while a second still waits on the old.
const lockName = ".lock"

// lockPoll is how often a waiting build tries again.
const lockPoll = 20 * time.Millisecond

// acquire takes the folder for this build, or says who has it.
func acquire(ctx context.Context, r root, wait time.Duration) (lock, error) {
	l, err := r.OpenLock(lockName)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", lockName, cause(err))
	}
	if err := hold(ctx, l, wait); err != nil {
		_ = l.Close() // the error that led here says more
		return nil, err
	}
	return l, nil
}

func hold(ctx context.Context, l lock, wait time.Duration) error {
	end := time.NewTimer(wait)
	defer end.Stop()
	again := time.NewTicker(lockPoll)
	defer again.Stop()
	for {
		ok, err := l.TryLock()
		if err != nil {
			return fmt.Errorf("%s: %w", lockName, cause(err))
		}
		if ok {
			break
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-end.C:
			who := l.Holder()
			if who == "" {
				who = "another build"
			}
			return fmt.Errorf("%w by %s, and was not free after %v", ErrBusy, who, wait)
		case <-again.C:
		}
	}
	if err := l.SetHolder(fmt.Sprintf("process %d", os.Getpid())); err != nil {
		return fmt.Errorf("%s: %w", lockName, cause(err))
	}
	return nil
}

type osLock struct{ *os.File }

// TryLock reports whether the lock is ours now.
func (l osLock) TryLock() (bool, error) { return tryLock(l.File) }

// SetHolder leaves word who holds the lock.
func (l osLock) SetHolder(who string) error {
	if err := l.Truncate(0); err != nil {
		return err
	}
	_, err := l.WriteAt([]byte(who+"\n"), 0)
	return err
}

// Holder reads that word.
func (l osLock) Holder() string {
	const most = 200
	b, err := io.ReadAll(io.NewSectionReader(l, 0, most))
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(b))
}
