package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

func itoa(n int) string { return strconv.Itoa(n) }

// A table at package level is fine; one that a function changes is state that
// outlives the call, and so is a lock.
func TestPricingAndRouteKeepNoState(t *testing.T) {
	t.Parallel()
	byDir := map[string][]source{}
	for _, s := range sources(t) {
		if s.isPure() {
			byDir[path.Dir(s.path)] = append(byDir[path.Dir(s.path)], s)
		}
	}
	require.NotEmpty(t, byDir)
	for _, files := range byDir {
		for _, fault := range changedGlobals(files) {
			t.Errorf("%s", fault)
		}
	}
}

// The finder itself must find, or the test above proves nothing.
func TestChangedGlobalsAreFound(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, code string
		faults     int
	}{
		{"a table that is read", `var a = []int{1}; func f() int { return a[0] }`, 0},
		{"assigned", `var a int; func f() { a = 2 }`, 1},
		{"counted up", `var a int; func f() { a++ }`, 1},
		{"an element set", `var a = map[int]int{}; func f() { a[1] = 2 }`, 1},
		{"a field set", `var a struct{ x int }; func f() { a.x += 2 }`, 1},
		{"its address taken", `var a int; func f() *int { return &a }`, 1},
		{"emptied", `var a = map[int]int{}; func f() { clear(a); delete(a, 1) }`, 2},
		{"a lock", `import "sync"; var m sync.Mutex`, 1},
		{"once", `import "sync"; var f = sync.OnceValue(func() int { return 1 })`, 1},
		{"a local of the same name", `var a int; func f() { a := 1; a++ }`, 0},
		{"init fills it", `var a []int; func init() { a = append(a, 1) }`, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.Len(t, changedGlobals([]source{parse(t, "package p; "+tt.code)}), tt.faults)
		})
	}
}

func parse(t *testing.T, code string) source {
	t.Helper()
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "p.go", code, 0)
	require.NoError(t, err)
	return source{"pricing/p.go", fset, f}
}

// changedGlobals says where a package's functions change its variables.
func changedGlobals(files []source) []string {
	fset := files[0].fset
	asts := make([]*ast.File, 0, len(files))
	for _, f := range files {
		asts = append(asts, f.file)
	}
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
	conf := types.Config{Importer: noImports{}, Error: func(error) {}} // only names inside the package matter
	pkg, _ := conf.Check("p", fset, asts, info)
	var out []string
	for _, f := range files {
		global := func(e ast.Expr) bool { return isGlobal(e, pkg, info) }
		ast.Inspect(f.file, func(n ast.Node) bool {
			for _, e := range changes(n) {
				if global(e) {
					out = append(out, f.at(e.Pos())+": a package-level variable is changed: pass it instead")
				}
			}
			return true
		})
		out = append(out, locks(f)...)
	}
	return out
}

type noImports struct{}

func (noImports) Import(p string) (*types.Package, error) {
	return types.NewPackage(p, path.Base(p)), nil
}

// changes are the expressions a node writes to, or hands out for writing.
func changes(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok != token.DEFINE {
			return n.Lhs
		}
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			return []ast.Expr{n.X}
		}
	case *ast.CallExpr:
		f, ok := n.Fun.(*ast.Ident)
		if ok && (f.Name == "delete" || f.Name == "clear") && len(n.Args) > 0 {
			return n.Args[:1]
		}
	}
	return nil
}

// isGlobal says whether e is, or lies inside, a package-level variable.
func isGlobal(e ast.Expr, pkg *types.Package, info *types.Info) bool {
	for {
		switch x := e.(type) {
		case *ast.IndexExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		case *ast.Ident:
			v, ok := info.Uses[x].(*types.Var)
			return ok && pkg != nil && v.Parent() == pkg.Scope()
		default:
			return false
		}
	}
}

// locks are package-level variables that mention package sync.
func locks(s source) []string {
	var out []string
	for _, d := range s.file.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.VAR {
			continue
		}
		ast.Inspect(g, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			x, ok := sel.X.(*ast.Ident)
			if p := ""; ok {
				if p = importOf(s.file, x.Name); p == "sync" || p == "sync/atomic" {
					out = append(out, s.at(n.Pos())+": a package-level "+x.Name+"."+sel.Sel.Name+" is state: pass it instead")
				}
			}
			return true
		})
	}
	return out
}
