package command

import (
	"fmt"
	"os"
	"os/signal"
	"sync"
	"syscall"

	"rangebox/inventory/boltstore"
)

// unfinished are the names of the files that writeWhole has begun.
var unfinished sync.Map

// TidyWhenStopped has the process, told to end in the middle of its work, take away
// the files that it had begun. The box needs no care: what was not finished is not in
// it.
func TidyWhenStopped() {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		<-signals
		boltstore.RemoveUnfinished()
		unfinished.Range(func(name, _ any) bool {
			_ = os.Remove(name.(string))
			return true
		})
		fmt.Fprintln(os.Stderr, "\nrangebox: stopped before it was done; what was not finished is not in the box")
		os.Exit(exitFailed)
	}()
}
