package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// refuse is a complaint about a cell; its place is filled in later.
func refuse(found, expected, format string, args ...any) error {
	return importers.Issue{Found: found, Expected: expected,
		Err: fmt.Errorf("%w: "+format, append([]any{inventory.ErrInvalid}, args...)...)}
}

// quoted shows what stood in a cell.
func quoted(text string) string { return strconv.Quote(inventory.Printable(text)) }

// refused words an error of a field: its own key is said by the column.
func refused(f *inventory.Field, text string, err error) error {
	why := err.Error()
	for _, prefix := range []string{inventory.ErrInvalid.Error() + ": ", f.Key + ": ", "not a quantity: "} {
		why = strings.TrimPrefix(why, prefix)
	}
	return refuse(quoted(text), f.Expected(), "%s", why)
}

// set reads a cell into a field of a record or part, by the field's type.
func (l *layout) set(rec any, b *binding, c cell) error {
	col := b.columns[0]
	switch c.form {
	case noValue:
		return refuse("a formula without its value", col.f.Expected(), "a formula whose value is not in the file; open it in a spreadsheet program and save it again")
	case disguised:
		return refuse(c.text, col.f.Expected(), "the cell holds %s and its number format shows something else; give it the format of a plain number, or of text, and look at it again", inventory.Printable(c.text))
	case datePart:
		if col.f.Type == inventory.TypeDate {
			return refuse(c.text, col.f.Expected(), "the cell shows a part of the date %s; show all of it, and see whether it is right", c.text)
		}
		c.form = day
	case joined:
		return refuse(c.text, col.f.Expected(), "the cell is joined with one above that holds %s; part them, and write what is of each row", inventory.Printable(c.text))
	case fault:
		return refuse(quoted(c.text), col.f.Expected(), "%s is an error of the spreadsheet; mend it, or leave the cell empty where it is not known", inventory.Printable(c.text))
	}
	switch {
	case col.as == asCurve:
		return l.setCurve(rec, col, c)
	case col.numeric():
		return l.setNumber(rec, b, c)
	}
	switch col.f.Type {
	case inventory.TypeText:
		return l.setText(rec, b, c)
	case inventory.TypeDate:
		return l.setDate(rec, b, c)
	case inventory.TypeWord, inventory.TypeWords:
		return l.setWords(rec, col, c)
	case inventory.TypeFlag:
		return setFlag(rec, col.f, c)
	case inventory.TypeRef:
		if c.form == day {
			return takenForDate(c.text, col.f)
		}
		return setRef(rec, col.f, c)
	}
	return setAs(rec, col.f, c.trimmed())
}

func setAs(rec any, f *inventory.Field, text string) error {
	if err := f.SetText(rec, text); err != nil {
		return refused(f, text, err)
	}
	return nil
}

func (l *layout) setText(rec any, b *binding, c cell) error {
	col, text := b.columns[0], c.text
	if err := b.noText(c); err != nil {
		return err
	}
	switch {
	case c.form == number:
		text = shownNumber(text)
	case c.form == bare:
		text = c.trimmed()
	}
	switch {
	case col.key == "handle" && !col.nozzle:
		return setAs(rec, col.f, strings.ToLower(c.trimmed()))
	case len(col.f.Words) > 0:
		text = openWord(col.f, text)
	}
	return setAs(rec, col.f, text)
}

// noText refuses what no text of the field can be: a name 3-5 that the spreadsheet has
// taken for a date, a mass below Propellant, a day below Certified.
func (b *binding) noText(c cell) error {
	col, text := b.columns[0], c.trimmed()
	if c.form == day && col.key != "notes" && col.key != "code" {
		return takenForDate(text, col.f)
	}
	if col.key == "certified_by" && plain(b.header) != plain(col.key) && aDate(text) {
		return refuse(quoted(text), col.f.Expected(), "%s is a date, and the column is read as who certifies; head it %q if it is the last day", quoted(text), "certified_until")
	}
	if len(col.f.Words) > 0 && mass(text) {
		return refuse(quoted(text), col.f.Expected(), "%s is a number, and the column is read as %s; head it with its field and its unit", quoted(text), col.key)
	}
	return nil
}

func aDate(text string) bool {
	_, err := readDate(text, orderOpen)
	return err == nil
}

func mass(text string) bool {
	_, err := quantity.Gram.Parse(text)
	return err == nil
}

func takenForDate(text string, f *inventory.Field) error {
	return refuse("the date "+text, f.Expected(), "the spreadsheet has taken this for the date %s; format the cell as text and type it again", text)
}

// openWord takes a word for the one of the field's that was meant: AP for
// composite. An apostrophe before it says that it is meant as it stands.
func openWord(f *inventory.Field, text string) string {
	word, ok := f.PlainWord(text)
	switch bare := strings.TrimLeft(text, "'"); {
	case bare != text && (ok || mass(bare)):
		return text[1:]
	case !ok:
		return text
	}
	return word
}

// literalWord puts that apostrophe before what openWord would change, and before a
// number, which nobody means by such a word.
func literalWord(f *inventory.Field, text string) string {
	if len(f.Words) > 0 && (openWord(f, text) != text || mass(text)) {
		return "'" + text
	}
	return text
}

// shownNumber is a stored number as a spreadsheet shows it: the shortest text
// that gives the same number, where the stored one is longer than that.
func shownNumber(text string) string {
	const shown = 17
	if len(text) < shown && !strings.ContainsAny(text, "eE") {
		return text
	}
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return text
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

func (l *layout) setWords(rec any, col *column, c cell) error {
	items := []string{c.trimmed()}
	if col.f.Type == inventory.TypeWords {
		items = strings.FieldsFunc(c.text, isSeparator)
	}
	for i, item := range items {
		word, ok := col.f.PlainWord(item)
		if !ok {
			return refuse(quoted(item), col.f.Expected(), "found %s, expected %s", quoted(item), col.f.Expected())
		}
		items[i] = word
	}
	if col.f.Type == inventory.TypeWords {
		if err := col.f.SetList(rec, items); err != nil {
			return refused(col.f, c.text, err)
		}
		return nil
	}
	return setAs(rec, col.f, items[0])
}

func isSeparator(r rune) bool { return strings.ContainsRune(" ,;|/\t\n\r\u00a0", r) }

// setFlag knows what people write for yes and no.
func setFlag(rec any, f *inventory.Field, c cell) error {
	switch strings.ToLower(c.trimmed()) {
	case "yes", "y", "true", "t", "1", "x", "✓", "✔", "ja", "oui", "si", "sí":
		return setAs(rec, f, "true")
	case "no", "n", "false", "f", "0", "nein", "non":
		return setAs(rec, f, "false")
	}
	return refuse(quoted(c.text), "yes or no", "found %s, expected yes or no, or nothing where it is not known", quoted(c.text))
}

// setRef takes a handle, or a name in its place, which becomes a handle as names
// do where records have none; see resolve.
func setRef(rec any, f *inventory.Field, c cell) error {
	text := c.trimmed()
	if len(f.Refers) == 1 && f.Refers[0] == inventory.KindLot {
		return setAs(rec, f, text)
	}
	if low := strings.ToLower(text); inventory.CheckHandle(low) == nil {
		return setAs(rec, f, low)
	}
	made := slug(text)
	if made == "" {
		return refuse(quoted(text), f.Expected(), "%s is no handle, and none can be made of it", quoted(text))
	}
	return setAs(rec, f, made)
}

// setCurve reads t:F pairs.
func (l *layout) setCurve(rec any, col *column, c cell) error {
	const expected = "pairs of seconds and newtons, 0:0 0.1:12.5 1.2:0"
	at, _ := col.f.Sub.Field("t_s")
	thrust, _ := col.f.Sub.Field("thrust_n")
	points := decimalPoints(c.text)
	for _, pair := range strings.FieldsFunc(c.text, betweenPairs) {
		t, f, ok := strings.Cut(pair, ":")
		if !ok {
			return refuse(quoted(pair), expected, "found %s, expected %s", quoted(pair), expected)
		}
		point := col.f.AddPart(rec)
		for _, half := range []struct {
			f    *inventory.Field
			text string
		}{{at, t}, {thrust, f}} {
			text := half.text
			if err := l.unclearPoint(text); err != nil && !points {
				col.f.Clear(rec)
				return err
			}
			if l.commaIsDecimal() && !strings.Contains(text, ".") {
				text = strings.Replace(text, ",", ".", 1)
			}
			if err := half.f.SetText(point, text); err != nil {
				col.f.Clear(rec)
				return refused(half.f, pair, err)
			}
		}
	}
	return nil
}

func betweenPairs(r rune) bool { return r <= ' ' || r == ';' || r == '|' || r == '\u00a0' }

// decimalPoints tells whether a number of a curve shows that its points are decimal.
func decimalPoints(curve string) bool {
	for _, n := range strings.FieldsFunc(curve, func(r rune) bool { return r == ':' || betweenPairs(r) }) {
		if decimalPoint().MatchString(n) && !thousandsPoint().MatchString(n) {
			return true
		}
	}
	return false
}

// text is a cell's text without the apostrophe that keeps a spreadsheet from
// taking it for a formula, and with what follows in further columns.
func (l *layout) cell(r *row, b *binding) cell {
	c := r.at(b.index)
	if c.form == bare || c.form == literal {
		c.text = unescape(c.text)
	}
	if !b.known() {
		return c
	}
	for _, more := range l.marks.follows[b.columns[0].key] {
		c.text += unescape(r.at(more).text)
	}
	return c
}

const formulaMarks = "=+-@\t\r"

// escape puts an apostrophe before a text that a spreadsheet would take for a
// formula (sources: OWASP ASVS 5.0, 1.2.10; CWE-1236), and before one that has
// such apostrophes of its own, so that unescape gives it back.
func escape(text string) string {
	if bare := strings.TrimLeft(text, "'"); bare != "" && strings.IndexByte(formulaMarks, bare[0]) >= 0 {
		return "'" + text
	}
	return text
}

func unescape(text string) string {
	if bare := strings.TrimLeft(text, "'"); len(bare) < len(text) && bare != "" && strings.IndexByte(formulaMarks, bare[0]) >= 0 {
		return text[1:]
	}
	return text
}

// serialDay reads a number as a workbook counts days.
func (l *layout) serialDay(text string) (time.Time, bool) {
	if l.grid.day == nil {
		return time.Time{}, false
	}
	return l.grid.day(text)
}
