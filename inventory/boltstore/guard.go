package boltstore

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"rangebox/inventory"
)

// faultsPanic turns a fault in the memory-mapped file, as when it is cut short
// while it is read, into a panic of this goroutine; the result undoes it.
func faultsPanic() (undo func()) {
	before := debug.SetPanicOnFault(true)
	return func() { debug.SetPanicOnFault(before) }
}

// guard is deferred around everything that touches the file: bbolt panics on
// pages that make no sense, which is damage and is reported as such. Any other
// panic is a mistake in the program and goes on.
func guard(path string, err *error) {
	cause := recover()
	if cause == nil {
		return
	}
	if !ofTheFile(cause) {
		panic(cause)
	}
	*err = fmt.Errorf("%w: %s cannot be read any further (%v); restore a backup", inventory.ErrDamaged, path, cause)
}

// ofTheFile tells whether a panic comes from the file: a fault with an address
// in the mapping, or a panic that bbolt raised.
func ofTheFile(cause any) bool {
	if _, ok := cause.(interface{ Addr() uintptr }); ok {
		return true
	}
	return raisedIn("go.etcd.io/bbolt")
}

// raisedIn tells whether the innermost function of the panic under way, the
// runtime's own left out, belongs to a module.
func raisedIn(module string) bool {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(2, pcs)])
	panicking := false
	for {
		frame, more := frames.Next()
		inRuntime := strings.HasPrefix(frame.Function, "runtime.") || strings.HasPrefix(frame.Function, "internal/runtime")
		switch {
		case inRuntime:
			panicking = panicking || frame.Function == "runtime.gopanic"
		case panicking:
			return strings.HasPrefix(frame.Function, module)
		}
		if !more {
			return false
		}
	}
}
