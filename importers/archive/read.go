package archive

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// maxIssues is how many complaints are listed of one file (ours).
const maxIssues = 100

// Read reads an archive; file is its name in complaints. What is wrong with the
// document comes as importers.Issues, all of it. A version above ours comes as
// one importers.Issue that wraps inventory.ErrNewer.
func Read(r io.Reader, file string) (*inventory.Batch, error) {
	in := newReader(r, file)
	err := in.document()
	if err == nil {
		err = in.headOnTime()
	}
	switch {
	case errors.Is(err, errStop):
		// all that is to be said is among the issues
	case err != nil:
		return nil, err
	}
	if issues := in.listed(); len(issues) > 0 {
		return nil, issues
	}
	return in.batch, nil
}

// errStop ends the reading where the structure does not allow to go on; the
// reason is among the issues.
var errStop = errors.New("stop")

// reader walks through the document with the field tables.
type reader struct {
	json   *json.Decoder
	src    *source
	file   string
	path   []step
	issues importers.Issues
	more   int // complaints that are not listed
	batch  *inventory.Batch
	head   head
}

// head is what was read of the document's first two fields.
type head struct {
	format  bool // read and right
	version bool // read and ours
	newer   *importers.Issue
}

// step is one step of a path: a key, or a place in an array.
type step struct {
	key   string
	index int
}

func newReader(r io.Reader, file string) *reader {
	src := newSource(r)
	in := &reader{json: json.NewDecoder(src), src: src, file: file, batch: &inventory.Batch{}}
	in.json.UseNumber()
	return in
}

// document reads the one object that an archive is, and nothing after it.
func (in *reader) document() error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	if tok != json.Delim('{') {
		in.complain(found(tok), "an archive: an object that begins with {", nil)
		return errStop
	}
	seen := map[string]bool{}
	for in.json.More() {
		key, err := in.key()
		if err != nil {
			return err
		}
		if err := in.section(key, seen); err != nil {
			return err
		}
		in.leave()
	}
	if _, err := in.token(); err != nil {
		return err
	}
	return in.nothingAfter()
}

func (in *reader) nothingAfter() error {
	tok, err := in.json.Token()
	switch {
	case errors.Is(err, io.EOF):
		return nil
	case err != nil:
		return in.broken(err)
	}
	in.complain(found(tok), "nothing after the document's last }", nil)
	return errStop
}

// section reads one field of the document itself.
func (in *reader) section(key string, seen map[string]bool) error {
	if seen[key] {
		return in.twice(key)
	}
	seen[key] = true
	switch key {
	case "format":
		return in.format()
	case "version":
		return in.version()
	}
	for _, info := range inventory.Kinds {
		if info.Plural != key {
			continue
		}
		if info.Kind == inventory.KindSettings {
			return in.settings(info)
		}
		return in.records(info)
	}
	return in.unknown(key, "an archive", sections())
}

// sections are the keys a document can have.
func sections() []string {
	keys := []string{"format", "version"}
	for _, kind := range Order {
		keys = append(keys, kind.Info().Plural)
	}
	return keys
}

func (in *reader) format() error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	if tok != FormatName {
		// Not our document: whatever else it holds is beside the point.
		in.issues, in.more = nil, 0
		in.complain(found(tok), fmt.Sprintf("%q, the mark of an archive", FormatName), nil)
		return errStop
	}
	in.head.format = true
	return in.judgeNewer()
}

func (in *reader) version() error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	const expected = "version 1"
	in.head.version = true
	number, ok := tok.(json.Number)
	if !ok {
		return in.wrongType(tok, expected)
	}
	n, err := quantity.Piece.Parse(number.String())
	switch {
	case err != nil || n < 1:
		in.complain(found(tok), expected, nil)
	case n > Version:
		issue := in.issue(found(tok), expected, fmt.Errorf(
			"%w: the archive is of version %d and this program reads version %d; read it with a newer program", inventory.ErrNewer, n, Version))
		in.head.newer = &issue
	}
	return in.judgeNewer()
}

// judgeNewer stops at a newer archive, once it is known to be one: what else
// there is to complain of is what the newer version added.
func (in *reader) judgeNewer() error {
	if in.head.format && in.head.newer != nil {
		return *in.head.newer
	}
	return nil
}

// headOnTime complains of a head that never came; without the format everything
// else is beside the point.
func (in *reader) headOnTime() error {
	if !in.head.format {
		in.issues, in.more = nil, 0
		in.lacks("format", fmt.Sprintf("%q", FormatName))
		return nil
	}
	if !in.head.version {
		in.lacks("version", fmt.Sprint(Version))
	}
	return nil
}

func (in *reader) lacks(key, value string) {
	in.issues = append(in.issues, importers.Issue{File: in.file, Row: 1, Column: key, Found: "nothing", Expected: value,
		Err: fmt.Errorf("%w: the document has no %q; an archive begins with {\"format\": %q, \"version\": %d", inventory.ErrInvalid, key, FormatName, Version)})
}

// records reads the array of one kind.
func (in *reader) records(info inventory.KindInfo) error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	if tok != json.Delim('[') {
		return in.wrongType(tok, "an array of "+info.Plural)
	}
	return in.each(func() error {
		tok, err := in.token()
		if err != nil {
			return err
		}
		if tok != json.Delim('{') {
			return in.wrongType(tok, "an object, one of the "+info.Plural)
		}
		return in.record(info)
	})
}

// settings reads the one object of settings.
func (in *reader) settings(info inventory.KindInfo) error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	if tok != json.Delim('{') {
		return in.wrongType(tok, "an object")
	}
	return in.record(info)
}

// record reads one record, whose brace has been read, into the batch.
func (in *reader) record(info inventory.KindInfo) error {
	row := in.row()
	rec := info.New()
	if err := in.fields(info.Table, rec); err != nil {
		return err
	}
	in.batch.Add(rec, "", row)
	return nil
}

// each reads the values of an array, whose bracket has been read, and its end.
func (in *reader) each(value func() error) error {
	in.path = append(in.path, step{index: 0})
	for in.json.More() {
		if err := value(); err != nil {
			return err
		}
		in.path[len(in.path)-1].index++
	}
	in.leave()
	_, err := in.token()
	return err
}

// where is the path of the value being read.
func (in *reader) where() string {
	var b strings.Builder
	for i, s := range in.path {
		switch {
		case s.key == "":
			fmt.Fprintf(&b, "[%d]", s.index)
		case i > 0:
			b.WriteString("." + inventory.Printable(s.key))
		default:
			b.WriteString(inventory.Printable(s.key))
		}
	}
	return b.String()
}
