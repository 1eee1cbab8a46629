package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/require"
)

// section gives the rows of a section's table in api/SECURITY.md, by their first
// cell.
func section(t *testing.T, title string) map[string][]string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, "api", "SECURITY.md"))
	require.NoError(t, err)
	_, text, ok := strings.Cut(string(b), "\n## "+title+"\n")
	require.True(t, ok, title)
	text, _, _ = strings.Cut(text, "\n## ")
	out := map[string][]string{}
	for _, row := range regexp.MustCompile(`(?m)^\| (.+) \|$`).FindAllStringSubmatch(text, -1)[1:] {
		cells := strings.Split(row[1], " | ")
		require.NotContains(t, out, cells[0])
		out[cells[0]] = cells[1:]
	}
	return out
}

// programFiles are the files of the program, those of its tests and tools left out.
func programFiles(t *testing.T) map[string]*ast.File {
	t.Helper()
	out := map[string]*ast.File{}
	for _, top := range []string{"api", "db", "cmd/hardtack", "pricing", "route", "seed"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			name, err := filepath.Rel(root, path)
			if err != nil || strings.HasPrefix(filepath.ToSlash(name), "db/dbtest/") {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			out[filepath.ToSlash(name)] = f
			return err
		})
		require.NoError(t, err)
	}
	require.Greater(t, len(out), 200)
	return out
}

// naming are the files in which something is said of a package that match
// wants, "net.Listen".
func naming(all map[string]*ast.File, match func(string) bool) []string {
	found := map[string]bool{}
	for name, f := range all {
		ast.Inspect(f, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if p, ok := s.X.(*ast.Ident); ok && match(p.Name+"."+s.Sel.Name) {
					found[name] = true
				}
			}
			return true
		})
	}
	return slices.Sorted(maps.Keys(found))
}

// importing are the files that import what match wants.
func importing(all map[string]*ast.File, match func(string) bool) []string {
	var out []string
	for name, f := range all {
		if slices.ContainsFunc(f.Imports, func(i *ast.ImportSpec) bool { return match(strings.Trim(i.Path.Value, `"`)) }) {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// Whom the program speaks to is written down; it runs no other program.
func TestWhoIsSpokenToIsWrittenDown(t *testing.T) {
	t.Parallel()
	all := programFiles(t)
	speaks := regexp.MustCompile(`^(net\.(Listen(TCP|UDP|Unix|Packet|Config)?|Dial.*|Lookup.*|Resolver)|http\.(Get|Post|PostForm|Head|Client|DefaultClient|ListenAndServe.*|Transport)|sql\.Open(DB)?|stdlib\.OpenDB|pgx\.Connect.*|smtp\..*|rpc\..*)$`)
	require.ElementsMatch(t, slices.Collect(maps.Keys(section(t, "Who is spoken to"))), naming(all, speaks.MatchString))
	require.Empty(t, importing(all, func(p string) bool { return slices.Contains([]string{"os/exec", "plugin", "net/smtp", "net/rpc"}, p) }))
	require.Empty(t, naming(all, func(s string) bool { return s == "os.StartProcess" || s == "syscall.Exec" }))
}

// Where cryptography is used is written down, with what; broken functions are
// not, and what must not be guessed is drawn by crypto/rand.
func TestCryptographyIsWrittenDown(t *testing.T) {
	t.Parallel()
	all := programFiles(t)
	ours := func(p string) bool {
		return strings.HasPrefix(p, "crypto/") || strings.HasPrefix(p, "golang.org/x/crypto/") || strings.HasPrefix(p, "github.com/pquerna/otp/")
	}
	require.ElementsMatch(t, slices.Collect(maps.Keys(section(t, "Cryptography"))), importing(all, ours))
	allowed := []string{"crypto/sha256", "crypto/rand", "crypto/subtle", "crypto/ed25519", "golang.org/x/crypto/argon2", "github.com/pquerna/otp/hotp", "github.com/pquerna/otp/totp"}
	require.Empty(t, importing(all, func(p string) bool { return ours(p) && !slices.Contains(allowed, p) }), "md5, sha1, des, rc4 and own ciphers among them")
	for _, name := range importing(all, func(p string) bool { return strings.HasPrefix(p, "math/rand") }) {
		require.False(t, strings.HasPrefix(name, "api/access/") || strings.HasPrefix(name, "api/guard/"), name)
	}
}

// Nothing goes round the language's own safety, no expression or template is
// built from what somebody sends.
func TestNothingUnsafeIsUsed(t *testing.T) {
	t.Parallel()
	all := programFiles(t)
	require.Empty(t, importing(all, func(p string) bool {
		return slices.Contains([]string{"unsafe", "C", "encoding/gob", "text/template"}, p)
	}))
	for name, f := range all {
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			s, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || !strings.HasPrefix(fmt.Sprint(s.X)+"."+s.Sel.Name, "regexp.") {
				return true
			}
			_, literal := call.Args[0].(*ast.BasicLit)
			require.True(t, literal, "%s: an expression that is put together", name)
			return true
		})
	}
}

// Every table says how secret it is and how long its rows are kept.
func TestWhatIsKeptIsWrittenDown(t *testing.T) {
	t.Parallel()
	b, err := os.ReadFile(filepath.Join(root, "db", "SPREAD.md")) // held against the database by a test of db/dbtest
	require.NoError(t, err)
	var tables []string
	for _, row := range regexp.MustCompile(`(?m)^\| ([a-z_]+) \| (?:by|in one place|everywhere)`).FindAllStringSubmatch(string(b), -1) {
		tables = append(tables, row[1])
	}
	kept := section(t, "What is kept")
	require.ElementsMatch(t, tables, slices.Collect(maps.Keys(kept)))
	for name, cells := range kept {
		level, _, _ := strings.Cut(cells[0], " ")
		require.Contains(t, []string{"secret", "account", "boat", "reports", "public", "works"}, level, name)
		require.NotEmpty(t, cells[1], name)
	}
}

// Every line that is logged is written down.
func TestWhatIsLoggedIsWrittenDown(t *testing.T) {
	t.Parallel()
	all := programFiles(t)
	const one = "api/watch/watch.go"
	require.Equal(t, []string{one}, importing(all, func(p string) bool { return p == "log" || strings.HasPrefix(p, "log/") }))
	said := map[string]bool{}
	ast.Inspect(all[one], func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		s, ok := call.Fun.(*ast.SelectorExpr)
		if !ok || !slices.Contains([]string{"Info", "Warn", "Error", "Debug", "LogAttrs"}, s.Sel.Name) {
			return true
		}
		for _, a := range call.Args {
			if lit, ok := a.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				text, _, _ := strings.Cut(strings.Trim(lit.Value, `"`), ":")
				said[text] = true
			}
		}
		return true
	})
	require.ElementsMatch(t, slices.Collect(maps.Keys(section(t, "What is logged"))), slices.Collect(maps.Keys(said)))
}

// What is said of logins is what the settings have.
func TestWaysInAreWrittenDown(t *testing.T) {
	t.Parallel()
	ways := section(t, "Ways in")
	for _, way := range []string{"key", "password", "second factor", "invitation", "reset password"} {
		require.Contains(t, ways, way)
	}
	var c cli
	app, err := grammar(&c, &shell{})
	require.NoError(t, err)
	defaults := map[string]string{}
	_ = kong.Visit(app.Model, func(n kong.Visitable, next kong.Next) error {
		if f, ok := n.(*kong.Flag); ok {
			defaults[f.Name] = f.Default
		}
		return next(nil)
	})
	require.Contains(t, ways["password"][1], "12 h, "+strings.TrimSuffix(defaults["login-quiet"], "h")+" h without use, "+defaults["login-most"]+" at once")
	require.Contains(t, ways["second factor"][0], defaults["two-factors"]+" unless `--two-factors`")
	for _, title := range []string{"What is taken", "What takes long"} {
		require.Len(t, slices.Collect(maps.Keys(section(t, title))), map[string]int{"What is taken": 3, "What takes long": 5}[title])
	}
}

// The program carries the list of its parts, each with the checksum go.sum has;
// a release is not made while a known hole can be reached.
func TestPartsOfOthersAreListed(t *testing.T) {
	t.Parallel()
	info, ok := debug.ReadBuildInfo()
	require.True(t, ok)
	sums, err := os.ReadFile(filepath.Join(root, "go.sum"))
	require.NoError(t, err)
	require.Greater(t, len(info.Deps), 20)
	for _, d := range info.Deps {
		require.Nil(t, d.Replace, d.Path)
		require.Contains(t, string(sums), d.Path+" "+d.Version+" "+d.Sum+"\n")
	}
	release, err := os.ReadFile(filepath.Join(root, ".ci", "release"))
	require.NoError(t, err)
	require.Regexp(t, `(?m)^\.ci/holes$`, string(release))
	b, err := os.ReadFile(filepath.Join(root, "api", "SECURITY.md"))
	require.NoError(t, err)
	require.Regexp(t, `within 7 days`, string(b))
}
