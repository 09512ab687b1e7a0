package inventorytest

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
)

// Law says what the files of one folder, tests apart, may use. The standard
// library is allowed but for Never; of other packages only Allowed, where a path
// that ends in /... stands for all below it as well.
type Law struct {
	Allowed []string
	// Never are packages of the standard library that are not to be imported,
	// with all below them.
	Never []string
	// NoClock forbids to ask for the time.
	NoClock bool
}

// Broken parses the Go files of a folder and lists what breaks the law, as
// "file:line: what". A folder without Go files is an error: a law about nothing
// would always be kept.
func (law Law) Broken(folder string) ([]string, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, fmt.Errorf("listing %s: %w", folder, err)
	}
	var broken []string
	read := 0
	set := token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, fmt.Errorf("parsing %s: %w", name, err)
		}
		read++
		broken = append(broken, law.brokenIn(set, file)...)
	}
	if read == 0 {
		return nil, fmt.Errorf("reading %s: %w", folder, errors.Join(errNoFiles, fs.ErrNotExist))
	}
	return broken, nil
}

var errNoFiles = errors.New("no Go files")

func (law Law) brokenIn(set *token.FileSet, file *ast.File) []string {
	var broken []string
	for _, imp := range file.Imports {
		path, _ := strconv.Unquote(imp.Path.Value) // the parser took it
		if !law.allows(path) {
			broken = append(broken, fmt.Sprintf("%s: imports %s", set.Position(imp.Pos()), path))
		}
	}
	if !law.NoClock {
		return broken
	}
	ast.Inspect(file, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok && readsClock(sel) {
			broken = append(broken, fmt.Sprintf("%s: reads the clock with time.%s", set.Position(sel.Pos()), sel.Sel.Name))
		}
		return true
	})
	return broken
}

func readsClock(sel *ast.SelectorExpr) bool {
	pkg, ok := sel.X.(*ast.Ident)
	if !ok || pkg.Name != "time" {
		return false
	}
	switch sel.Sel.Name {
	case "Now", "Since", "Until", "After", "Tick", "NewTimer", "NewTicker", "AfterFunc", "Sleep":
		return true
	}
	return false
}

func (law Law) allows(path string) bool {
	if standard(path) {
		return !listed(path, law.Never, true)
	}
	return listed(path, law.Allowed, false)
}

// standard tells a path of the standard library: its first element has no dot,
// and is not our own module.
func standard(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return !strings.Contains(first, ".") && first != "rangebox"
}

func listed(path string, list []string, below bool) bool {
	for _, p := range list {
		root, all := strings.CutSuffix(p, "/...")
		if path == root || (all || below) && strings.HasPrefix(path, root+"/") {
			return true
		}
	}
	return false
}
