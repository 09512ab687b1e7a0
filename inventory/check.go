package inventory

import "fmt"

// Check lists everything about a record that is refused on add and import.
func Check(rec Record) []error {
	info := rec.Kind().Info()
	var errs []error
	if handle := rec.Base().Handle; info.Handled {
		if err := CheckHandle(handle); err != nil {
			errs = append(errs, err)
		}
	}
	return append(errs, checkTable(info.Table, rec)...)
}

func checkTable(t *Table, rec any) []error {
	var errs []error
	if t.check != nil {
		errs = t.check(rec)
	}
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Type == TypeNested {
			for n, part := range f.Parts(rec) {
				for _, err := range checkTable(f.Sub, part) {
					errs = append(errs, fmt.Errorf("%s %d: %w", f.Sub.Name, n+1, err))
				}
			}
			continue
		}
		if value, ok := f.at.get(rec); ok && f.Type == TypeNumber {
			if err := f.checkNumber(value.(int64)); err != nil {
				errs = append(errs, err)
			}
		}
	}
	return errs
}

// Doubts lists what about a record is implausible: warned of, never refused.
// What a thrust curve contradicts is the engine's to say.
func Doubts(rec Record) []string {
	t := rec.Kind().Info().Table
	if t.doubts == nil {
		return nil
	}
	return t.doubts(rec)
}
