package main

import (
	"io"
	"os"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// quiet is how long a run stays silent, so that short ones never flicker.
const quiet = time.Second

// progress shows the running stage on a terminal, after a second; elsewhere it is silent.
type progress struct {
	mu    sync.Mutex
	bar   *progressbar.ProgressBar
	now   string
	start *time.Timer
}

func newProgress(s streams) *progress {
	p := &progress{}
	f, ok := s.err.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return p
	}
	p.start = time.AfterFunc(quiet, func() { p.show(f) })
	return p
}

func (p *progress) show(w io.Writer) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.bar = progressbar.NewOptions(-1,
		progressbar.OptionSetWriter(w),
		progressbar.OptionSpinnerType(14),
		progressbar.OptionEnableColorCodes(os.Getenv("NO_COLOR") == ""),
		progressbar.OptionClearOnFinish(),
		progressbar.OptionSetDescription(p.now),
	)
	_ = p.bar.RenderBlank()
}

// stage names the stage that starts.
func (p *progress) stage(name string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.now = name
	if p.bar != nil {
		p.bar.Describe(name)
	}
}

// done takes the line away.
func (p *progress) done() {
	if p.start != nil {
		p.start.Stop()
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bar != nil {
		_ = p.bar.Finish()
	}
}
