package main

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"hardtack/route"
	"hardtack/seed"
)

// examples gives the example in the help of every command.
func examples(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	c := reflect.TypeFor[cli]()
	for i := range c.NumField() {
		f := c.Field(i)
		if _, ok := f.Tag.Lookup("cmd"); !ok {
			continue
		}
		h, ok := reflect.New(f.Type).Interface().(interface{ Help() string })
		require.True(t, ok, "%s has no help", f.Name)
		_, example, ok := strings.Cut(h.Help(), "Example:\n  hardtack ")
		require.True(t, ok, "the help of %s has no example", f.Name)
		out[strings.ToLower(f.Name)] = strings.TrimSpace(example)
	}
	return out
}

// words splits an example like a shell; file names become files of the user.
func words(u as, example string) []string {
	var out []string
	for k, quoted := range strings.Split(example, `"`) {
		if k%2 == 1 {
			out = append(out, quoted)
			continue
		}
		out = append(out, strings.Fields(quoted)...)
	}
	for k, w := range out {
		if ext := filepath.Ext(w); ext == ".json" || ext == ".csv" || ext == ".backup" || ext == ".records" || ext == ".db" || w == "season" || w == "open-data" || w == "invented" {
			out[k] = filepath.Join(u.home, w)
		}
	}
	return out
}

// demoFiles puts the files of the demo season where a user keeps his own.
func (u as) demoFiles() {
	u.t.Helper()
	sub, err := fs.Sub(seed.FS, "demo")
	require.NoError(u.t, err)
	entries, err := fs.ReadDir(sub, ".")
	require.NoError(u.t, err)
	require.NoError(u.t, os.Mkdir(filepath.Join(u.home, "season"), 0o700))
	for _, e := range entries {
		b, err := fs.ReadFile(sub, e.Name())
		require.NoError(u.t, err)
		u.file(e.Name(), string(b))
		u.file(filepath.Join("season", e.Name()), string(b))
	}
}

// firstStops is the demo's voyage, cut.
func firstStops(t *testing.T, n int) string {
	t.Helper()
	b, err := fs.ReadFile(seed.FS, "demo/voyage.json")
	require.NoError(t, err)
	var v route.Voyage
	require.NoError(t, json.Unmarshal(b, &v))
	v.Stops = v.Stops[:n]
	b, err = json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}

// A user follows the examples one after the other and every one works. Those
// that serve are tried in serve_test.go.
func TestExamplesRun(t *testing.T) {
	t.Parallel()
	u := user(t)
	u.demoFiles()
	all := examples(t)
	u.file("voyage.json", firstStops(t, 5))
	u.ok("crew", "set", filepath.Join(u.home, "crew.json"))
	order := []string{
		"ports", "items", "vessel", "crew", "voyage", "aboard", "report", "import", "plan", "risk", "replan", "list", "fed", "ahead", "worth", "shelf", "binds", "brief",
		"verify", "export", "scale", "estimate", "exchange", "account", "news", "publish", "invent", "backup", "doctor", "recover", "migrate", "version", "completion", "manual", "config",
	}
	for _, name := range order {
		example, ok := all[name]
		require.True(t, ok, name)
		delete(all, name)
		if name == "recover" {
			u.file("damaged.db", "")
			u.ok("--db", filepath.Join(u.home, "damaged.db"), "voyage")
		}
		args := words(u, example)
		r := u.run(args...)
		require.Equal(t, exitOK, r.code, "hardtack %s: %s", example, r.err)
	}
	delete(all, "demo")
	delete(all, "serve")
	delete(all, "share")
	require.Empty(t, all, "examples that nobody runs")
}
