package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// What is shown is in US spelling. Lists of what people type hold both, and are left
// out: all of procedures, and the word lists of the gate.
func TestSpelling(t *testing.T) {
	british := regexp.MustCompile(`(?i)\b(vapours?|metres?|draughts?|smoulder\w*|aluminium|colou?rs?ed|colours?|centres?|grey|odours?|moulds?|tyres?)\b`)
	typed := []string{"vessels.go", "carriers.go", "spelling.go", "surroundings.go"}
	read := 0
	for _, top := range []string{"../../recommend", "../../cmd", "../../data"} {
		err := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") || strings.Contains(path, "testdata") || slices.Contains(typed, filepath.Base(path)) {
				return err
			}
			switch {
			case strings.HasSuffix(path, ".csv") && filepath.Base(path) != "steels.csv":
				text, err := os.ReadFile(path)
				if m := british.Find(text); m != nil {
					t.Errorf("%s says %q", path, m)
				}
				read++
				return err
			case strings.HasSuffix(path, ".go"):
				file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
				if err != nil {
					return err
				}
				read++
				ast.Inspect(file, func(n ast.Node) bool {
					if s, ok := n.(*ast.BasicLit); ok && s.Kind == token.STRING && strings.Contains(s.Value, " ") {
						if m := british.FindString(s.Value); m != "" {
							t.Errorf("%s says %q in %.60s", path, m, s.Value)
						}
					}
					return true
				})
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if read < 100 {
		t.Errorf("%d files read", read)
	}
}
