package command

import (
	"bytes"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/spf13/cobra"
)

// screen is a terminal that is not there.
type screen struct {
	out, err bytes.Buffer
	terminal bool
	noColour string
}

// run runs the command line in this process, on the day that the seed was
// written for.
func (s *screen) run(args ...string) int {
	s.out.Reset()
	s.err.Reset()
	return Run(&Env{
		In: strings.NewReader(""), Out: &s.out, Err: &s.err, Width: 80, OutTerminal: s.terminal,
		Now:    func() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) },
		Getenv: func(name string) string { return map[string]string{"NO_COLOR": s.noColour}[name] },
	}, args)
}

// seedBox is the demo's box in a file of the test's.
func seedBox(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "seed.box")
	s := &screen{}
	if code := s.run("demo", "--keep", path); code != 0 {
		t.Fatalf("exit status %d: %s", code, s.err.String())
	}
	return path
}

// everyCommand runs each command there is once or more, in an order in which
// they work; FILE is a name for a file of the test's.
var everyCommand = []string{
	"demo",
	"fits sundew-e17 --line cuckoo-motor --run 260mm",
	"fits sundew-e17 --line cuckoo-motor --run 10m --count 3 --units imperial",
	"fits myrtle-h90",
	"fits --igniter sedge --line north-rail --run 11in --tube 3mm",
	"fits --all --line low-rail --run 20cm",
	"line check low-rail --igniter sedge --count 3",
	"line check cuckoo-motor --igniter sedge=2 --igniter rush=1 --units imperial",
	"line check knock --igniter wisp",
	"motor list", "igniter list", "battery list", "controller list", "line list", "rocket list", "supply list",
	"motor list --units imperial", "igniter list --units imperial",
	"motor show myrtle-h90", "igniter show awn", "battery show wren", "controller show woodpecker", "line show north-rail",
	"rocket check whimbrel", "rocket check godwit --units imperial --explain", "rocket check wheatear --wind 4", "rocket choose dunlin", "rocket choose whimbrel --mount sustainer/main --all --units imperial",
	"rocket show whimbrel", "rocket show godwit --units imperial", "supply show powder",
	"motor add x --name X --mass 20g --length 30mm --core 40mm", "motor curve x CURVE", "motor edit x --set a.throat_mm=2", "motor remove x",
	"igniter add x", "igniter edit x --head 2mm", "igniter remove x",
	"battery add x --chemistry alkaline --cells 2 --open-circuit 30V", "battery edit x --low 9V", "battery remove x",
	"controller add x --set a.role=motor", "controller edit x --place pad", "controller remove x",
	"line add x --battery wren", "line edit x --lead-m 3", "line remove x",
	"rocket add x --set one/main.motor=tuft-c8", "rocket edit x --set one/main.delay_s=5", "rocket remove x",
	"supply add x --unit g", "supply edit x --level 4", "supply remove x",
	"stock list", "stock list sedge --empty", "stock log --limit 0", "stock log sedge", "stock due", "stock need", "stock due --on 2030-01-01",
	"stock in sedge 3 --place elsewhere", "stock out sedge 8 --for used --result fired", "stock undo",
	"stock count 12ea3a 2 --reason counted", "stock move dc9ccd bag --quantity 2", "stock hold dc9ccd", "stock release dc9ccd",
	"reading add sedge bridge_ohm 1.25", "reading list", "reading remove 84523a",
	"settings show", "settings show --units imperial", "settings set firing-current.margin 1.6",
	"verify", "verify --repair", "backup FILE", "merge FILE", "restore FILE", "export -o FILE.json", "export --schema -o FILE.schema", "import FILE.json", "import FILE.json --dry-run",
	"day list", "day new 2027-04-17 --site moor --wind 3", "day add 2027-04-17 whimbrel", "day show 2027-04-17",
	"day pack 2027-04-17 --dry-run", "day pack 2026-12-12 --units imperial", "day sheet 2026-12-12 -o FILE.html", "day log 2026-12-12 --point 1=fired --point 2:body/main/1=misfire,head --point 2.2=not-flown", "day remove 2026-12-12 4", "day close 2026-12-12", "day remove 2027-04-17", "stock storage", "stock storage --units imperial",
	"stock labels -o FILE.html", "stock labels sedge 12ea3a -o FILE.html", "stock due --calendar FILE.ics",
}

// TestEveryCommandFitsTheTerminal runs every command on the demo's box and sees
// that no line is wider than 80 columns, with and without colour.
func TestEveryCommandFitsTheTerminal(t *testing.T) {
	for name, s := range map[string]*screen{"plain": {}, "colour": {terminal: true}} {
		t.Run(name, func(t *testing.T) {
			box, file := seedBox(t), filepath.Join(t.TempDir(), "f")
			names := strings.NewReplacer("FILE", file, "CURVE", "testdata/curve.txt")
			for _, line := range everyCommand {
				args := strings.Fields(line)
				for i := range args {
					args[i] = names.Replace(args[i])
				}
				if code := s.run(append([]string{"--db", box}, args...)...); code != 0 {
					t.Fatalf("%s: exit status %d: %s", line, code, s.err.String())
				}
				fits(t, line, strings.NewReplacer(file, "f", box, "box").Replace(s.out.String()))
				if name == "plain" && strings.Contains(s.out.String(), "\x1b") {
					t.Errorf("%s: colour where there is no terminal", line)
				}
			}
		})
	}
}

func fits(t *testing.T, what, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		if w := twwidth.Width(line); w > 80 {
			t.Errorf("%s: a line of %d columns: %q", what, w, line)
		}
		if strings.TrimRight(line, " ") != line {
			t.Errorf("%s: blanks at the end of %q", what, line)
		}
	}
}

// leaves are the commands that do something, by their path without the program's
// name.
func leaves(c *cobra.Command, visit func(path string, c *cobra.Command)) {
	for _, sub := range c.Commands() {
		if sub.HasSubCommands() {
			leaves(sub, visit)
			continue
		}
		visit(called(sub), sub)
	}
}

// TestEveryCommandIsRun sees that the list above leaves no command out.
func TestEveryCommandIsRun(t *testing.T) {
	leaves(newRoot(&global{env: &Env{Width: 80}}), func(path string, _ *cobra.Command) {
		for _, line := range everyCommand {
			if line == path || strings.HasPrefix(line, path+" ") {
				return
			}
		}
		t.Errorf("`%s` is not in everyCommand: give it a line there, so that its width is checked", path)
	})
}

// TestHelpFitsTheTerminal asks every command for its help.
func TestHelpFitsTheTerminal(t *testing.T) {
	s := &screen{}
	paths := []string{""}
	leaves(newRoot(&global{env: &Env{Width: 80}}), func(path string, c *cobra.Command) {
		paths = append(paths, path)
		if c.Short == "" || strings.ToLower(c.Short[:1]) != c.Short[:1] {
			t.Errorf("%s: its short help %q does not begin with a small letter", path, c.Short)
		}
	})
	for _, path := range paths {
		if code := s.run(append(strings.Fields(path), "--help")...); code != 0 || s.err.Len() > 0 {
			t.Errorf("%s --help: exit status %d, %s", path, code, s.err.String())
		}
		for line := range strings.Lines(s.out.String()) {
			if w := twwidth.Width(strings.TrimRight(line, "\n")); w > 80 {
				t.Errorf("%s --help: a line of %d columns: %q", path, w, line)
			}
		}
	}
}

// TestColour sees when verdicts are coloured: at a terminal, unless told not to,
// and never in what machines read.
func TestColour(t *testing.T) {
	box := seedBox(t)
	for _, row := range []struct {
		name   string
		screen screen
		args   string
		want   bool
	}{
		{"terminal", screen{terminal: true}, "fits sundew-e17", true},
		{"chart", screen{terminal: true}, "fits --all", true},
		{"line check", screen{terminal: true}, "line check low-rail --igniter sedge", true},
		{"list", screen{terminal: true}, "stock list", true},
		{"due", screen{terminal: true}, "stock due", true},
		{"pipe", screen{}, "fits sundew-e17", false},
		{"flag", screen{terminal: true}, "fits sundew-e17 --no-color", false},
		{"NO_COLOR", screen{terminal: true, noColour: "1"}, "fits sundew-e17", false},
		{"json", screen{terminal: true}, "fits sundew-e17 --output json", false},
		{"csv", screen{terminal: true}, "stock list --output csv", false},
		{"markdown", screen{terminal: true}, "stock list --output markdown", false},
		{"export", screen{terminal: true}, "export", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := &row.screen
			if code := s.run(append([]string{"--db", box}, strings.Fields(row.args)...)...); code != 0 {
				t.Fatalf("exit status %d: %s", code, s.err.String())
			}
			if got := strings.Contains(s.out.String(), "\x1b["); got != row.want {
				t.Errorf("coloured: %v, want %v", got, row.want)
			}
		})
	}
}

// TestColourIsNeverAlone sees that text says the same with its colour taken away.
func TestColourIsNeverAlone(t *testing.T) {
	box := seedBox(t)
	for _, line := range everyCommand[1:] {
		if strings.HasPrefix(line, "motor add") { // from here on the box changes
			break
		}
		args := append([]string{"--db", box}, strings.Fields(line)...)
		plain, coloured := &screen{}, &screen{terminal: true}
		plain.run(args...)
		coloured.run(args...)
		if got := uncoloured(coloured.out.String()); got != plain.out.String() {
			t.Errorf("%s: with its colour taken away it is\n%s\nand without colour\n%s", line, got, plain.out.String())
		}
	}
}

func uncoloured(s string) string {
	for _, code := range []string{"\x1b[32m", "\x1b[33m", "\x1b[36m", "\x1b[1;31m", "\x1b[35m", "\x1b[0m"} {
		s = strings.ReplaceAll(s, code, "")
	}
	return s
}

// brokenPipe is an output that takes nothing.
type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

// TestOutputThatCannotBeWritten sees that an answer nobody gets is a failure.
func TestOutputThatCannotBeWritten(t *testing.T) {
	box := seedBox(t)
	for _, line := range []string{"fits sundew-e17", "fits --all", "line check low-rail --igniter sedge", "motor list", "motor show tuft-c8", "stock list", "stock due",
		"fits sundew-e17 --output json", "motor list --output csv", "export", "verify", "settings show", "reading list"} {
		var errText bytes.Buffer
		env := &Env{In: strings.NewReader(""), Out: brokenPipe{}, Err: &errText, Width: 80, Now: time.Now, Getenv: func(string) string { return "" }}
		if code := Run(env, append([]string{"--db", box}, strings.Fields(line)...)); code != exitFailed {
			t.Errorf("%s: exit status %d where nothing could be written (%s)", line, code, errText.String())
		}
	}
}
