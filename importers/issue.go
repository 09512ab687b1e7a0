package importers

import (
	"errors"
	"fmt"
	"strings"

	"rangebox/inventory"
)

// Issue is a complaint about a file: where, what stood there, what was expected.
type Issue struct {
	File, Sheet string
	// Row is the row of a sheet as a spreadsheet counts, or else the line of a text
	// file, from 1; 0 is the file as a whole.
	Row int
	// Column is a sheet's column or the path of a field, as in
	// motors[3].nozzles[0].throat_mm.
	Column string
	// Found and Expected are for machines, and for the sentence where Err alone
	// does not say more.
	Found, Expected string
	// Err wraps one of inventory's sentinels.
	Err error
	// unlisted is how many complaints this one stands for, see Unlisted.
	unlisted int
}

// Unlisted stands at the end of a list for n complaints that are not on it.
func Unlisted(file string, n int) Issue {
	return Issue{File: file, Found: fmt.Sprintf("%d more complaints", n), unlisted: n,
		Err: fmt.Errorf("%w: %d more complaints are not listed; mend the first ones and read the file again", inventory.ErrInvalid, n)}
}

// Count is how many complaints there are, with those that are not listed.
func (list Issues) Count() int {
	n := len(list)
	for _, i := range list {
		n += max(0, i.unlisted-1)
	}
	return n
}

// Error is one sentence: where, what, and what to do.
func (i Issue) Error() string {
	if place := i.place(); place != "" {
		return place + ": " + i.reason()
	}
	return i.reason()
}

// Unwrap gives the reason.
func (i Issue) Unwrap() error { return i.Err }

func (i Issue) place() string {
	var parts []string
	if i.File != "" {
		parts = append(parts, i.File)
	}
	if i.Sheet != "" {
		parts = append(parts, "sheet "+inventory.Printable(i.Sheet))
	}
	if i.Row > 0 {
		parts = append(parts, fmt.Sprintf("row %d", i.Row))
	}
	if i.Column != "" {
		parts = append(parts, i.Column)
	}
	return strings.Join(parts, ", ")
}

// reason is the error's own text, without the name of its class and without the
// field's name where the place has just said it.
func (i Issue) reason() string {
	if i.Err == nil || isClass(i.Err) {
		return fmt.Sprintf("found %s, expected %s", i.Found, i.Expected)
	}
	text := i.Err.Error()
	for _, class := range classes {
		text = strings.TrimPrefix(text, class.Error()+": ")
	}
	field := i.Column[strings.LastIndexByte(i.Column, '.')+1:]
	if field == "" {
		return text
	}
	return strings.TrimPrefix(text, field+": ")
}

// classes are the sentinels that a complaint about a file can wrap.
var classes = []error{inventory.ErrInvalid, inventory.ErrNewer, inventory.ErrConflict, inventory.ErrNotFound}

func isClass(err error) bool {
	for _, class := range classes {
		if err == class {
			return true
		}
	}
	return false
}

// Issues is every complaint about a file, in its order.
type Issues []Issue

// shownIssues is how many complaints the text of Issues spells out (ours).
const shownIssues = 5

// Error spells out the first complaints, one a line, and counts the others.
func (list Issues) Error() string {
	var b strings.Builder
	for i, issue := range list {
		if i == shownIssues {
			fmt.Fprintf(&b, "\nand %d more", len(list)-shownIssues)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(issue.Error())
	}
	return b.String()
}

// Unwrap gives ErrInvalid, whatever the single complaints are, and these.
func (list Issues) Unwrap() []error {
	errs := []error{inventory.ErrInvalid}
	for _, issue := range list {
		errs = append(errs, issue)
	}
	return errs
}

// AsIssues finds the complaints in an error, one or many.
func AsIssues(err error) (Issues, bool) {
	var many Issues
	if errors.As(err, &many) {
		return many, true
	}
	var one Issue
	if errors.As(err, &one) {
		return Issues{one}, true
	}
	return nil, false
}
