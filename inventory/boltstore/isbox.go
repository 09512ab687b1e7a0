package boltstore

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// The sizes of pages that a file may have (bbolt looks for its second meta page
// at each of them).
const (
	leastPage = 1 << 10
	mostPage  = 1 << 24
)

// magics is bbolt's mark in the byte orders of the machines that write boxes.
var magics = [][]byte{{0xed, 0xda, 0x0c, 0xed}, {0xed, 0x0c, 0xda, 0xed}}

// IsBox tells whether the file at path is a box, a damaged one or one of another
// machine too: whether one of its two meta pages begins as bbolt's do. It takes
// no lock. What is not there is none.
func IsBox(path string) (bool, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("look at %s: %w", path, err)
	case !info.Mode().IsRegular(): // opening a pipe would wait
		return false, nil
	}
	file, err := os.Open(path)
	if err != nil {
		return false, fmt.Errorf("look at %s: %w", path, err)
	}
	defer file.Close()
	if isMeta(file, 0) {
		return true, nil
	}
	for at := int64(leastPage); at <= mostPage && at < info.Size(); at *= 2 {
		if isMeta(file, at) {
			return true, nil
		}
	}
	return false, nil
}

func isMeta(file io.ReaderAt, at int64) bool {
	mark := make([]byte, 4)
	if _, err := file.ReadAt(mark, at+pageHeader); err != nil {
		return false
	}
	return bytes.Equal(mark, magics[0]) || bytes.Equal(mark, magics[1])
}
