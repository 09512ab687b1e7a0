package command_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
	bolt "go.etcd.io/bbolt"
)

type scriptCommand = func(ts *testscript.TestScript, neg bool, args []string)

// scriptCommands are what scripts can do beside testscript's own commands:
//
//	reads rangebox ARGS...          it works, and no file anywhere is touched
//	status N rangebox ARGS...       it ends with this exit status
//	refused KIND rangebox ARGS...   it is refused in text and in JSON, and no file is touched
//	jsonfields FILE PATH KEY...     the object has these fields and no others; KEY? may be absent
//	jsonis FILE PATH VALUE          the value at PATH, as JSON; `absent` where there is none
//	lot NAME ITEM [N]               puts the tail of the N-th lot of an item into $NAME
//	hold FILE, letgo FILE           another process holds the file
//	damage FILE TEXT                flips a bit wherever TEXT stands in the file
//	cut FILE N                      cuts the file to N bytes
//	future FILE                     makes the box one of a newer format
var scriptCommands = map[string]scriptCommand{
	"reads": reads, "status": status, "refused": refused, "jsonfields": jsonFields, "jsonis": jsonIs, "lot": lotTail,
	"hold": holdFile, "letgo": letGo, "damage": damageText, "cut": cutFile, "future": future,
}

// need ends a script that misuses a command.
func need(ts *testscript.TestScript, neg bool, args []string, least int, usage string) {
	if neg || len(args) < least {
		ts.Fatalf("usage: %s", usage)
	}
}

// files is every file below the script's folder: its bytes and its time.
func files(ts *testscript.TestScript) map[string]string {
	found := map[string]string{}
	root := ts.Getenv("WORK")
	ts.Check(filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		found[path] = fmt.Sprintf("%x %s", sha256.Sum256(data), info.ModTime())
		return nil
	}))
	return found
}

// untouched ends the script where a file was made, changed or taken away.
func untouched(ts *testscript.TestScript, before map[string]string, what string) {
	after := files(ts)
	if maps.Equal(before, after) {
		return
	}
	for path := range after {
		if before[path] != after[path] {
			ts.Fatalf("%s touched %s", what, path)
		}
	}
	ts.Fatalf("%s took a file away: %v before, %v after", what, slices.Sorted(maps.Keys(before)), slices.Sorted(maps.Keys(after)))
}

func run(ts *testscript.TestScript, args []string) int {
	err := ts.Exec(args[0], args[1:]...)
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &exit):
		return exit.ExitCode()
	}
	ts.Fatalf("%s: %v", strings.Join(args, " "), err)
	return -1
}

func reads(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 2, "reads rangebox ARGS...")
	before := files(ts)
	if code := run(ts, args); code != 0 {
		ts.Fatalf("exit status %d", code)
	}
	if text := ts.ReadFile("stderr"); text != "" {
		ts.Fatalf("said on standard error: %s", text)
	}
	untouched(ts, before, "a command that reads")
}

func status(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 3, "status N rangebox ARGS...")
	if code := run(ts, args[1:]); strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit status %d, want %s", code, args[0])
	}
}

// sentence is how an error is told: one line, what and where, then what to do.
var sentence = regexp.MustCompile(`^rangebox: [^\n]+; [^\n]+\n(  [^\n]+\n)*$`)

// refused runs the command in JSON, then in text, which is left to be looked at.
func refused(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 3, "refused KIND rangebox ARGS...")
	kind, want := args[0], 1
	if kind == "usage" {
		want = 2
	}
	before := files(ts)
	asJSON := append([]string{args[1], "--output", "json"}, args[2:]...)
	said := strings.Contains(strings.Join(args, " "), "--output") // the script says where it stands
	if said {
		asJSON = args[1:]
	}
	refuse(ts, asJSON, want)
	told := toldJSON(ts)
	if told.Error.Kind != kind {
		ts.Fatalf("error of kind %q, want %q", told.Error.Kind, kind)
	}
	if !said {
		refuse(ts, args[1:], want)
		sayTheSame(ts, told)
	}
	untouched(ts, before, "a refused command")
}

func refuse(ts *testscript.TestScript, args []string, want int) {
	if code := run(ts, args); code != want {
		ts.Fatalf("%v: exit status %d, want %d", args, code, want)
	}
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("a refused command said %q", out)
	}
}

func sayTheSame(ts *testscript.TestScript, told jsonError) {
	text := ts.ReadFile("stderr")
	if !sentence.MatchString(text) {
		ts.Fatalf("not one clean sentence: %q", text)
	}
	first, _, _ := strings.Cut(text, "\n")
	if first != fmt.Sprintf("rangebox: %s; %s", told.Error.Message, told.Error.Hint) {
		ts.Fatalf("text %q and JSON %+v differ", first, told.Error)
	}
}

// jsonError is the contract's form of an error, and all of it.
type jsonError struct {
	Error struct {
		Kind, Message, Hint string
		Issues              []struct {
			File, Sheet, Column, Found, Expected string
			Row                                  int
		}
	}
}

// toldJSON reads the error that a command told in JSON.
func toldJSON(ts *testscript.TestScript) jsonError {
	text := ts.ReadFile("stderr")
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	var told jsonError
	if err := dec.Decode(&told); err != nil || dec.More() {
		ts.Fatalf("standard error is not one JSON error (%v): %s", err, text)
	}
	if told.Error.Message == "" || told.Error.Hint == "" || told.Error.Issues == nil || strings.Contains(told.Error.Message, "\n") {
		ts.Fatalf("an error without message, hint or issues: %s", text)
	}
	return told
}

// at walks into a JSON document, along a path like .matches[0].findings.
func at(ts *testscript.TestScript, file, path string) (value any, ok bool) {
	dec := json.NewDecoder(strings.NewReader(ts.ReadFile(file)))
	dec.UseNumber()
	if err := dec.Decode(&value); err != nil {
		ts.Fatalf("%s is not JSON: %v", file, err)
	}
	steps := strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' })
	for _, step := range steps {
		switch v := value.(type) {
		case map[string]any:
			if value, ok = v[step]; !ok {
				return nil, false
			}
		case []any:
			n, err := strconv.Atoi(step)
			if err != nil || n >= len(v) {
				return nil, false
			}
			value = v[n]
		default:
			return nil, false
		}
	}
	return value, true
}

func jsonFields(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 3, "jsonfields FILE PATH KEY...")
	value, _ := at(ts, args[0], args[1])
	object, ok := value.(map[string]any)
	if !ok {
		ts.Fatalf("%s is no object: %v", args[1], value)
	}
	known := map[string]bool{}
	for _, key := range args[2:] {
		name, optional := strings.CutSuffix(key, "?")
		known[name] = true
		if _, there := object[name]; !there && !optional {
			ts.Fatalf("%s has no field %q; it has %v", args[1], name, slices.Sorted(maps.Keys(object)))
		}
	}
	for key := range object {
		if !known[key] {
			ts.Fatalf("%s has the field %q, which is not expected", args[1], key)
		}
	}
}

func jsonIs(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 3, "jsonis FILE PATH VALUE")
	value, ok := at(ts, args[0], args[1])
	got := "absent"
	if ok {
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		ts.Check(enc.Encode(value))
		got = strings.TrimSpace(b.String())
	}
	if got != args[2] {
		ts.Fatalf("%s is %s, want %s", args[1], got, args[2])
	}
}

// lotTail asks `stock list` as a script would.
func lotTail(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 2, "lot NAME ITEM [N]")
	n := 1
	if len(args) == 3 {
		var err error
		n, err = strconv.Atoi(args[2])
		ts.Check(err)
	}
	ts.Check(ts.Exec("rangebox", "stock", "list", args[1], "--empty", "--output", "json"))
	var lots []struct{ Lot string }
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &lots))
	if len(lots) < n {
		ts.Fatalf("%s has %d lots, no number %d", args[1], len(lots), n)
	}
	id := lots[n-1].Lot
	ts.Setenv(args[0], id[len(id)-6:])
}

// holders are the files that scripts hold, by script and file.
type holder struct{ script, file string }

var holders = map[holder]*bolt.DB{}

func holdFile(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 1, "hold FILE")
	db, err := bolt.Open(ts.MkAbs(args[0]), 0o600, nil)
	ts.Check(err)
	key := holder{ts.Name(), args[0]}
	holdersLock.Lock()
	defer holdersLock.Unlock()
	holders[key] = db
	ts.Defer(func() { _ = db.Close() })
}

func letGo(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 1, "letgo FILE")
	holdersLock.Lock()
	defer holdersLock.Unlock()
	ts.Check(holders[holder{ts.Name(), args[0]}].Close())
}

func damageText(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 2, "damage FILE TEXT")
	path := ts.MkAbs(args[0])
	data, err := os.ReadFile(path)
	ts.Check(err)
	if !bytes.Contains(data, []byte(args[1])) {
		ts.Fatalf("%s does not hold %q", args[0], args[1])
	}
	flipped := []byte(args[1])
	flipped[0] ^= 1
	ts.Check(os.WriteFile(path, bytes.ReplaceAll(data, []byte(args[1]), flipped), 0o600))
}

func cutFile(ts *testscript.TestScript, neg bool, args []string) {
	need(ts, neg, args, 2, "cut FILE N")
	n, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), n))
}
