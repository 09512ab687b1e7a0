package boltstore

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"io"
	"os"
)

// The layout of bbolt's pages, as far as walking them takes: a header of 16
// bytes (id 8, flags 2, count 2, overflow 4), then the elements. Numbers are in
// the byte order of the machine.
const (
	pageHeader    = 16
	branchElement = 16 // pos 4, key size 4, page 8
	leafElement   = 16 // flags 4, pos 4, key size 4, value size 4
	metaLength    = 64
	bucketHeader  = 16 // root page 8, sequence 8

	branchPage   = 0x01
	leafPage     = 0x02
	metaPage     = 0x04
	freelistPage = 0x10
	bucketLeaf   = 0x01

	boltMagic = 0xED0CDAED
)

var native = binary.NativeEndian

// pages walks the tree of pages in a file without trusting it: each page once,
// nothing outside the file, so that a pointer in a circle is found and not
// followed.
type pages struct {
	file     io.ReaderAt
	pageSize int64
	high     uint64   // the first page number that is not in use
	used     []string // what each page belongs to, empty where to nothing yet
	skim     bool     // leaves the pages of values alone, where there are many
	room     [][]byte // for the pages on the way down, by depth
	problems []string
	leaves   map[string][]leafAt // the pages left alone, by what they belong to
	lows     []byte              // room for their keys
	looked   map[uint64]bool     // those that were looked at since
}

// leafAt is a page of values and the least key that it may hold.
type leafAt struct {
	id  uint64
	low []byte
}

// meta is what matters of a meta page.
type metaOf struct {
	pageSize             uint32
	root, freelist, high uint64
	txid                 uint64
}

// checkPages lists what is wrong with the pages of a file: both meta pages, the
// tree, and the list of free pages, each page to be either used once or free.
func checkPages(file *os.File) []string {
	w := &pages{file: file}
	if m, ok := w.start(); ok {
		w.tree(m.root, "the root", true, bounds{})
		w.free(m.freelist)
		w.checkAllUsed()
	}
	return w.problems
}

// start reads the meta pages; the file is at least as long as they say.
func (w *pages) start() (metaOf, bool) {
	m, ok := w.meta()
	if ok {
		w.pageSize, w.high = int64(m.pageSize), m.high
		w.used = make([]string, max(m.high, 2))
		w.used[0], w.used[1] = "the meta pages", "the meta pages"
	}
	return m, ok
}

func (w *pages) problem(format string, args ...any) {
	w.problems = append(w.problems, fmt.Sprintf(format, args...))
}

// meta reads both meta pages and gives the newer one that is whole.
func (w *pages) meta() (best metaOf, ok bool) {
	first, ok0 := w.metaAt(0)
	size := int64(first.pageSize)
	if !ok0 {
		size = int64(os.Getpagesize())
	}
	second, ok1 := w.metaAt(size)
	if !ok0 || !ok1 {
		w.problem("one of the two meta pages is damaged: what is shown may be the state before the last change")
	}
	if ok1 && (!ok0 || second.txid > first.txid) {
		return second, true
	}
	return first, ok0
}

func (w *pages) metaAt(offset int64) (m metaOf, ok bool) {
	buf := make([]byte, pageHeader+metaLength)
	if _, err := w.file.ReadAt(buf, offset); err != nil {
		return m, false
	}
	b := buf[pageHeader:]
	sum := fnv.New64a()
	_, _ = sum.Write(b[:56])
	m = metaOf{pageSize: native.Uint32(b[8:]), root: native.Uint64(b[16:]), freelist: native.Uint64(b[32:]),
		high: native.Uint64(b[40:]), txid: native.Uint64(b[48:])}
	ok = native.Uint32(b) == boltMagic && native.Uint64(b[56:]) == sum.Sum64()
	return m, ok && m.pageSize >= 1024 && m.pageSize <= 1<<20 && native.Uint16(buf[8:]) == metaPage
}

// claim marks a page as belonging to something, once.
func (w *pages) claim(id uint64, what string) bool {
	switch {
	case id >= w.high:
		w.problem("%s points to page %d, which is past the last", what, id)
		return false
	case w.used[id] != "":
		w.problem("page %d belongs to %s and to %s", id, w.used[id], what)
		return false
	}
	w.used[id] = what
	return true
}

// page reads a page with its overflow and marks it used. What it gives serves
// until the next page of the same depth is read.
func (w *pages) page(id uint64, what string, depth int) (flags uint16, data []byte, ok bool) {
	if !w.claim(id, what) {
		return 0, nil, false
	}
	data, ok = w.read(id, what, depth)
	if !ok {
		return 0, nil, false
	}
	for n := id + 1; n <= id+uint64(native.Uint32(data[12:])); n++ {
		if !w.claim(n, what) {
			return 0, nil, false
		}
	}
	return native.Uint16(data[8:]), data, true
}

// read reads a page with its overflow.
func (w *pages) read(id uint64, what string, depth int) (data []byte, ok bool) {
	if depth == len(w.room) {
		w.room = append(w.room, make([]byte, w.pageSize))
	}
	data = w.room[depth][:w.pageSize:w.pageSize]
	if _, err := w.file.ReadAt(data, int64(id)*w.pageSize); err != nil {
		w.problem("page %d of %s cannot be read: %v", id, what, err)
		return nil, false
	}
	overflow := uint64(native.Uint32(data[12:]))
	if native.Uint64(data) != id || overflow >= w.high-id {
		w.problem("page %d of %s has a header that makes no sense", id, what)
		return nil, false
	}
	if overflow == 0 {
		return data, true
	}
	more := make([]byte, int64(overflow)*w.pageSize)
	if _, err := w.file.ReadAt(more, int64(id+1)*w.pageSize); err != nil {
		w.problem("page %d of %s cannot be read: %v", id, what, err)
		return nil, false
	}
	return append(data, more...), true
}

// tree walks a branch or leaf page and all below it; root is the tree whose
// values are the buckets.
func (w *pages) tree(id uint64, what string, root bool, in bounds) {
	flags, data, ok := w.page(id, what, in.depth)
	in.depth++
	switch {
	case !ok:
	case flags == branchPage:
		w.branch(id, data, what, root, in)
	case flags == leafPage:
		w.leaf(id, data, what, root, in)
	default:
		w.problem("page %d of %s is of no kind that belongs there", id, what)
	}
}

func (w *pages) branch(id uint64, data []byte, what string, root bool, in bounds) {
	count := int(native.Uint16(data[10:]))
	if count == 0 || pageHeader+count*branchElement > len(data) {
		w.problem("page %d of %s counts %d branches", id, what, count)
		return
	}
	overLeaves := false
	for i := range count {
		key, ok := branchKey(data, i)
		if !ok || !in.has(key) {
			w.problem("page %d of %s has keys out of order or out of the page", id, what)
			return
		}
		in.low, in.past = key, true
		below := bounds{low: key, high: in.high, depth: in.depth}
		if i+1 < count {
			below.high, _ = branchKey(data, i+1)
		}
		child := native.Uint64(data[pageHeader+i*branchElement+8:])
		if i == 0 {
			overLeaves = w.skim && !root && w.isLeaf(child)
		}
		if overLeaves {
			w.leave(child, what, key)
			continue
		}
		w.tree(child, what, root, below)
	}
}

// branchKey is the least key below the i-th branch of a page.
func branchKey(data []byte, i int) ([]byte, bool) {
	e := data[pageHeader+i*branchElement:]
	return span(e, native.Uint32(e), native.Uint32(e[4:]))
}

// bounds are the keys that may come next below a branch: low itself, which
// bbolt keeps equal to the first key below it, or, once that was there, anything
// past it, up to high, which is not among them; nil is no bound.
type bounds struct {
	low, high []byte
	past      bool
	depth     int // of the page below
}

func (b bounds) has(key []byte) bool {
	order := bytes.Compare(key, b.low)
	follows := order > 0 && (b.past || b.low == nil) || order == 0 && !b.past
	return follows && (b.high == nil || bytes.Compare(key, b.high) < 0)
}

func (w *pages) leaf(id uint64, data []byte, what string, root bool, in bounds) {
	count := int(native.Uint16(data[10:]))
	if pageHeader+count*leafElement > len(data) {
		w.problem("page %d of %s counts %d values", id, what, count)
		return
	}
	for i := range count {
		e := data[pageHeader+i*leafElement:]
		pos, size := native.Uint32(e[4:]), native.Uint32(e[8:])
		key, ok := span(e, pos, size)
		value, ok2 := span(e, pos+size, native.Uint32(e[12:]))
		if !ok || !ok2 || !in.has(key) {
			w.problem("page %d of %s has keys out of order or out of the page", id, what)
			return
		}
		in.low, in.past = key, true
		if root || native.Uint32(e) != 0 {
			w.value(native.Uint32(e), key, value, what, root, in.depth)
		}
	}
}

// value follows the buckets, which lie in the root tree and nowhere else.
func (w *pages) value(flags uint32, key, value []byte, what string, root bool, depth int) {
	if !root || flags != bucketLeaf || len(value) < bucketHeader {
		w.problem("%s has a value where a bucket belongs, or a bucket where a value does", what)
		return
	}
	name := bucketName(key)
	if page := native.Uint64(value); page != 0 {
		w.tree(page, name, false, bounds{depth: depth})
		return
	}
	inline := value[bucketHeader:]
	if len(inline) < pageHeader || native.Uint16(inline[8:]) != leafPage {
		w.problem("%s has a page inside that makes no sense", name)
		return
	}
	w.leaf(0, inline, name, false, bounds{depth: depth})
}

// span is the part of a page that an element points to.
func span(element []byte, pos, size uint32) ([]byte, bool) {
	end := uint64(pos) + uint64(size)
	if end > uint64(len(element)) {
		return nil, false
	}
	return element[pos:end], true
}

// free reads the list of free pages: a page that is in use must not be on it,
// or the next change would write over it.
func (w *pages) free(id uint64) {
	flags, data, ok := w.page(id, "the list of free pages", 0)
	if !ok {
		return
	}
	ids := data[pageHeader:]
	count := uint64(native.Uint16(data[10:]))
	if count == 0xFFFF {
		count, ids = native.Uint64(ids), ids[8:]
	}
	if flags != freelistPage || count > uint64(len(ids)/8) {
		w.problem("the list of free pages makes no sense")
		return
	}
	for i := range count {
		w.claim(native.Uint64(ids[8*i:]), "the free pages")
	}
}

// checkAllUsed sees that no page is lost.
func (w *pages) checkAllUsed() {
	lost := 0
	for _, by := range w.used {
		if by == "" {
			lost++
		}
	}
	if lost > 0 {
		w.problem("%d of %d pages are neither used nor free", lost, w.high)
	}
}
