package archive

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"sort"
	"strconv"

	"rangebox/inventory"
)

// Source hands over the records of a kind, one by one, and stops at the first
// error of yield, which it returns. References are resolved, with handles.
type Source func(kind inventory.Kind, yield func(inventory.Record) error) error

// FromBatch is the records of a batch, each kind in the batch's order.
func FromBatch(b *inventory.Batch) Source {
	return func(kind inventory.Kind, yield func(inventory.Record) error) error {
		for _, item := range b.Items {
			if item.Record.Kind() != kind {
				continue
			}
			if err := yield(item.Record); err != nil {
				return err
			}
		}
		return nil
	}
}

// Write writes an archive: a record a line, kinds in Order, fields in the order
// of their table, numbers as exact decimals, what is not known left out.
func Write(w io.Writer, box Source) error {
	out := &writer{w: bufio.NewWriterSize(w, 64<<10)}
	fmt.Fprintf(out.w, "{\n\"format\": %q,\n\"version\": %d", FormatName, Version)
	for _, kind := range Order {
		if err := out.section(kind.Info(), box); err != nil {
			return fmt.Errorf("writing the %s of the archive: %w", kind.Info().Plural, err)
		}
	}
	_, _ = out.w.WriteString("\n}\n") // an error stays with the writer
	if err := out.w.Flush(); err != nil {
		return fmt.Errorf("writing the archive: %w", err)
	}
	return nil
}

type writer struct {
	w    *bufio.Writer
	line []byte
}

// section writes the records of a kind; nothing where there are none.
func (out *writer) section(info inventory.KindInfo, box Source) error {
	n := 0
	one := info.Kind == inventory.KindSettings
	err := box(info.Kind, func(rec inventory.Record) error {
		if err := writable(rec); err != nil {
			return err
		}
		n++
		switch {
		case one && n > 1:
			return fmt.Errorf("%w: there is more than one record of settings", inventory.ErrConflict)
		case one:
			out.line = append(out.line[:0], ",\n\"settings\": "...)
		case n == 1:
			out.line = append(out.line[:0], ",\n\""+info.Plural+"\": [\n"...)
		default:
			out.line = append(out.line[:0], ",\n"...)
		}
		out.line = appendObject(out.line, info.Table, rec)
		_, err := out.w.Write(out.line)
		return err
	})
	if err == nil && n > 0 && !one {
		_, err = out.w.WriteString("\n]")
	}
	return err
}

// writable refuses a record that points to another by id alone: archives know
// all but lots by handle, and an id in its place would read as one.
func writable(rec inventory.Record) error {
	for _, r := range inventory.References(rec) {
		if r.Ref.Handle == "" && (len(r.Kinds) != 1 || r.Kinds[0] != inventory.KindLot) {
			return fmt.Errorf("%w: %s of the %s %s points to %s, whose handle is not known",
				inventory.ErrDamaged, r.Path, rec.Kind(), nameOf(rec), r.Ref.ID)
		}
	}
	return nil
}

func nameOf(rec inventory.Record) string {
	if h := rec.Base(); h.Handle == "" {
		return h.ID.String()
	}
	return strconv.Quote(rec.Base().Handle)
}

func appendObject(line []byte, t *inventory.Table, rec any) []byte {
	line = append(line, '{')
	empty := len(line)
	for i := range t.Fields {
		f := &t.Fields[i]
		before := len(line)
		if before > empty {
			line = append(line, ", "...)
		}
		line = append(line, '"')
		line = append(line, f.Key...)
		line = append(line, `": `...)
		value := len(line)
		if line = appendField(line, f, rec); len(line) == value {
			line = line[:before] // not known
		}
	}
	return append(line, '}')
}

// appendField appends the value of a field, nothing where it is not known.
func appendField(line []byte, f *inventory.Field, rec any) []byte {
	switch f.Type {
	case inventory.TypeNested:
		return appendParts(line, f, f.Parts(rec))
	case inventory.TypeWords:
		return appendList(line, f.List(rec), appendText)
	case inventory.TypeNumbers:
		return appendList(line, f.List(rec), appendRaw)
	case inventory.TypeMap:
		return appendPairs(line, f.Map(rec))
	}
	text, ok := f.Text(rec)
	switch {
	case !ok:
		return line
	case f.Type == inventory.TypeNumber || f.Type == inventory.TypeFlag:
		return append(line, text...)
	}
	return appendText(line, text)
}

func appendParts(line []byte, f *inventory.Field, parts []any) []byte {
	if len(parts) == 0 {
		return line
	}
	if f.Single {
		return appendObject(line, f.Sub, parts[0])
	}
	return appendList(line, parts, func(line []byte, part any) []byte { return appendObject(line, f.Sub, part) })
}

func appendList[T any](line []byte, items []T, one func([]byte, T) []byte) []byte {
	if len(items) == 0 {
		return line
	}
	line = append(line, '[')
	for i, item := range items {
		if i > 0 {
			line = append(line, ", "...)
		}
		line = one(line, item)
	}
	return append(line, ']')
}

func appendPairs(line []byte, pairs map[string]string) []byte {
	if len(pairs) == 0 {
		return line
	}
	keys := make([]string, 0, len(pairs))
	for key := range pairs {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	line = append(line, '{')
	for i, key := range keys {
		if i > 0 {
			line = append(line, ", "...)
		}
		line = append(appendText(line, key), ": "...)
		line = appendText(line, pairs[key])
	}
	return append(line, '}')
}

func appendRaw(line []byte, text string) []byte { return append(line, text...) }

// appendText writes a JSON string. Nearly all texts are plain; the others go
// through the standard library, which knows what to escape.
func appendText(line []byte, text string) []byte {
	if plain(text) {
		return append(append(append(line, '"'), text...), '"')
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(text) // a string and a buffer: nothing can fail
	return append(line, bytes.TrimRight(b.Bytes(), "\n")...)
}

func plain(text string) bool {
	for i := 0; i < len(text); i++ {
		if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}
