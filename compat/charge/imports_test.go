package charge

import (
	"go/parser"
	"go/token"
	"os"
	"strconv"
	"strings"
	"testing"
)

// allowed are the imports outside the standard library that the package's own
// files may have: it must stay usable alone.
var allowed = map[string]bool{}

// impure are those of the standard library that would bring in a clock, chance
// or the outside.
var impure = []string{"os", "io", "net", "time", "math/rand", "syscall", "log", "bufio", "plugin", "unsafe", "testing", "embed"}

func TestImports(t *testing.T) {
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	files := 0
	for _, e := range entries {
		name := e.Name()
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			continue
		}
		files++
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, spec := range file.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if why := refused(path); why != "" {
				t.Errorf("%s imports %s: %s", name, path, why)
			}
		}
	}
	if files == 0 {
		t.Fatal("no files looked at")
	}
}

// refused says why a path may not be imported, or nothing.
func refused(path string) string {
	if allowed[path] {
		return ""
	}
	if first, _, _ := strings.Cut(path, "/"); strings.Contains(first, ".") || first == "rangebox" {
		return "only the standard library and the packages listed"
	}
	for _, p := range impure {
		if path == p || strings.HasPrefix(path, p+"/") {
			return "the package is pure"
		}
	}
	return ""
}

func TestRefused(t *testing.T) {
	for path, want := range map[string]bool{
		"math": false, "errors": false, "go/token": false,
		"os": true, "time": true, "net/http": true, "math/rand/v2": true,
		"go.etcd.io/bbolt": true, "rangebox/inventory": true,
	} {
		if got := refused(path) != ""; got != want {
			t.Errorf("%s: refused %v", path, got)
		}
	}
}
