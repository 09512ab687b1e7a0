package command

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var updateReadme = flag.Bool("readme", false, "write what the README's commands answer into it")

// TestReadme runs what the README shows, one after the other on the demo's box,
// and holds what it shows against what is answered. A block that ends in `...`
// shows the beginning.
func TestReadme(t *testing.T) {
	path, err := filepath.Abs("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	box := seedBox(t)
	t.Chdir(t.TempDir())
	var out []string
	lines := strings.Split(string(text), "\n")
	shown := 0
	for i := 0; i < len(lines); i++ {
		out = append(out, lines[i])
		args, ok := strings.CutPrefix(lines[i], "    $ rangebox ")
		if !ok {
			continue
		}
		shown++
		block := blockAfter(lines[i+1:])
		answered := answerLines(t, box, args, block)
		if strings.Join(answered, "\n") != strings.Join(block, "\n") && !*updateReadme {
			t.Errorf("the README shows of `%s`\n%s\nbut the answer is\n%s\n(go test ./cmd/rangebox/command -run TestReadme -readme writes it)",
				args, strings.Join(block, "\n"), strings.Join(answered, "\n"))
		}
		out = append(out, answered...)
		i += len(block)
	}
	if shown < 5 {
		t.Errorf("only %d commands are shown", shown)
	}
	if *updateReadme {
		if err := os.WriteFile(path, []byte(strings.Join(out, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// blockAfter is the indented text up to the next that is not, or the next command.
func blockAfter(lines []string) []string {
	end := 0
	for i, line := range lines {
		if line != "" && !strings.HasPrefix(line, "    ") || strings.HasPrefix(line, "    $ rangebox ") {
			break
		}
		if line != "" {
			end = i + 1
		}
	}
	return lines[:end]
}

// answerLines is what a command answers, indented, cut where the block is.
func answerLines(t *testing.T, box, args string, block []string) []string {
	t.Helper()
	s := &screen{}
	if code := s.run(append([]string{"--db", box}, strings.Fields(args)...)...); code != 0 {
		t.Fatalf("%s: exit status %d: %s", args, code, s.err.String())
	}
	var list []string
	for line := range strings.Lines(strings.TrimRight(s.out.String(), "\n")) {
		list = append(list, strings.TrimRight("    "+strings.TrimRight(line, "\n"), " "))
	}
	if n := len(block); n > 0 && block[n-1] == "    ..." && len(list) >= n {
		list = append(list[:n-1], "    ...")
	}
	return list
}

// TestReadmeExamples runs what the README has a reader type into a box of his own,
// one after the other.
func TestReadmeExamples(t *testing.T) {
	text, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	box := filepath.Join(t.TempDir(), "own.box")
	typed := 0
	for line := range strings.Lines(strings.ReplaceAll(string(text), "\\\n", " ")) {
		command, ok := strings.CutPrefix(line, "    rangebox ")
		if !ok {
			continue
		}
		typed++
		s := &screen{}
		if code := s.run(append([]string{"--db", box}, words(command)...)...); code != 0 {
			t.Errorf("%s: exit status %d: %s", command, code, s.err.String())
		}
	}
	if typed < 12 {
		t.Errorf("only %d commands are typed", typed)
	}
}

// words splits a command line at blanks that are not within quotes.
func words(line string) (list []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			list = append(list, part)
		} else {
			list = append(list, strings.Fields(part)...)
		}
	}
	return list
}
