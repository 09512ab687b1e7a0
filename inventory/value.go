package inventory

import (
	"fmt"
	"sort"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// maxText is the longest text a field takes: 64 KiB.
const maxText = 64 << 10

// SetText reads what a person or a file wrote into the field. Numbers may carry
// a unit; several values are separated by spaces, commas or bars. Errors wrap
// ErrInvalid and say what was found and what is expected.
func (f *Field) SetText(rec any, s string) error {
	switch f.Type {
	case TypeWords, TypeNumbers:
		return f.SetList(rec, strings.FieldsFunc(s, isSeparator))
	case TypeMap:
		return f.setPairs(rec, s)
	}
	value, err := f.parse(s)
	if err != nil {
		return err
	}
	f.at.set(rec, value)
	return nil
}

// isSeparator tells what may stand between several values.
func isSeparator(r rune) bool {
	return r == ' ' || r == ',' || r == '|' || r == '/' || r == ';' || r == '\t'
}

// setPairs reads name=value pairs, separated by spaces.
func (f *Field) setPairs(rec any, s string) error {
	m := map[string]string{}
	for _, pair := range strings.Fields(s) {
		name, value, ok := strings.Cut(pair, "=")
		if !ok || name == "" {
			return f.refuse(pair)
		}
		m[name] = value
	}
	return f.SetMap(rec, m)
}

// SetList reads several values, each as SetText reads one.
func (f *Field) SetList(rec any, items []string) error {
	switch f.Type {
	case TypeWords:
		for _, item := range items {
			if position(f.Words, item) == 0 {
				return f.refuse(item)
			}
		}
		f.at.set(rec, append([]string(nil), items...))
	case TypeNumbers:
		steps := make([]int64, len(items))
		for i, item := range items {
			n, err := f.number(item)
			if err != nil {
				return err
			}
			steps[i] = n
		}
		f.at.set(rec, steps)
	default:
		return f.refuse(strings.Join(items, ", "))
	}
	return nil
}

// SetMap sets a field of pairs.
func (f *Field) SetMap(rec any, m map[string]string) error {
	if f.Type != TypeMap {
		return fmt.Errorf("%w: %s takes no pairs", ErrInvalid, f.Key)
	}
	if len(m) == 0 {
		m = nil
	}
	f.at.set(rec, m)
	return nil
}

func (f *Field) parse(s string) (any, error) {
	switch f.Type {
	case TypeText:
		return f.parseText(s)
	case TypeWord:
		if position(f.Words, s) == 0 {
			return nil, f.refuse(s)
		}
		return s, nil
	case TypeNumber:
		return f.number(s)
	case TypeFlag:
		switch strings.ToLower(s) {
		case "true", "yes":
			return true, nil
		case "false", "no":
			return false, nil
		}
		return nil, f.refuse(s)
	case TypeDate:
		d, err := ParseDate(s)
		return d, err
	case TypeMoment:
		t, err := time.Parse(time.RFC3339Nano, s)
		t = t.UTC()
		if err != nil || t.IsZero() || t.Year() < 1 || t.Year() > 9999 {
			return nil, f.refuse(s) // in UTC a year may have five digits, which no file can hold
		}
		return t, nil
	case TypeID:
		return f.parseID(s)
	case TypeRef:
		return f.parseRef(s)
	}
	return nil, f.refuse(s)
}

func (f *Field) parseText(s string) (any, error) {
	if len(s) > maxText {
		return nil, fmt.Errorf("%w: %s is longer than 64 KiB", ErrInvalid, f.Key)
	}
	if !utf8.ValidString(s) {
		return nil, fmt.Errorf("%w: %s is not valid UTF-8 text", ErrInvalid, f.Key)
	}
	if f.Key == "handle" {
		return s, CheckHandle(s)
	}
	return s, nil
}

func (f *Field) number(s string) (int64, error) {
	n, err := f.Scale.Parse(s)
	if err != nil {
		return 0, fmt.Errorf("%w: %s: %w", ErrInvalid, f.Key, err)
	}
	return n, f.checkNumber(n)
}

// checkNumber holds a number to the field's sign and size.
func (f *Field) checkNumber(n int64) error {
	switch {
	case f.Sign == Positive && n <= 0:
		return fmt.Errorf("%w: %s is %s; it must be above 0, and is left out where it is not known", ErrInvalid, f.Key, f.Scale.Format(n))
	case f.Sign == NotNegative && n < 0:
		return fmt.Errorf("%w: %s is %s; it cannot be below 0", ErrInvalid, f.Key, f.Scale.Format(n))
	case f.Max > 0 && n > f.Max:
		return fmt.Errorf("%w: %s is %s; it can be at most %s", ErrInvalid, f.Key, f.Scale.Format(n), f.Scale.Format(f.Max))
	}
	return nil
}

func (f *Field) parseID(s string) (any, error) {
	id, err := uuid.Parse(s)
	if err != nil || len(s) != 36 || id == uuid.Nil { // the nil id means none
		return nil, f.refuse(s)
	}
	return id, nil
}

func (f *Field) parseRef(s string) (any, error) {
	if f.refersToLot() {
		id, err := f.parseID(s)
		if err != nil {
			return nil, err
		}
		return Ref{ID: id.(uuid.UUID)}, nil
	}
	return Ref{Handle: s}, CheckHandle(s)
}

func (f *Field) refersToLot() bool { return len(f.Refers) == 1 && f.Refers[0] == KindLot }

// refuse words what was expected, once for every type of field.
func (f *Field) refuse(found string) error {
	return fmt.Errorf("%w: %s: found %q, expected %s", ErrInvalid, f.Key, Printable(found), f.Expected())
}

// Expected says in words what the field takes.
func (f *Field) Expected() string {
	switch f.Type {
	case TypeWord:
		return "one of " + strings.Join(f.Words, ", ")
	case TypeWords:
		return "a list of " + strings.Join(f.Words, ", ")
	case TypeNumber:
		return strings.TrimSpace("a number " + inUnit(f.Scale))
	case TypeNumbers:
		return strings.TrimSpace("a list of numbers " + inUnit(f.Scale))
	case TypeFlag:
		return "true or false"
	case TypeDate:
		return "a date, 2027-04-17 or 2027-04"
	case TypeMoment:
		return "a time as in 2027-04-17T10:30:00Z"
	case TypeID:
		return "an id of the form 6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41"
	case TypeRef:
		if f.refersToLot() {
			return "the id of a lot"
		}
		return "the handle of a " + kindList(f.Refers)
	case TypeMap:
		return "an object of names and values"
	case TypeNested:
		if f.Single {
			return "an object"
		}
		return "an array of objects"
	}
	return "text"
}

func inUnit(s *quantity.Scale) string {
	if s.Name == "" {
		return ""
	}
	return "in " + s.Name
}

func kindList(kinds []Kind) string {
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = string(k)
	}
	return strings.Join(names, " or ")
}

// Printable shortens text for a message and keeps control characters out of it.
func Printable(s string) string {
	const most = 60
	var b strings.Builder
	n := 0
	for _, r := range s {
		if n++; n > most {
			b.WriteString("...")
			break
		}
		if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			b.WriteByte('?')
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// Text is the field's value as files hold it, exact, and whether there is one.
// Several values are joined by a space, pairs as name=value.
func (f *Field) Text(rec any) (string, bool) {
	value, ok := f.at.get(rec)
	if !ok {
		return "", false
	}
	switch v := value.(type) {
	case string:
		return v, true
	case []string:
		return strings.Join(v, " "), true
	case int64:
		return f.Scale.Format(v), true
	case []int64:
		return strings.Join(f.formatAll(v), " "), true
	case bool:
		return fmt.Sprint(v), true
	case time.Time:
		return v.Format(time.RFC3339Nano), true
	case map[string]string:
		return joinPairs(v), true
	}
	return fmt.Sprint(value), true
}

func (f *Field) formatAll(steps []int64) []string {
	out := make([]string, len(steps))
	for i, n := range steps {
		out[i] = f.Scale.Format(n)
	}
	return out
}

func joinPairs(m map[string]string) string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for i, k := range keys {
		keys[i] = k + "=" + m[k]
	}
	return strings.Join(keys, " ")
}

// List is the values of a field that holds several, as files hold them.
func (f *Field) List(rec any) []string {
	value, ok := f.at.get(rec)
	if !ok {
		return nil
	}
	switch v := value.(type) {
	case []string:
		return v
	case []int64:
		return f.formatAll(v)
	}
	return nil
}

// Map is the pairs of a field that holds them.
func (f *Field) Map(rec any) map[string]string {
	value, _ := f.at.get(rec)
	m, _ := value.(map[string]string)
	return m
}

// Show is the field's value for a person, numbers with a unit of the system.
func (f *Field) Show(rec any, system quantity.System) (string, bool) {
	value, ok := f.at.get(rec)
	if !ok {
		return "", false
	}
	switch v := value.(type) {
	case int64:
		return f.Scale.Text(v, system), true
	case []int64:
		shown := make([]string, len(v))
		for i, n := range v {
			shown[i] = f.Scale.Text(n, system)
		}
		return strings.Join(shown, ", "), true
	case []string:
		return strings.Join(v, ", "), true
	case bool:
		if v {
			return "yes", true
		}
		return "no", true
	case time.Time:
		return v.Local().Format("2006-01-02 15:04"), true
	}
	return f.Text(rec)
}
