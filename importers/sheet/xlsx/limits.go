package xlsx

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// Bounds on what is unpacked (ours). A hundred thousand rows of lots are a sheet
// of 40 MiB, a tenth of that zipped; a text is at most 64 KiB.
const (
	maxParts  = 10_000
	maxPart   = 384 << 20
	maxSmall  = 16 << 20 // parts other than sheets and strings
	maxText   = 1 << 20  // between two marks of the XML
	maxSheets = 200

	// A part of more than bombSize that shrinks more than bombRatio times holds
	// nothing that a person typed. Deflate reaches 1032, and some long notes of
	// one letter come close.
	bombSize  = 64 << 20
	bombRatio = 250
)

// Bounds that the tests lower, so as not to make files that reach them.
var (
	maxStrings = 128 << 20
	maxCells   = 8_000_000
)

// Fault is what is wrong with a workbook, and where as far as that is known: Row
// and Column count from 1, 0 is the whole sheet or the whole file.
type Fault struct {
	Row, Column int
	Why         string
}

// Error is the fault in words.
func (f *Fault) Error() string { return f.Why }

func faultf(format string, args ...any) error { return &Fault{Why: fmt.Sprintf(format, args...)} }

// ErrNotWorkbook: a zip file that holds no workbook.
var ErrNotWorkbook = errors.New("the zip file holds no .xlsx workbook")

// parts is the zip file's contents by name.
type parts struct {
	files map[string]*zip.File
	total uint64
}

func openParts(data []byte) (*parts, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, faultf("the zip file is damaged or cut short")
	}
	if len(z.File) > maxParts {
		return nil, faultf("the zip file holds more than %d parts", maxParts)
	}
	p := &parts{files: make(map[string]*zip.File, len(z.File))}
	for _, f := range z.File {
		p.files[strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/"))] = f
	}
	return p, nil
}

func (p *parts) has(name string) bool { return p.files[strings.ToLower(name)] != nil }

// open unpacks a part of at most so many bytes, and refuses what says or turns
// out to be larger.
func (p *parts) open(name string, most uint64) (io.ReadCloser, error) {
	f := p.files[strings.ToLower(name)]
	if f == nil {
		return nil, faultf("the workbook lacks its part %s", path.Base(name))
	}
	size, packed := f.UncompressedSize64, max(f.CompressedSize64, 1)
	p.total += size
	switch {
	case size > most || p.total > 2*maxPart:
		return nil, faultf("%s would unpack to %d MiB; at most %d are taken", path.Base(name), size>>20, most>>20)
	case size > bombSize && size/packed > bombRatio:
		return nil, faultf("%s would unpack to %d times its size: a zip bomb, not a sheet", path.Base(name), size/packed)
	}
	r, err := f.Open()
	if err != nil {
		return nil, faultf("%s cannot be unpacked", path.Base(name))
	}
	return &guard{in: r}, nil
}

// guard refuses texts and marks without end. A part that turns out larger than it
// says is refused by archive/zip.
type guard struct {
	in  io.ReadCloser
	gap int // bytes since the last mark
}

var errEndless = errors.New("a text without end")

// Read passes on what was unpacked.
func (g *guard) Read(b []byte) (int, error) {
	n, err := g.in.Read(b)
	if last := bytes.LastIndexByte(b[:n], '<'); last >= 0 {
		g.gap = n - last
	} else if g.gap += n; g.gap > maxText {
		return 0, errEndless
	}
	return n, err
}

// Close closes the part.
func (g *guard) Close() error { return g.in.Close() }
