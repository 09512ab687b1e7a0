package archive

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rangebox/importers"
	"rangebox/inventory"
)

// complaint is a document, and the one complaint that is made of it.
type complaint struct {
	name, doc string
	row       int
	column    string
	words     string // of the sentence, after the place
	before    int    // complaints before it that cannot be helped
}

const top = "{\"format\": \"rangebox-archive\", \"version\": 1,\n"

var complaints = []complaint{
	// the document
	{"empty", "", 1, "", "the file ends before the document does; it was cut short", 0},
	{"cut short", top + `"motors": [{"handle": "a-8"`, 2, "motors[0]", "the file ends before the document does", 0},
	{"cut short in a text", top + `"motors": [{"handle": "a-`, 2, "motors[0].handle", "the file ends before the document does", 0},
	{"not JSON", top + "\"motors\": [\n{handle: 1}]}", 3, "motors[0]", "this is no JSON: invalid character 'h'", 0},
	{"a line end in a text", top + "\"motors\": [{\"maker\": \"a\nb\"}]}", 2, "motors[0].maker", "this is no JSON: invalid character '\\n' in string literal", 0},
	{"a comma too many", top + `"motors": [{"handle": "a-8",}]}`, 2, "motors[0]", "this is no JSON", 0},
	{"NaN", top + `"motors": [{"mass_g": NaN}]}`, 2, "motors[0].mass_g", "this is no JSON: invalid character 'N'", 0},
	{"leading zero", top + `"motors": [{"lag_s": 07}]}`, 2, "motors[0]", "this is no JSON: invalid character '7'", 0},
	{"an array", `[{"handle": "a-8"}]`, 1, "", "found an array, expected an archive: an object that begins with {", 0},
	{"a second document", top + "\"motors\": []}\n\n{}", 4, "", "found an object, expected nothing after the document's last }", 0},
	{"rubbish behind", top + "\"motors\": []}\nrest", 3, "", "this is no JSON: invalid character 'r'", 0},
	{"not UTF-8", top + "\"motors\": [{\"handle\": \"a-8\",\n\"notes\": \"\xe4\"}]}", 3, "motors[0].notes", "not valid UTF-8 text; save the file as UTF-8", 0},
	{"UTF-8 cut at the end", top + "\"motors\": [{\"notes\": \"\xf0\x9f", 2, "motors[0].notes", "not valid UTF-8 text", 0},
	{"first half of a character", top + "\"motors\": [{\"notes\":\n\"\\ud83d \"}]}", 3, "motors[0].notes", "half a character: an escape of \\ud800 to \\udfff comes in pairs", 0},
	{"second half of a character", top + `"motors": [{"notes": "\ude80"}]}`, 2, "motors[0].notes", "half a character", 0},
	{"endless text", top + `"motors": [{"notes": "` + strings.Repeat("x", 3<<20) + `"}]}`, 2, "motors[0].notes", "more than 1 MiB without the end of a value", 0},
	{"endless nothing", top + strings.Repeat(" ", 3<<20) + "}", 1, "", "more than 1 MiB without the end of a value", 0},
	{"too deep", top + `"motors": [{"mass_g": ` + strings.Repeat("[", 1000) + strings.Repeat("]", 1000) + `}]}`, 2, "motors[0].mass_g", "nested more than 64 deep", 1},
	// its head
	{"no format", "{\n\"version\": 1, \"motors\": [{\"colour\": 1}]}", 1, "format", `the document has no "format"; an archive begins with {"format": "rangebox-archive", "version": 1`, 0},
	{"another format", "{\n\"format\": \"other\"}", 2, "format", `found "other", expected "rangebox-archive", the mark of an archive`, 0},
	{"another format after all else", "{\"version\": 1, \"things\": [{}],\n\"format\": \"other\"}", 2, "format", `found "other", expected "rangebox-archive"`, 0},
	{"another format of a higher version", "{\"version\": 3,\n\"format\": \"other\"}", 2, "format", `found "other", expected "rangebox-archive"`, 0},
	{"format of another type", "{\n\"format\": 1}", 2, "format", `found 1, expected "rangebox-archive"`, 0},
	{"no version", `{"format": "rangebox-archive"}`, 1, "version", `the document has no "version"`, 0},
	{"version 0", "{\"format\": \"rangebox-archive\",\n\"version\": 0}", 2, "version", "found 0, expected version 1", 0},
	{"version 1.5", "{\"format\": \"rangebox-archive\",\n\"version\": 1.5}", 2, "version", "found 1.5, expected version 1", 0},
	{"version in quotes", "{\"format\": \"rangebox-archive\",\n\"version\": \"1\"}", 2, "version", `found "1", expected version 1`, 0},
	{"newer", "{\"format\": \"rangebox-archive\",\n\"version\": 2, \"launchers\": []}", 2, "version", "the archive is of version 2 and this program reads version 1; read it with a newer program", 0},
	{"newer, said at the end", "{\"launchers\": [],\n\"version\": 3, \"moons\": 1, \"format\": \"rangebox-archive\"}", 2, "version", "the archive is of version 3", 0},
	// keys
	{"unknown section", top + "\"rocket\":\n[{}]}", 2, "rocket", `unknown field "rocket" of an archive; did you mean "rockets"?`, 0},
	{"unknown section, nothing near", top + `"zzzzzz": {"a": [1, {}]}}`, 2, "zzzzzz", `unknown field "zzzzzz" of an archive`, 0},
	{"unknown field", top + "\"motors\": [{\"handle\": \"a-8\"},\n{\"handle\": \"b-4\",\n\"diametre_mm\":\n18}]}", 4, "motors[1].diametre_mm", `unknown field "diametre_mm" of a motor; did you mean "diameter_mm"?`, 0},
	{"unknown field of a part", top + `"motors": [{"nozzles": [{"throat": 2}]}]}`, 2, "motors[0].nozzles[0].throat", `unknown field "throat" of a nozzle; did you mean "throat_mm"?`, 0},
	{"unknown field, controls in it", top + `"motors": [{"\u001b[31mq": 2}]}`, 2, "motors[0].?[31mq", `unknown field "?[31mq" of a motor`, 0},
	{"section twice", top + "\"motors\": [],\n\"motors\": []}", 3, "motors", `"motors" stands twice in one object; keep one of them`, 0},
	{"field twice", top + "\"motors\": [{\"mass_g\": 1,\n\"mass_g\": 1}]}", 3, "motors[0].mass_g", `"mass_g" stands twice in one object`, 0},
	{"name of a pair twice", top + "\"settings\": {\"priors\": {\"a\": 1,\n\"a\": 2}}}", 3, "settings.priors.a", `"a" stands twice in one object`, 0},
	// types
	{"section of another type", top + `"motors": {"handle": "a-8"}}`, 2, "motors", "found an object, expected an array of motors", 0},
	{"section null", top + `"motors": null}`, 2, "motors", "null stands here; leave the field out where it is not known", 0},
	{"record of another type", top + "\"motors\": [{},\n\"a-8\"]}", 3, "motors[1]", `found "a-8", expected an object, one of the motors`, 0},
	{"record null", top + `"motors": [null]}`, 2, "motors[0]", "null stands here", 0},
	{"settings in an array", top + `"settings": [{}]}`, 2, "settings", "found an array, expected an object", 0},
	{"number in quotes", top + "\"motors\": [{\"handle\": \"a-8\",\n\"nozzles\": [{\"throat_mm\": \"2.4\"}]}]}", 3, "motors[0].nozzles[0].throat_mm", `found "2.4", expected a number in mm`, 0},
	{"number null", top + `"motors": [{"mass_g": null}]}`, 2, "motors[0].mass_g", "null stands here; leave the field out", 0},
	{"number as an object", top + `"motors": [{"mass_g": {"g": [1]}}]}`, 2, "motors[0].mass_g", "found an object, expected a number in g", 0},
	{"text as a number", top + `"motors": [{"maker": 12}]}`, 2, "motors[0].maker", "found 12, expected text", 0},
	{"word as a flag", top + `"motors": [{"ignition": true}]}`, 2, "motors[0].ignition", "found true, expected one of low, medium, high", 0},
	{"flag in quotes", top + `"lots": [{"no_expiry": "true"}]}`, 2, "lots[0].no_expiry", `found "true", expected true or false`, 0},
	{"list of another type", top + `"motors": [{"delays_s": 5}]}`, 2, "motors[0].delays_s", "found 5, expected a list of numbers in s", 0},
	{"list with another type", top + "\"motors\": [{\"delays_s\": [5,\n\"P\"]}]}", 3, "motors[0].delays_s[1]", `found "P", expected a list of numbers in s`, 0},
	{"list with null", top + `"motors": [{"head_ends": ["open", null]}]}`, 2, "motors[0].head_ends[1]", "null stands here", 0},
	{"part of another type", top + `"motors": [{"curve": {"t_s": 0}}]}`, 2, "motors[0].curve", "found an object, expected an array of objects", 0},
	{"part as an array", top + `"motors": [{"curve": [[0, 5.1]]}]}`, 2, "motors[0].curve[0]", "found an array, expected an object: a curve point", 0},
	{"single part of another type", top + `"readings": [{"of": "motor/a-8"}]}`, 2, "readings[0].of", `found "motor/a-8", expected an object`, 0},
	{"pairs of another type", top + `"settings": {"priors": 1}}`, 2, "settings.priors", "found 1, expected an object of names and values", 0},
	{"pair of another type", top + `"settings": {"priors": {"composite": [9, 1]}}}`, 2, "settings.priors.composite", "found an array, expected text, a number, true or false", 0},
	{"pair null", top + `"settings": {"priors": {"composite": null}}}`, 2, "settings.priors.composite", "null stands here", 0},
	{"half a point", top + "\"motors\": [{\"curve\": [{\"t_s\": 0, \"thrust_n\": 0},\n{\n\"t_s\": 1}]}]}", 3, "motors[0].curve[1].thrust_n", "thrust_n is missing; every curve point has it", 0},
	// values
	{"below the sign", top + `"motors": [{"mass_g": 0}]}`, 2, "motors[0].mass_g", "mass_g is 0; it must be above 0, and is left out where it is not known", 0},
	{"above the most", top + `"igniters": [{"head_mm": 100.1}]}`, 2, "igniters[0].head_mm", "head_mm is 100.1; it can be at most 100", 0},
	{"exponent out of reason", top + `"motors": [{"mass_g": 1e999999999}]}`, 2, "motors[0].mass_g", "has an exponent out of range", 0},
	{"too large", top + `"motors": [{"mass_g": 1e30}]}`, 2, "motors[0].mass_g", "is too large", 0},
	{"too many digits", top + `"motors": [{"mass_g": 1.` + strings.Repeat("1", 100) + `}]}`, 2, "motors[0].mass_g", "has too many digits", 0},
	{"half a gauge", top + `"igniters": [{"lead_awg": 24.5}]}`, 2, "igniters[0].lead_awg", "is not a whole number", 0},
	{"delay 0", top + `"motors": [{"delays_s": [3, 0]}]}`, 2, "motors[0].delays_s[1]", "delays_s is 0; it must be above 0", 0},
	{"unknown word", top + `"motors": [{"ignition": "hot"}]}`, 2, "motors[0].ignition", `found "hot", expected one of low, medium, high`, 0},
	{"unknown word in a list", top + `"motors": [{"head_ends": ["open", "shut"]}]}`, 2, "motors[0].head_ends[1]", `found "shut", expected a list of delay, open, plugged`, 0},
	{"no handle", top + `"motors": [{"handle": "A 8"}]}`, 2, "motors[0].handle", `"A 8" is not a handle; use 1 to 40 of a-z, 0-9, dot and dash`, 0},
	{"no date", top + `"lots": [{"expires": "2027-02-29"}]}`, 2, "lots[0].expires", `"2027-02-29" is not a date`, 0},
	{"no time", top + `"events": [{"at": "yesterday"}]}`, 2, "events[0].at", `found "yesterday", expected a time as in 2027-04-17T10:30:00Z`, 0},
	{"a time whose year has five digits in UTC", top + `"events": [{"at": "9999-12-31T23:59:59-01:00"}]}`, 2, "events[0].at", `found "9999-12-31T23:59:59-01:00", expected a time as in`, 0},
	{"the id that means none", top + `"lots": [{"id": "00000000-0000-0000-0000-000000000000"}]}`, 2, "lots[0].id", "expected an id of the form", 0},
	{"no id", top + `"lots": [{"id": "17"}]}`, 2, "lots[0].id", `found "17", expected an id of the form`, 0},
	{"a lot by handle", top + `"events": [{"lot": "a-8"}]}`, 2, "events[0].lot", `found "a-8", expected the id of a lot`, 0},
	{"too long", top + `"motors": [{"notes": "` + strings.Repeat("x", 64<<10+1) + `"}]}`, 2, "motors[0].notes", "notes is longer than 64 KiB", 0},
}

// TestComplaints holds every complaint to its place and its words.
func TestComplaints(t *testing.T) {
	for _, c := range complaints {
		t.Run(c.name, func(t *testing.T) {
			batch, err := Read(strings.NewReader(c.doc), "box.json")
			issues, ok := importers.AsIssues(err)
			if !ok || len(issues) != c.before+1 || batch != nil {
				t.Fatalf("want one complaint and no batch, got %v and %v", batch, err)
			}
			got := issues[c.before]
			if got.File != "box.json" || got.Row != c.row || got.Column != c.column {
				t.Errorf("place: got %s row %d %q, want row %d %q", got.File, got.Row, got.Column, c.row, c.column)
			}
			if !strings.Contains(got.Error(), c.words) {
				t.Errorf("words: got %q, want %q", got.Error(), c.words)
			}
			class := inventory.ErrInvalid
			if strings.HasPrefix(c.name, "newer") {
				class = inventory.ErrNewer
			}
			if !errors.Is(err, class) {
				t.Errorf("class: %v does not wrap %v", err, class)
			}
		})
	}
}

// TestNoComplaintIsMissing reads the sentences out of the code that reads
// archives, and sees that the table above has met each of them.
func TestNoComplaintIsMissing(t *testing.T) {
	var met strings.Builder
	meet := func(doc string) {
		_, err := Read(strings.NewReader(doc), "box.json")
		issues, _ := importers.AsIssues(err)
		for _, i := range issues {
			met.WriteString(i.Error() + "\n" + i.Found + "\n" + i.Expected + "\n")
		}
	}
	for _, c := range complaints {
		meet(c.doc)
	}
	meet(top + `"motors": [` + strings.Repeat("1, ", maxIssues+1) + "{}]}")
	sentences := sentencesOf(t, "read.go", "fields.go", "tokens.go", "source.go", "escape.go")
	if len(sentences) < 15 {
		t.Fatalf("the code has more than %d complaints", len(sentences))
	}
	for _, s := range sentences {
		if !regexp.MustCompile(s).MatchString(met.String()) {
			t.Errorf("no row of the table meets the complaint %q", s)
		}
	}
}

var verb = regexp.MustCompile(`%[a-z]`)

// sentencesOf gives the texts of complaints as patterns: what is wrapped with an
// error, and what is expected in place of what was found.
func sentencesOf(t *testing.T, files ...string) []string {
	t.Helper()
	var sentences []string
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			for _, arg := range call.Args {
				lit, _ := arg.(*ast.BasicLit)
				if lit == nil || lit.Kind != token.STRING {
					continue
				}
				text, _ := strconv.Unquote(lit.Value)
				reason, wrapped := strings.CutPrefix(text, "%w: ")
				name := calleeName(call)
				if wrapped || text != "" && (name == "wrongType" || name == "complain") {
					sentences = append(sentences, verb.ReplaceAllString(regexp.QuoteMeta(reason), `(?s:.*?)`))
				}
			}
			return true
		})
	}
	return sentences
}

func calleeName(call *ast.CallExpr) string {
	if sel, ok := call.Fun.(*ast.SelectorExpr); ok {
		return sel.Sel.Name
	}
	return ""
}
