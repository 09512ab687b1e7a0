package command

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"rangebox/cmd/rangebox/report"
	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// How rangebox speaks of errors, the one place for it: one sentence on standard
// error that says what, where and what to do; no stack, no "error:" twice; the
// same in JSON with --output json.

// The exit statuses of the contract.
const (
	exitDone   = 0
	exitFailed = 1
	exitMisuse = 2
	exitNotGo  = 3
)

// misuse is an error that could be told without opening a file.
type misuse struct {
	msg, hint string
}

func (m *misuse) Error() string { return m.msg }

func misused(hint, format string, args ...any) error {
	return &misuse{fmt.Sprintf(format, args...), hint}
}

// hinted gives an error a word of advice.
type hinted struct {
	error
	hint string
}

func (h *hinted) Unwrap() error { return h.error }

func advise(err error, format string, args ...any) error {
	if err == nil {
		return nil
	}
	return &hinted{err, fmt.Sprintf(format, args...)}
}

// notGo is no error to tell: it only sets the exit status under --strict.
var errNotGo = errors.New("no go among the answers")

// ErrorKinds is the contract's list of kinds, with the class each stands for.
var errorKinds = []struct {
	kind string
	is   error
}{
	{"not-found", inventory.ErrNotFound},
	{"missing", inventory.ErrMissing},
	{"newer", inventory.ErrNewer},
	{"damaged", inventory.ErrDamaged},
	{"busy", inventory.ErrBusy},
	{"conflict", inventory.ErrConflict},
	{"invalid", inventory.ErrInvalid},
}

func kindOf(err error) string {
	var m *misuse
	if errors.As(err, &m) {
		return "usage"
	}
	for _, k := range errorKinds {
		if errors.Is(err, k.is) {
			return k.kind
		}
	}
	return "io"
}

// hints is what to do about a kind of error that brings no advice of its own.
var hints = map[string]string{
	"usage":     "see rangebox --help",
	"not-found": "look at what there is with the list command of its kind",
	"missing":   "make a box with `rangebox import FILE`, or name another file with --db",
	"newer":     "use the newer rangebox that wrote it",
	"damaged":   "look at what is off with `rangebox verify`; `verify --repair` keeps a copy and rebuilds what it can",
	"busy":      "wait until the other command is done, then try again",
	"conflict":  "look at what the box holds now, then try again",
	"invalid":   "correct it and try again; nothing was changed",
	"io":        "check that the file is there and may be read or written",
}

func hintOf(err error) string {
	_, hint := spoken(err)
	return hint
}

// spoken is what is said of an error: what happened, and what to do about it,
// once: a library's sentence may bring its advice along, after a semicolon.
func spoken(err error) (message, hint string) {
	message = plain(err)
	var m *misuse
	if errors.As(err, &m) && m.hint != "" {
		return message, m.hint
	}
	var h *hinted
	if errors.As(err, &h) {
		return message, h.hint
	}
	if said, advice, ok := cutAdvice(err.Error(), message); ok && len(issuesOf(err)) < 2 {
		return said, advice
	}
	if kind := missingKind.FindStringSubmatch(message); kind != nil {
		return message, fmt.Sprintf("look at what there is with `rangebox %s list`", kind[1])
	}
	return message, hints[kindOf(err)]
}

// missingKind finds the kind of what was not found.
var missingKind = regexp.MustCompile(`^there is no (motor|igniter|battery|controller|line|rocket|supply) "`)

// cutAdvice takes the advice off a sentence: what stands after its last
// semicolon. Sentences in several lines are several, and quotes are left whole.
func cutAdvice(text, message string) (said, advice string, ok bool) {
	at := strings.LastIndex(message, "; ")
	if at < 0 || strings.Contains(text, "\n") || strings.Count(message[:at], `"`)%2 == 1 {
		return "", "", false
	}
	return message[:at], message[at+2:], true
}

func exitStatus(err error) int {
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errNotGo):
		return exitNotGo
	case kindOf(err) == "usage":
		return exitMisuse
	}
	return exitFailed
}

// jsonError is the contract's form of an error.
type jsonError struct {
	Error struct {
		Kind    string      `json:"kind"`
		Message string      `json:"message"`
		Hint    string      `json:"hint"`
		Issues  []jsonIssue `json:"issues"`
	} `json:"error"`
}

type jsonIssue struct {
	File     string `json:"file"`
	Sheet    string `json:"sheet"`
	Row      int    `json:"row"`
	Column   string `json:"column"`
	Found    string `json:"found"`
	Expected string `json:"expected"`
}

// tell writes the error once, as text or as JSON.
func tell(env *Env, err error, asJSON bool) {
	if errors.Is(err, errNotGo) {
		return
	}
	if asJSON {
		tellJSON(env.Err, err)
		return
	}
	utter(env, "", fmt.Sprintf("rangebox: %s; %s", message(err), hintOf(err)))
	issues := issuesOf(err)
	if len(issues) < 2 {
		return
	}
	for n, i := range issues[1:] { // the sentence has told the first
		if n+1 == mostIssues {
			utter(env, "  ", fmt.Sprintf("and %d more; --output json lists them all", len(issues)-mostIssues))
			break
		}
		utter(env, "  ", plain(i))
	}
}

// utter writes a sentence: at a terminal in lines of its width, else in one.
func utter(env *Env, indent, text string) {
	if !env.ErrTerminal {
		fmt.Fprintln(env.Err, indent+text)
		return
	}
	const further = "  "
	for i, line := range report.Wrap(text, max(leastLine, env.ErrWidth-len(indent+further))) {
		if i > 0 {
			line = further + line
		}
		fmt.Fprintln(env.Err, indent+line)
	}
}

// leastLine is the narrowest that text is laid out for (ours).
const leastLine = 20

// mostIssues is how many complaints about a file are listed for a person (ours).
const mostIssues = 20

func tellJSON(w io.Writer, err error) {
	out := jsonError{}
	out.Error.Kind, out.Error.Message, out.Error.Hint = kindOf(err), message(err), hintOf(err)
	out.Error.Issues = []jsonIssue{}
	var u *undecidedError
	issues := issuesOf(err)
	if errors.As(err, &u) {
		issues = u.fields
	}
	for _, i := range issues {
		out.Error.Issues = append(out.Error.Issues, jsonIssue{i.File, i.Sheet, i.Row, i.Column, i.Found, i.Expected})
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(out) // standard error is the last place to complain to
}

// message is what happened, without what to do about it.
func message(err error) string {
	message, _ := spoken(err)
	return message
}

// plain is the error's text as one clean line; the names of the classes that
// errors wrap say nothing to a person and are left out.
func plain(err error) string {
	if issues := issuesOf(err); len(issues) > 1 {
		return fmt.Sprintf("%s has %d faults, the first: %s", issues[0].File, issues.Count(), plain(issues[0]))
	}
	text := err.Error()
	for _, k := range errorKinds {
		text = strings.ReplaceAll(text, k.is.Error()+": ", "")
	}
	text = strings.ReplaceAll(text, quantity.ErrNotQuantity.Error()+": ", "")
	return strings.TrimSuffix(strings.ReplaceAll(text, "\n", "; "), ".")
}

func issuesOf(err error) importers.Issues {
	var list importers.Issues
	if errors.As(err, &list) {
		return list
	}
	var single importers.Issue
	if errors.As(err, &single) {
		return importers.Issues{single}
	}
	return nil
}
