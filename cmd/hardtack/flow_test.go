package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const root = "../.."

// The data flow is the import order. Relaxing this list is a design decision,
// not a build fix.
var flow = []string{"seed", "pricing", "route", "db", "api", "cmd"}

// source is a parsed file of the program, tests among them.
type source struct {
	path string // from the root of the tree, with slashes
	fset *token.FileSet
	file *ast.File
}

func (s source) top() string  { top, _, _ := strings.Cut(s.path, "/"); return top }
func (s source) isTest() bool { return strings.HasSuffix(s.path, "_test.go") }
func (s source) isPure() bool {
	return !s.isTest() && (s.top() == "pricing" || s.top() == "route")
}
func (s source) at(p token.Pos) string {
	pos := s.fset.Position(p)
	return s.path + ":" + itoa(pos.Line)
}

func sources(t *testing.T) []source {
	t.Helper()
	var out []source
	fset := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && p != root && (strings.HasPrefix(name, ".") || name == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		f, err := parser.ParseFile(fset, p, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, p)
		out = append(out, source{filepath.ToSlash(rel), fset, f})
		return err
	})
	require.NoError(t, err)
	require.NotEmpty(t, out)
	return out
}

func imports(s source) map[string]token.Pos {
	out := map[string]token.Pos{}
	for _, i := range s.file.Imports {
		out[strings.Trim(i.Path.Value, `"`)] = i.Pos()
	}
	return out
}

func TestImportsFollowTheDataFlow(t *testing.T) {
	t.Parallel()
	for _, s := range sources(t) {
		from := slices.Index(flow, s.top())
		require.GreaterOrEqual(t, from, 0, "%s: code lives in one of %v", s.path, flow)
		for imp, pos := range imports(s) {
			ours, inside := strings.CutPrefix(imp, "hardtack/")
			if !inside {
				continue
			}
			to, _, _ := strings.Cut(ours, "/")
			require.LessOrEqual(t, slices.Index(flow, to), from, "%s: %s must not import %s", s.at(pos), s.top(), imp)
			require.False(t, s.top() == "seed", "%s: seed is data only and must not import %s", s.at(pos), imp)
		}
	}
}

// The picture on top of both documents shows the same order.
func TestThePictureShowsTheDataFlow(t *testing.T) {
	t.Parallel()
	for _, document := range []string{"README.md", "DEVELOPERS.md"} {
		b, err := os.ReadFile(filepath.Join(root, document))
		require.NoError(t, err)
		_, picture, ok := strings.Cut(string(b), "\n seed ──▶")
		require.True(t, ok, "%s has no picture", document)
		line, rest, _ := strings.Cut(picture, "\n")
		shown := strings.FieldsFunc("seed"+line, func(r rune) bool { return strings.ContainsRune("─▶ ", r) })
		require.Equal(t, flow, shown, document)
		pure, effects := strings.Index(rest, "pure: no SQL, HTTP, clock, globals"), strings.Index(rest, "effects")
		require.True(t, 0 <= pure && pure < effects, "%s: what is pure comes before what has effects", document)
	}
}

// The pure part neither asks the machine nor keeps state between calls.
func TestPricingAndRouteArePure(t *testing.T) {
	t.Parallel()
	effects := []string{
		"database/sql", "net", "net/http", "os", "os/exec", "os/signal", "os/user", "syscall",
		"log", "log/slog", "flag", "expvar", "path/filepath",
	}
	for _, s := range sources(t) {
		if !s.isPure() {
			continue
		}
		for imp, pos := range imports(s) {
			require.NotContains(t, effects, imp, "%s: pricing and route are pure and must not import %s", s.at(pos), imp)
		}
		for _, call := range impureCalls(s) {
			t.Errorf("%s", call)
		}
	}
}

// What they import must not reach the network, a database or other programs either.
func TestPricingAndRouteReachNoEffects(t *testing.T) {
	t.Parallel()
	cmd := exec.Command("go", "list", "-deps", "./pricing/...", "./route/...")
	cmd.Dir = root
	out, err := cmd.Output()
	require.NoError(t, err)
	deps := strings.Fields(string(out))
	require.Contains(t, deps, "hardtack/pricing")
	for _, banned := range []string{"database/sql", "net/http", "os/exec"} {
		require.NotContains(t, deps, banned)
	}
}

// impureCalls finds the clock and the shared random source.
func impureCalls(s source) []string {
	clock := []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer"}
	var out []string
	ast.Inspect(s.file, func(n ast.Node) bool {
		sel, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		pkg, ok := sel.X.(*ast.Ident)
		if !ok {
			return true
		}
		name := sel.Sel.Name
		switch importOf(s.file, pkg.Name) {
		case "time":
			if slices.Contains(clock, name) {
				out = append(out, s.at(n.Pos())+": time."+name+": the day or moment is an argument here")
			}
		case "math/rand", "math/rand/v2":
			if ast.IsExported(name) && !strings.HasPrefix(name, "New") && !slices.Contains(randTypes, name) {
				out = append(out, s.at(n.Pos())+": rand."+name+": the random source is an argument here")
			}
		}
		return true
	})
	return out
}

var randTypes = []string{"Rand", "Source", "PCG", "ChaCha8", "Zipf"}

// importOf is the path a file imports under a name, or nothing.
func importOf(f *ast.File, name string) string {
	for _, i := range f.Imports {
		p := strings.Trim(i.Path.Value, `"`)
		as := path.Base(strings.TrimSuffix(p, "/v2"))
		if i.Name != nil {
			as = i.Name.Name
		}
		if as == name {
			return p
		}
	}
	return ""
}

func TestOnePackageCommentEach(t *testing.T) {
	t.Parallel()
	type pkg struct{ dir, name string }
	comments := map[pkg][]string{}
	for _, s := range sources(t) {
		if s.isTest() {
			continue
		}
		p := pkg{path.Dir(s.path), s.file.Name.Name}
		comments[p] = append(comments[p], nil...)
		if s.file.Doc != nil {
			comments[p] = append(comments[p], s.path)
		}
	}
	for p, files := range comments {
		require.Len(t, files, 1, "package %s in %s has its comment in %v", p.name, p.dir, files)
	}
}

// Long files hide things: none over 600 lines.
func TestFilesStayShort(t *testing.T) {
	t.Parallel()
	for _, s := range sources(t) {
		last := s.fset.Position(s.file.FileEnd).Line
		require.LessOrEqual(t, last, 600, s.path)
	}
}
