// Command platen makes vacuum-forming tools from job files.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

// leanGC is how much the heap may grow over what is in use before it is collected, per cent: a mesh of large
// clusters holds 100 MB and more, and a third of that on top is enough.
const leanGC = 35

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(leanGC)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	code := run(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
	stop()
	os.Exit(code)
}
