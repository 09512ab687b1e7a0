//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package boltstore

import (
	"os"
	"syscall"
)

// unlock lets go of bbolt's lock. Closing the file is not enough while it is
// still mapped into memory, which it is after a panic.
func unlock(file *os.File) { _ = syscall.Flock(int(file.Fd()), syscall.LOCK_UN) }
