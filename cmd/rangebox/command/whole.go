package command

import (
	"fmt"
	"os"
	"path/filepath"

	"rangebox/inventory/boltstore"
	"rangebox/inventory/boltstore/unfinished"
)

// writeWhole writes a new file, which appears whole or not at all, in the place of
// what stood there unless that is a box.
func (g *global) writeWhole(file string, write func(*os.File) error) error {
	if err := g.overNoBox(file); err != nil {
		return err
	}
	temp, err := unfinished.Create(filepath.Dir(file), ".rangebox-*")
	if err != nil {
		return advise(fmt.Errorf("writing %s: %w", file, cause(err)), "check that the folder is there and may be written")
	}
	defer os.Remove(temp.Name()) // gone already where all went well
	if err := write(temp); err != nil {
		_ = temp.Close()
		return err
	}
	if err := temp.Sync(); err != nil {
		return fmt.Errorf("writing %s: %w", file, cause(err))
	}
	if err := temp.Close(); err != nil {
		return fmt.Errorf("writing %s: %w", file, cause(err))
	}
	if err := os.Chmod(temp.Name(), 0o644); err != nil {
		return fmt.Errorf("writing %s: %w", file, cause(err))
	}
	if err := os.Rename(temp.Name(), file); err != nil {
		return fmt.Errorf("writing %s: %w", file, err)
	}
	return nil
}

// overNoBox refuses to write over a box: the open one, even where it is too
// damaged to be known for one, or any other.
func (g *global) overNoBox(file string) error {
	const advice = "name another file"
	if sameFile(file, g.path()) {
		return advise(conflict("%s is the box itself, and nothing is written over it", file), advice)
	}
	isBox, err := boltstore.IsBox(file)
	if err != nil {
		return fmt.Errorf("writing %s: %w", file, cause(err)) // what cannot be looked at may be one
	}
	if isBox {
		return advise(conflict("%s is a box, and nothing is written over one", file), advice)
	}
	return nil
}

// notThere refuses a name that is taken, for a file that replaces nothing.
func notThere(file string) error {
	if _, err := os.Lstat(file); err == nil {
		return advise(conflict("there is a file at %s already", file), "move it away, then try again")
	}
	return nil
}

// sameFile tells whether two paths lead to one file, be it there or not yet.
func sameFile(a, b string) bool {
	if inFull(a) == inFull(b) {
		return true
	}
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

func inFull(path string) string {
	full, err := filepath.Abs(path)
	if err != nil { // the current folder is gone
		return filepath.Clean(path)
	}
	return full
}
