package inventorytest_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rangebox/inventory/inventorytest"
)

// TestLawIsBroken sees that a law finds what it is there for.
func TestLawIsBroken(t *testing.T) {
	law := inventorytest.Law{Allowed: []string{"rangebox/inventory", "rangebox/importers/..."}, Never: []string{"os", "net"}, NoClock: true}
	for _, c := range []struct{ name, body, want string }{
		{"standard library", `import "strings"; var _ = strings.ToUpper`, ""},
		{"allowed", `import _ "rangebox/inventory"`, ""},
		{"allowed with all below", `import _ "rangebox/importers/archive"`, ""},
		{"of a module", `import _ "example.org/x"`, "imports example.org/x"},
		{"another folder of ours", `import _ "rangebox/compat"`, "imports rangebox/compat"},
		{"below an allowed one", `import _ "rangebox/inventory/boltstore"`, "imports rangebox/inventory/boltstore"},
		{"never", `import _ "os"`, "imports os"},
		{"below never", `import _ "net/http"`, "imports net/http"},
		{"the clock", `import "time"; var _ = time.Now()`, "reads the clock with time.Now"},
		{"time without the clock", `import "time"; var _ = time.UTC`, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "a.go", "package a; "+c.body)
			write(t, dir, "a_test.go", `package a; import _ "example.org/tests/may"`)
			broken, err := law.Broken(dir)
			if err != nil {
				t.Fatal(err)
			}
			got := strings.Join(broken, "\n")
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestLawAboutNothing(t *testing.T) {
	if _, err := (inventorytest.Law{}).Broken(t.TempDir()); err == nil {
		t.Error("a folder without Go files keeps the law")
	}
}

// TestForTestsOnly sees that no program links this package or what it imports.
func TestForTestsOnly(t *testing.T) {
	keeps := inventorytest.Law{Allowed: []string{"pgregory.net/rapid", "github.com/google/uuid", "rangebox/inventory", "rangebox/inventory/quantity"}}
	broken, err := keeps.Broken(".")
	if err != nil || len(broken) > 0 {
		t.Errorf("inventorytest: %v %v", broken, err)
	}
	folders := 0
	err = filepath.WalkDir("../..", func(path string, d os.DirEntry, err error) error {
		if err != nil || !d.IsDir() || strings.HasPrefix(d.Name(), ".git") || d.Name() == "testdata" {
			return err
		}
		sources, _ := filepath.Glob(filepath.Join(path, "*.go"))
		for _, name := range sources {
			text, err := os.ReadFile(name)
			if err != nil {
				return err
			}
			if strings.Contains(string(text), `"rangebox/inventory/inventorytest"`) && !strings.HasSuffix(name, "_test.go") {
				t.Errorf("%s imports inventorytest and is no test", name)
			}
		}
		if len(sources) > 0 {
			folders++
		}
		return nil
	})
	if err != nil || folders < 3 {
		t.Errorf("walked through %d folders of code: %v", folders, err)
	}
}

func write(t *testing.T, dir, name, body string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
}
