package pack

import (
	"go/parser"
	"go/token"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The package is pure and can be used alone: no I/O, no clock, nothing of the
// module, nothing from outside the standard library.
func TestImportsOnlyWhatIsAllowed(t *testing.T) {
	allowed := []string{"cmp", "encoding/binary", "errors", "fmt", "math", "slices", "strings"}
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	files := 0
	for _, entry := range entries {
		name := entry.Name()
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
			if !slices.Contains(allowed, path) {
				t.Errorf("%s imports %s; allowed are %v", name, path, allowed)
			}
		}
	}
	if files == 0 {
		t.Fatal("no file was looked at")
	}
}
