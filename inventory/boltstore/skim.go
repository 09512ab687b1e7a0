package boltstore

import (
	"bytes"
	"fmt"
	"os"
	"sort"

	bolt "go.etcd.io/bbolt"
)

// skimPages is the part of checkPages that every opening can afford: it reads
// the pages that point to others, a hundredth of the file, so that bbolt is
// never sent in a circle, and, where a write is to follow, sees that no page in
// use is listed as free. It gives the first problem, empty where there is none.
func skimPages(file *os.File, writing bool) string {
	w := &pages{file: file, skim: true}
	w.skimTree(writing)
	return w.first()
}

// skimForWriting looks at the header of each page of values besides: bbolt
// frees as many pages as the header of one that is written anew says.
func skimForWriting(file *os.File, tx *bolt.Tx) (*pages, string) {
	w := &pages{file: file, skim: true, leaves: map[string][]leafAt{}, looked: map[uint64]bool{}}
	w.skimTree(true)
	for what, leaves := range w.leaves {
		for _, leaf := range leaves {
			w.header(tx, leaf.id, what)
		}
	}
	return w, w.first()
}

// header checks the header of a page of values and claims its overflow.
func (w *pages) header(tx *bolt.Tx, id uint64, what string) {
	info, err := tx.Page(int(id))
	if err != nil || info == nil || info.Type != "leaf" {
		w.problem("page %d of %s has a header that makes no sense", id, what)
		return
	}
	for n := id + 1; n <= id+uint64(info.OverflowCount); n++ {
		if !w.claim(n, what) {
			return
		}
	}
}

// near checks the page of values that a key belongs to, and those beside it,
// before bbolt takes them apart to write them anew: a size that is damaged would
// have it ask for any amount of memory, and a key that is, put the new one in
// the wrong place.
func (w *pages) near(bucket string, key []byte) string {
	what := bucketName([]byte(bucket))
	leaves := w.leaves[what]
	at := sort.Search(len(leaves), func(i int) bool { return bytes.Compare(leaves[i].low, key) > 0 }) - 1
	for i := max(at-1, 0); i <= at+1 && i < len(leaves); i++ {
		if leaf := leaves[i]; !w.looked[leaf.id] {
			w.looked[leaf.id] = true
			in := bounds{low: leaf.low}
			if i+1 < len(leaves) {
				in.high = leaves[i+1].low
			}
			w.look(leaf.id, what, in)
		}
	}
	return w.first()
}

// look checks a page of values that was left alone so far.
func (w *pages) look(id uint64, what string, in bounds) {
	data, ok := w.read(id, what, 0)
	if !ok {
		return
	}
	if native.Uint16(data[8:]) != leafPage {
		w.problem("page %d of %s is of no kind that belongs there", id, what)
		return
	}
	w.leaf(id, data, what, false, in)
}

func bucketName(name []byte) string { return fmt.Sprintf("bucket %q", name) }

func (w *pages) skimTree(writing bool) {
	m, _ := w.start()
	w.problems = nil // one damaged meta page of two is bbolt's to live with
	w.tree(m.root, "the root", true, bounds{})
	if writing {
		w.free(m.freelist)
	}
}

func (w *pages) first() string {
	if len(w.problems) > 0 {
		return w.problems[0]
	}
	return ""
}

// leave leaves a page of values alone, and notes it where it may be asked for.
func (w *pages) leave(id uint64, what string, low []byte) {
	if !w.claim(id, what) || w.leaves == nil {
		return
	}
	from := len(w.lows)
	w.lows = append(w.lows, low...)
	w.leaves[what] = append(w.leaves[what], leafAt{id, w.lows[from:len(w.lows):len(w.lows)]})
}

// isLeaf tells whether a page holds values; its sisters then do so as well,
// since all of them lie equally deep.
func (w *pages) isLeaf(id uint64) bool {
	head := make([]byte, pageHeader)
	if id >= w.high {
		return false
	}
	_, err := w.file.ReadAt(head, int64(id)*w.pageSize)
	return err == nil && native.Uint16(head[8:]) == leafPage
}
