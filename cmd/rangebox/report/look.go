// Package report turns answers into what a person reads: tables, sheets, labels
// and plots. A value goes in, text comes out through an io.Writer; it knows no
// box, no engine state and no clock.
package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"rangebox/inventory/quantity"
)

// Look is how text is laid out.
type Look struct {
	Width  int
	Colour bool
	System quantity.System
}

// The colours of verdicts and lot states, and nothing else; every coloured word
// says the same without its colour.
var colours = map[string]string{
	"go": "\x1b[32m", "ok": "\x1b[32m",
	"caution": "\x1b[33m", "soon": "\x1b[33m",
	"unknown": "\x1b[36m",
	"no-go":   "\x1b[1;31m", "expired": "\x1b[1;31m", "held": "\x1b[35m",
}

const colourEnd = "\x1b[0m"

// Word colours a verdict or a state.
func (l Look) Word(word string) string {
	code, ok := colours[word]
	if !l.Colour || !ok {
		return word
	}
	return code + word + colourEnd
}

// Clean replaces what could disturb a terminal: control and direction marks.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case r < ' ', r == 0x7f, r >= 0x80 && r < 0xa0, r == 0x061c, r >= 0x200e && r <= 0x200f, r >= 0x2028 && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
			return '?'
		}
		return r
	}, s)
}

// Wrap breaks text into lines of at most width columns, a word longer than that
// on a line of its own.
func Wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range words(s, width) {
		switch {
		case line == "":
			line = word
		case twwidth.Width(line)+1+twwidth.Width(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}

// words are what is not broken: a number keeps the word after it, which is its
// unit, and a date its time; a row its number; what is to be typed stays in one piece if a line has room
// for it, so that it can be copied.
func words(s string, width int) []string {
	var list []string
	keeps := false
	fields := strings.Fields(s)
	for i := 0; i < len(fields); i++ {
		word := fields[i]
		if n := typed(fields[i:]); n > 1 && twwidth.Width(strings.Join(fields[i:i+n], " ")) <= width {
			word = strings.Join(fields[i:i+n], " ")
			i += n - 1
		}
		if keeps {
			list[len(list)-1] += " " + word
			keeps = false
			continue
		}
		list = append(list, word)
		keeps = word[0] >= '0' && word[0] <= '9' || strings.TrimPrefix(word, "(") == "row"
	}
	return list
}

// typed is how many of the words that come are to be typed as one: up to the second
// backtick, or --map and what stands in quotes after it; 0 where none are.
func typed(fields []string) int {
	mark, from := "`", 0
	if strings.HasPrefix(fields[0], "--") && len(fields) > 1 && strings.HasPrefix(fields[1], `"`) {
		mark, from = `"`, 1
	}
	marks := 0
	for i := from; i < len(fields); i++ {
		if marks += strings.Count(fields[i], mark); marks >= 2 || i == from && marks == 0 {
			return min(marks, 1) * (i + 1)
		}
	}
	return 0
}

// para writes text wrapped to the look's width, with a first and a further indent.
func (l Look) para(w io.Writer, first, further, text string) {
	room := max(20, l.Width-max(twwidth.Width(first), twwidth.Width(further)))
	for i, line := range Wrap(text, room) {
		indent := further
		if i == 0 {
			indent = first
		}
		fmt.Fprintln(w, strings.TrimRight(indent+line, " "))
	}
}

// Para writes one wrapped paragraph.
func (l Look) Para(w io.Writer, text string) { l.para(w, "", "", text) }

// number shows exact text of a unit in the look's system; nil shows the blank.
func number[Q quantity.Quantity](l Look, n *numberText, u quantity.Unit[Q], blank string) string {
	if n == nil {
		return blank
	}
	q, err := u.Parse(n.String())
	if err != nil {
		return n.String()
	}
	return u.Text(int64(q), l.System)
}
