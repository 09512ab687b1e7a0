package command

import (
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
)

// TestErrorKindsHaveStories sees that no kind of error is without a script in
// which a command is refused for it, in text and in JSON.
func TestErrorKindsHaveStories(t *testing.T) {
	want := map[string]bool{"usage": true, "io": true}
	for _, k := range errorKinds {
		want[k.kind] = true
	}
	for _, kind := range []string{"usage", "not-found", "invalid", "conflict", "busy", "damaged", "newer", "missing", "io"} {
		if !want[kind] {
			t.Errorf("the contract's kind %q is not among the program's", kind)
		}
		if hints[kind] == "" {
			t.Errorf("the kind %q has no hint of its own", kind)
		}
	}
	told := kindsRefused(t)
	if !maps.Equal(told, want) {
		t.Errorf("the scripts tell of %v; the program's kinds are %v", slices.Sorted(maps.Keys(told)), slices.Sorted(maps.Keys(want)))
	}
}

// kindsRefused are the kinds that scripts refuse something for.
func kindsRefused(t *testing.T) map[string]bool {
	t.Helper()
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	line := regexp.MustCompile(`(?m)^refused ([a-z-]+) rangebox`)
	told := map[string]bool{}
	for _, name := range scripts {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range line.FindAllSubmatch(text, -1) {
			told[string(found[1])] = true
		}
	}
	return told
}
