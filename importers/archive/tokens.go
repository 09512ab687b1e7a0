package archive

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"rangebox/importers"
	"rangebox/inventory"
)

// maxDepth bounds how deep a value that is refused may be nested (ours); what
// the tables know is six deep.
const maxDepth = 64

// token reads the next token; its error is errStop or one of reading the file.
func (in *reader) token() (json.Token, error) {
	tok, err := in.json.Token()
	if err != nil {
		return nil, in.broken(err)
	}
	in.src.consumed = in.json.InputOffset()
	return tok, nil
}

// key reads the key of an object's member and enters its path.
func (in *reader) key() (string, error) {
	tok, err := in.token()
	if err != nil {
		return "", err
	}
	key, _ := tok.(string) // the decoder takes nothing else for a key
	in.path = append(in.path, step{key: key})
	return key, nil
}

func (in *reader) leave() { in.path = in.path[:len(in.path)-1] }

// row is the line of the token read last: a token does not span lines.
func (in *reader) row() int { return in.src.lineAt(in.json.InputOffset()) }

// broken words an error of the decoder or the source, after which nothing more
// can be read.
func (in *reader) broken(err error) error {
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		in.complain("", "", fmt.Errorf("%w: this is no JSON: %s", inventory.ErrInvalid, inventory.Printable(syntax.Error())))
	case in.src.fault != nil && errors.Is(err, in.src.fault):
		in.src.lineAt(in.src.faultAt)
		in.complain("", "", in.src.fault)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		in.complain("the end of the file", "the rest of the document", fmt.Errorf("%w: the file ends before the document does; it was cut short", inventory.ErrInvalid))
	default:
		return fmt.Errorf("reading %s: %w", in.file, err)
	}
	return errStop
}

// skip reads to the end of a value whose first token has been read.
func (in *reader) skip(tok json.Token) error {
	depth := 0
	for {
		switch tok {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth == 0 {
			return nil
		}
		if depth > maxDepth {
			in.complain("", "", fmt.Errorf("%w: nested more than %d deep", inventory.ErrInvalid, maxDepth))
			return errStop
		}
		var err error
		if tok, err = in.token(); err != nil {
			return err
		}
	}
}

// skipNext reads a value and drops it, the complaint being made.
func (in *reader) skipNext() error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	return in.skip(tok)
}

// complain adds an issue about the token read last, at its place.
func (in *reader) complain(found, expected string, err error) {
	if len(in.issues) >= maxIssues {
		in.more++
		return
	}
	in.issues = append(in.issues, in.issue(found, expected, err))
}

func (in *reader) issue(found, expected string, err error) importers.Issue {
	if err == nil {
		err = inventory.ErrInvalid
	}
	return importers.Issue{File: in.file, Row: in.row(), Column: in.where(), Found: found, Expected: expected, Err: err}
}

// listed is the issues, with a last one that counts those left out.
func (in *reader) listed() importers.Issues {
	if in.more == 0 {
		return in.issues
	}
	return append(in.issues, importers.Unlisted(in.file, in.more))
}

// wrongType complains of a value of another JSON type than the field's, and
// skips it.
func (in *reader) wrongType(tok json.Token, expected string) error {
	if tok == nil {
		in.complain("null", expected, fmt.Errorf("%w: null stands here; leave the field out where it is not known", inventory.ErrInvalid))
		return nil
	}
	in.complain(found(tok), expected, nil)
	return in.skip(tok)
}

func (in *reader) twice(key string) error {
	in.complain(fmt.Sprintf("%q again", inventory.Printable(key)), "each key once",
		fmt.Errorf("%w: %q stands twice in one object; keep one of them", inventory.ErrInvalid, inventory.Printable(key)))
	return in.skipNext()
}

func (in *reader) unknown(key, owner string, known []string) error {
	hint := ""
	if near, ok := inventory.Nearest(key, known); ok {
		hint = fmt.Sprintf("; did you mean %q?", near)
	}
	in.complain(fmt.Sprintf("%q", inventory.Printable(key)), "one of "+strings.Join(known, ", "),
		fmt.Errorf("%w: unknown field %q of %s%s", inventory.ErrInvalid, inventory.Printable(key), owner, hint))
	return in.skipNext()
}

// missing complains of a field that has to be given, at the object's beginning.
func (in *reader) missing(f *inventory.Field, owner string, row int) {
	before := len(in.issues)
	in.complain("nothing", f.Expected(), fmt.Errorf("%w: %s is missing; every %s has it", inventory.ErrInvalid, f.Key, owner))
	if len(in.issues) > before {
		last := &in.issues[before]
		last.Row, last.Column = row, last.Column+"."+f.Key
	}
}

// found words a token for a complaint.
func found(tok json.Token) string {
	switch v := tok.(type) {
	case nil:
		return "null"
	case string:
		return fmt.Sprintf("%q", inventory.Printable(v))
	case json.Number:
		return inventory.Printable(v.String())
	case bool:
		return boolText(v)
	case json.Delim:
		if v == '{' {
			return "an object"
		}
		return "an array"
	}
	return fmt.Sprint(tok)
}
