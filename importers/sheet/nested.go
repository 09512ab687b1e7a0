package sheet

import (
	"encoding/json"
	"fmt"
	"strings"

	"rangebox/importers"
	"rangebox/importers/archive"
	"rangebox/inventory"
)

// nested makes the record of a row, with what its cells of JSON hold: they are
// read as the archive reads them.
func (in *reader) nested(p *pending, r *row) inventory.Record {
	info := p.layout.lex.kind.Info()
	members := ""
	for i := range p.layout.bindings {
		b := &p.layout.bindings[i]
		c := p.layout.cell(r, b)
		if c.empty() || !b.known() || b.part > 0 || b.columns[0].as != asJSON {
			continue
		}
		if !json.Valid([]byte(c.text)) {
			in.complain(p, r, b.place(), refuse(quoted(c.text), "JSON, as in an archive", "found %s, expected the JSON that an archive has for %s", quoted(c.text), b.columns[0].key))
			continue
		}
		members += fmt.Sprintf(", %q: %s", b.columns[0].key, c.text)
	}
	if members == "" {
		return info.New()
	}
	batch, err := archive.Read(strings.NewReader(document(info, "{"+members[2:]+"}")), "")
	if err != nil {
		in.nestedIssues(p, r, err)
		return info.New()
	}
	return batch.Items[0].Record
}

// document is an archive of one record.
func document(info inventory.KindInfo, object string) string {
	if info.Kind != inventory.KindSettings {
		object = "[" + object + "]"
	}
	return fmt.Sprintf("{\"format\": %q, \"version\": %d, %q: %s}", archive.FormatName, archive.Version, info.Plural, object)
}

// nestedIssues gives the archive's complaints the place of their cell.
func (in *reader) nestedIssues(p *pending, r *row, err error) {
	issues, ok := importers.AsIssues(err)
	if !ok {
		in.complain(p, r, "", err)
		return
	}
	for _, issue := range issues {
		column := ""
		if b := p.layout.about(issue.Column); b != nil {
			column = b.place()
		}
		path := issue.Column[strings.IndexByte(issue.Column, '.')+1:]
		issue.File, issue.Row, issue.Column = "", 0, ""
		text := issue.Error()
		in.complain(p, r, column, refuse(issue.Found, issue.Expected, "%s: %s", inventory.Printable(path), text))
	}
}
