package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// goFile is a Go file of the program, tests left out.
type goFile struct {
	name    string // from the top of the repository, with slashes
	pkg     string // folder, such as "recommend/arc"
	imports []string
	file    *ast.File
}

// sources parses every Go file of the repository that is not a test.
func sources(t *testing.T) []goFile {
	t.Helper()
	var all []goFile
	set := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && strings.HasPrefix(e.Name(), ".") && p != root:
			return fs.SkipDir
		case e.IsDir() || !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go"):
			return nil
		}
		f, err := parser.ParseFile(set, p, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		s := goFile{name: filepath.ToSlash(rel), file: f}
		s.pkg = path.Dir(s.name)
		for _, i := range f.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			s.imports = append(s.imports, name)
		}
		all = append(all, s)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 50 {
		t.Fatalf("only %d files were found", len(all))
	}
	return all
}

// within reports whether a path is one of the trees, or below one.
func within(p string, trees ...string) bool {
	return slices.ContainsFunc(trees, func(tree string) bool { return p == tree || strings.HasPrefix(p, tree+"/") })
}

const driver = "modernc.org/sqlite"

// broken says which layer a file breaks by an import; "" where it may.
func broken(pkg, imported string) string {
	house := within(imported, "beadwright")
	switch {
	case within(imported, driver, "database/sql") && !within(pkg, "procedures/store"):
		return "only procedures/store knows the database"
	case within(imported, "beadwright/procedures/store") && !within(pkg, "procedures/store") && pkg != "cmd/beadwright":
		return "only cmd/beadwright opens the notebook"
	case within(imported, "beadwright/cmd") && !within(pkg, "cmd"):
		return "nothing imports the commands"
	case within(pkg, "cmd/beadwright/web") && (house && imported != "beadwright/procedures" && !within(imported, "beadwright/recommend") || within(imported, "os", "os/exec")):
		return "the page knows what a welder writes down and what is said to it; the rest it asks of its bench"
	case within(pkg, "data") && house:
		return "data imports no house package"
	case pkg == "procedures" && house:
		return "procedures imports no house package"
	case pkg == "procedures" && within(imported, "os", "net", "io/fs", "io/ioutil", "path/filepath", "embed"):
		return "procedures touches no files and no network"
	case within(pkg, "procedures/sheet", "procedures/picture", "cmd/beadwright/paper") && (house && imported != "beadwright/procedures" || within(imported, "os", "net", "io/fs", "path/filepath")):
		return "sheets, pictures and paper know procedures alone, and touch no files"
	case within(pkg, "procedures/store") && house && !within(imported, "beadwright/procedures"):
		return "procedures/store imports procedures alone"
	case within(pkg, "recommend") && house && !(imported == "beadwright/procedures" || within(imported, "beadwright/data", "beadwright/recommend")):
		return "recommend imports procedures, data and itself"
	case within(pkg, "recommend", "data") && within(imported, "os", "net", "io/ioutil", "math/rand", "syscall"):
		return "recommend and data do no input or output, and draw no lots"
	case within(imported, "net/http", "html/template") && !within(pkg, "cmd/beadwright"):
		return "only the page speaks HTTP"
	}
	return ""
}

// TestLayers holds the direction of imports.
func TestLayers(t *testing.T) {
	for _, s := range sources(t) {
		if s.pkg == "." || !within(s.pkg, "cmd/beadwright", "procedures", "recommend", "data") {
			t.Errorf("%s: Go files belong into cmd/beadwright, procedures, recommend or data", s.name)
		}
		for _, i := range s.imports {
			if why := broken(s.pkg, i); why != "" {
				t.Errorf("%s imports %s: %s", s.name, i, why)
			}
		}
	}
}

// TestLayersSeen makes sure that the rules forbid what they are there to forbid.
func TestLayersSeen(t *testing.T) {
	for _, c := range []struct{ pkg, imported string }{
		{"data", "beadwright/procedures"}, {"data", "os"}, {"procedures", "beadwright/data"}, {"procedures", "database/sql"}, {"procedures", "net/http"}, {"procedures", "os"},
		{"procedures/sheet", "os"}, {"procedures/picture", "beadwright/data"}, {"cmd/beadwright/paper", "beadwright/recommend"}, {"cmd/beadwright/paper", "os"}, {"procedures/store", "beadwright/recommend"}, {"procedures/store", "net/http"}, {"recommend", "beadwright/procedures/store"}, {"recommend/arc", "os"}, {"recommend/learn", "database/sql"},
		{"recommend/caution", "net/http"}, {"recommend", driver}, {"cmd/beadwright", driver}, {"cmd/beadwright", "database/sql"}, {"cmd/beadwright/web", "beadwright/procedures/store"},
		{"recommend", "beadwright/cmd/beadwright/web"}, {"cmd/beadwright/web", "beadwright/procedures/sheet"}, {"cmd/beadwright/web", "beadwright/data"}, {"cmd/beadwright/web", "os"},
	} {
		if broken(c.pkg, c.imported) == "" {
			t.Errorf("%s may import %s", c.pkg, c.imported)
		}
	}
	for _, c := range []struct{ pkg, imported string }{
		{"procedures/store", driver}, {"procedures/store", "beadwright/procedures"}, {"recommend", "beadwright/data"}, {"recommend/arc", "beadwright/procedures"}, {"recommend", "beadwright/recommend/arc"},
		{"cmd/beadwright", "beadwright/procedures/store"}, {"cmd/beadwright", "os"}, {"cmd/beadwright", "beadwright/cmd/beadwright/web"}, {"cmd/beadwright/web", "net/http"}, {"data", "embed"}, {"data", "encoding/csv"},
	} {
		if why := broken(c.pkg, c.imported); why != "" {
			t.Errorf("%s may not import %s: %s", c.pkg, c.imported, why)
		}
	}
}

// TestNoClock lets nothing below the commands and the notebook ask what time it
// is, so that equal questions get equal answers.
func TestNoClock(t *testing.T) {
	clock := []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Sleep"}
	for _, s := range sources(t) {
		if !within(s.pkg, "recommend", "data") && s.pkg != "procedures" {
			continue
		}
		for _, i := range s.file.Imports {
			if i.Path.Value == `"time"` && i.Name != nil {
				t.Errorf("%s imports time under another name", s.name)
			}
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if p, ok := sel.X.(*ast.Ident); ok && p.Name == "time" && slices.Contains(clock, sel.Sel.Name) {
				t.Errorf("%s calls time.%s", s.name, sel.Sel.Name)
			}
			return true
		})
	}
}

// TestTop lets nothing else stand at the top of the repository.
func TestTop(t *testing.T) {
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		switch name := e.Name(); {
		case strings.HasPrefix(name, "."):
		case slices.Contains([]string{"cmd", "procedures", "recommend", "data", "testdata"}, name) && e.IsDir():
		case slices.Contains([]string{"go.mod", "go.sum", "README.md", "DEVELOPERS.md"}, name) && !e.IsDir():
		case name == "beadwright" && !e.IsDir(): // built here, and ignored by .gitignore
		default:
			t.Errorf("%s stands at the top", name)
		}
	}
}

// TestNames keeps folders and files to one noun each.
func TestNames(t *testing.T) {
	for _, s := range sources(t) {
		for part := range strings.SplitSeq(strings.TrimSuffix(s.name, ".go"), "/") {
			if slices.Contains([]string{"util", "utils", "common", "helper", "helpers", "misc"}, part) {
				t.Errorf("%s: %s says nothing", s.name, part)
			}
		}
		if name := s.file.Name.Name; name != path.Base(s.pkg) && s.pkg != "cmd/beadwright" {
			t.Errorf("%s: package %s in folder %s", s.name, name, s.pkg)
		}
	}
}
