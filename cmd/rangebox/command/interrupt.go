package command

import (
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"rangebox/inventory/boltstore/unfinished"
)

// TidyWhenStopped has the process, told to end in the middle of its work, take away
// the files that it had begun. The box needs no care: what was not finished is not in
// it.
func TidyWhenStopped() {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		<-signals
		fmt.Fprintln(os.Stderr, "\nrangebox: stopped before it was done; what was not finished is not in the box")
		unfinished.Remove()
		os.Exit(exitFailed)
	}()
}
