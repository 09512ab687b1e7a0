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
	high     uint64 // the first page number that is not in use
	used     map[uint64]string
	problems []string
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
	w := &pages{file: file, used: map[uint64]string{0: "meta", 1: "meta"}}
	m, ok := w.meta()
	if !ok {
		return w.problems
	}
	w.pageSize, w.high = int64(m.pageSize), m.high
	w.tree(m.root, "the root", true)
	w.free(m.freelist)
	return w.problems
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

// page reads a page with its overflow and marks it used.
func (w *pages) page(id uint64, what string) (flags uint16, data []byte, ok bool) {
	if by, twice := w.used[id]; twice {
		w.problem("page %d belongs to %s and to %s", id, by, what)
		return 0, nil, false
	}
	if id >= w.high {
		w.problem("%s points to page %d, which is past the last", what, id)
		return 0, nil, false
	}
	head := make([]byte, pageHeader)
	if _, err := w.file.ReadAt(head, int64(id)*w.pageSize); err != nil {
		w.problem("page %d of %s cannot be read: %v", id, what, err)
		return 0, nil, false
	}
	overflow := uint64(native.Uint32(head[12:]))
	if native.Uint64(head) != id || id+overflow >= w.high {
		w.problem("page %d of %s has a header that makes no sense", id, what)
		return 0, nil, false
	}
	for n := id; n <= id+overflow; n++ {
		w.used[n] = what
	}
	data = make([]byte, int64(1+overflow)*w.pageSize)
	if _, err := w.file.ReadAt(data, int64(id)*w.pageSize); err != nil {
		w.problem("page %d of %s cannot be read: %v", id, what, err)
		return 0, nil, false
	}
	return native.Uint16(head[8:]), data, true
}

// tree walks a branch or leaf page and all below it; root is the tree whose
// values are the buckets.
func (w *pages) tree(id uint64, what string, root bool) {
	flags, data, ok := w.page(id, what)
	switch {
	case !ok:
	case flags == branchPage:
		w.branch(id, data, what, root)
	case flags == leafPage:
		w.leaf(id, data, what, root)
	default:
		w.problem("page %d of %s is of no kind that belongs there", id, what)
	}
}

func (w *pages) branch(id uint64, data []byte, what string, root bool) {
	count := int(native.Uint16(data[10:]))
	if count == 0 || pageHeader+count*branchElement > len(data) {
		w.problem("page %d of %s counts %d branches", id, what, count)
		return
	}
	var last []byte
	for i := range count {
		e := data[pageHeader+i*branchElement:]
		key, ok := span(e, native.Uint32(e), native.Uint32(e[4:]))
		if !ok || i > 0 && bytes.Compare(last, key) >= 0 {
			w.problem("page %d of %s has keys out of order or out of the page", id, what)
			return
		}
		last = key
		w.tree(native.Uint64(e[8:]), what, root)
	}
}

func (w *pages) leaf(id uint64, data []byte, what string, root bool) {
	count := int(native.Uint16(data[10:]))
	if pageHeader+count*leafElement > len(data) {
		w.problem("page %d of %s counts %d values", id, what, count)
		return
	}
	var last []byte
	for i := range count {
		e := data[pageHeader+i*leafElement:]
		pos, size := native.Uint32(e[4:]), native.Uint32(e[8:])
		key, ok := span(e, pos, size)
		value, ok2 := span(e, pos+size, native.Uint32(e[12:]))
		if !ok || !ok2 || i > 0 && bytes.Compare(last, key) >= 0 {
			w.problem("page %d of %s has keys out of order or out of the page", id, what)
			return
		}
		last = key
		w.value(native.Uint32(e), key, value, what, root)
	}
}

// value follows the buckets, which lie in the root tree and nowhere else.
func (w *pages) value(flags uint32, key, value []byte, what string, root bool) {
	if !root && flags == 0 {
		return
	}
	if !root || flags != bucketLeaf || len(value) < bucketHeader {
		w.problem("%s has a value where a bucket belongs, or a bucket where a value does", what)
		return
	}
	name := fmt.Sprintf("bucket %q", key)
	if page := native.Uint64(value); page != 0 {
		w.tree(page, name, false)
		return
	}
	inline := value[bucketHeader:]
	if len(inline) < pageHeader || native.Uint16(inline[8:]) != leafPage {
		w.problem("%s has a page inside that makes no sense", name)
		return
	}
	w.leaf(0, inline, name, false)
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
	flags, data, ok := w.page(id, "the list of free pages")
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
		free := native.Uint64(ids[8*i:])
		if by, inUse := w.used[free]; inUse || free >= w.high {
			w.problem("page %d is listed as free and belongs to %s", free, by)
			continue
		}
		w.used[free] = "the free pages"
	}
	if n := uint64(len(w.used)); n != w.high {
		w.problem("%d of %d pages are neither used nor free", w.high-n, w.high)
	}
}
