//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package boltstore

import "os"

// unlock has nothing to do where closing the file lets go of the lock.
func unlock(*os.File) {}
