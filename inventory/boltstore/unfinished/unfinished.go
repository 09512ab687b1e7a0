// Package unfinished makes files that are put in their places once they are whole, and
// takes them away when the process is told to end before that. It knows nothing of what
// is in them.
package unfinished

import (
	"os"
	"sync"
)

var (
	lock  sync.Mutex
	names []string // of the files that this process has begun, those in their places too
)

// Create is os.CreateTemp for such a file.
func Create(folder, pattern string) (*os.File, error) {
	lock.Lock()
	defer lock.Unlock()
	file, err := os.CreateTemp(folder, pattern)
	if err == nil {
		names = append(names, file.Name())
	}
	return file, err
}

// Remove takes away the files that are not in their places, and lets none be made any
// more: it is for a process that ends.
func Remove() {
	lock.Lock()
	for _, name := range names {
		_ = os.Remove(name)
	}
}
