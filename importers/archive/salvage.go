package archive

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"rangebox/importers"
	"rangebox/inventory"
)

// Rejected is a piece of a damaged archive that could not be taken.
type Rejected struct {
	// Section is the kind's plural under which it stood, as far as that is known.
	Section string
	// Row is the line it begins on.
	Row int
	// Text is the piece as it stood, Why what is wrong with it.
	Text string
	Why  string
}

// Salvage reads what can be read of a damaged archive: each record by itself, as
// strictly as Read does, and whatever else stands there among the rejected. The
// error wraps inventory.ErrInvalid where nothing of an archive is found, and
// inventory.ErrNewer for a newer one.
func Salvage(data []byte, file string) (*inventory.Batch, []Rejected, error) {
	if m := versionKey.FindSubmatch(data[:min(len(data), 4096)]); m != nil {
		if n, err := strconv.Atoi(string(m[1])); err != nil || n > Version {
			return nil, nil, importers.Issue{File: file, Err: fmt.Errorf("%w: the archive is of version %s and this program reads version %d; read it with a newer program", inventory.ErrNewer, m[1], Version)}
		}
	}
	s := &salvage{data: data, batch: &inventory.Batch{}, row: 1}
	s.run()
	if len(s.batch.Items) == 0 {
		return nil, nil, importers.Issue{File: file, Err: fmt.Errorf("%w: no record of an archive can be read; restore a backup", inventory.ErrInvalid)}
	}
	return s.batch, s.rejected, nil
}

// mostEffort is how often over a file is read at most (ours): a file made to
// begin a record with each byte would take the square of its length.
const mostEffort = 50

var (
	versionKey = regexp.MustCompile(`"version"\s*:\s*([0-9]+)`)
	sectionKey = regexp.MustCompile(`^"([a-z]+)"\s*:\s*(\[|\{)`)
)

// salvage goes through the bytes of a document from one record to the next.
type salvage struct {
	data     []byte
	at       int
	section  *inventory.KindInfo // that the next record stands in
	outer    *inventory.KindInfo // the one before, for a key that only looked like a section's
	broken   int                 // where what cannot be read began, and why
	why      string
	spent    int // bytes looked at
	counted  int // offset up to which lines are counted
	row      int
	batch    *inventory.Batch
	rejected []Rejected
}

func (s *salvage) run() {
	for s.at < len(s.data) {
		switch c := s.data[s.at]; {
		case c == '"' && s.key():
		case c == '{' && s.section != nil:
			s.record()
		case c == ']' && s.section != nil && s.why == "": // within what is broken it may be anything's end
			s.mend()
			s.section, s.outer = s.outer, nil
			s.at++
		case s.section != nil && !strings.ContainsRune(" \t\r\n,}", rune(c)):
			s.damage("this is no record")
			s.at++
		default:
			s.at++
		}
	}
	s.mend()
}

// key takes the key of a section.
func (s *salvage) key() bool {
	m := sectionKey.FindSubmatch(s.data[s.at:min(len(s.data), s.at+200)])
	if m == nil {
		return false
	}
	for _, kind := range Order {
		info := kind.Info()
		if info.Plural != string(m[1]) || (kind == inventory.KindSettings) != (m[2][0] == '{') {
			continue
		}
		s.mend()
		s.outer, s.section = s.section, &info
		s.at += len(m[0])
		if kind == inventory.KindSettings {
			s.at-- // its brace is the record's
		}
		return true
	}
	return false
}

// record takes the record that begins here. Inside of what is broken already,
// only a whole record is one; all else belongs to what is broken.
func (s *salvage) record() {
	var raw json.RawMessage
	rest := bytes.NewReader(s.data[s.at:])
	dec := json.NewDecoder(rest)
	err := dec.Decode(&raw)
	if s.spent += len(s.data) - s.at - rest.Len(); s.spent > mostEffort*len(s.data)+1<<20 {
		s.damage("too much is broken to look for more")
		s.at = len(s.data)
		return
	}
	var rec inventory.Record
	if err == nil {
		rec, err = s.read(raw)
	}
	switch {
	case err == nil:
		s.mend()
		s.batch.Add(rec, "", s.rowAt(s.at))
		s.at += int(dec.InputOffset())
	case raw != nil && s.why == "":
		s.damage(reason(err))
		s.at += int(dec.InputOffset())
		s.mend()
	default:
		s.damage(reason(err))
		s.at++
	}
	if s.section.Kind == inventory.KindSettings && s.why == "" {
		s.section = nil
	}
}

// read holds one record to what an archive of it alone would be held to.
func (s *salvage) read(raw []byte) (inventory.Record, error) {
	form := "{\"format\": %q, \"version\": %d, %q: [%s]}"
	if s.section.Kind == inventory.KindSettings {
		form = "{\"format\": %q, \"version\": %d, %q: %s}"
	}
	batch, err := Read(strings.NewReader(fmt.Sprintf(form, FormatName, Version, s.section.Plural, raw)), "")
	if err != nil {
		return nil, err
	}
	rec := batch.Items[0].Record
	return rec, errors.Join(inventory.Check(rec)...)
}

// reason is the first thing that is wrong with a record, without its place in
// the document made of it alone.
func reason(err error) string {
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		return "this is no JSON: " + inventory.Printable(err.Error())
	case errors.Is(err, io.ErrUnexpectedEOF):
		return "the file ends before the record does"
	}
	issues, ok := importers.AsIssues(err)
	if !ok {
		return inventory.Printable(strings.ReplaceAll(err.Error(), "\n", "; "))
	}
	first := issues[0]
	first.Row = 0
	return strings.ReplaceAll(first.Error(), "[0].", " ")
}

// damage begins a piece that cannot be read, unless one has begun.
func (s *salvage) damage(why string) {
	if s.why == "" {
		s.broken, s.why = s.at, why
	}
}

// mend ends the piece that could not be read.
func (s *salvage) mend() {
	if s.why == "" {
		return
	}
	section := ""
	if s.section != nil {
		section = s.section.Plural
	}
	text := strings.TrimRight(string(s.data[s.broken:s.at]), " \t\r\n,")
	s.rejected = append(s.rejected, Rejected{Section: section, Row: s.rowAt(s.broken), Text: text, Why: s.why})
	s.why = ""
}

// rowAt is the line of an offset; offsets come in rising order.
func (s *salvage) rowAt(at int) int {
	if at > s.counted {
		s.row += bytes.Count(s.data[s.counted:at], []byte("\n"))
		s.counted = at
	}
	return s.row
}

// WriteRejected writes what was rejected, each piece as it stood under a line
// that says why.
func WriteRejected(w io.Writer, list []Rejected) error {
	for _, r := range list {
		if _, err := fmt.Fprintf(w, "# row %d, %s: %s\n%s\n\n", r.Row, r.Section, r.Why, r.Text); err != nil {
			return fmt.Errorf("writing what was rejected: %w", err)
		}
	}
	return nil
}
