package main

import (
	"bufio"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fenced gives the lines of the code blocks of a document, comments taken off.
// The blocks of the architecture picture hold no commands.
func fenced(t *testing.T, document string) (out []string) {
	t.Helper()
	f, err := os.Open(filepath.Join(root, document))
	require.NoError(t, err)
	defer f.Close()
	inside := false
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		if strings.HasPrefix(line, "```") {
			inside = !inside
			continue
		}
		command, _, _ := strings.Cut(line, " #")
		if command = strings.TrimSpace(command); inside && command != "" && !strings.ContainsAny(line, "│─▶") && !picture.MatchString(line) {
			out = append(out, command)
		}
	}
	require.NotEmpty(t, out)
	return out
}

// picture is a line of the architecture picture without an arrow.
var picture = regexp.MustCompile(`^ {11}|^ \(data\)`)

// A skipper follows README from top to bottom, a colleague DEVELOPERS.md: every
// command works. Those that test or release are only asked whether they are
// there, since they run this very test.
func TestEveryCommandOfTheDocumentsRuns(t *testing.T) {
	t.Parallel()
	for _, document := range []string{"README.md", "DEVELOPERS.md"} {
		t.Run(document, func(t *testing.T) {
			t.Parallel()
			u := user(t)
			u.demoFiles()
			u.file("voyage.json", firstStops(t, 4))
			u.file("route.gpx", gpx)
			u.file("damaged.db", "")
			u.ok("--db", filepath.Join(u.home, "damaged.db"), "voyage")
			for _, command := range fenced(t, document) {
				u.follow(command)
			}
		})
	}
}

const gpx = `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><rte><name>South</name>
<rtept lat="38.53" lon="-28.62"><name>Horta</name></rtept><rtept lat="32.64" lon="-16.91"><name>Funchal</name></rtept></rte></gpx>`

// follow runs one command of a document.
func (u as) follow(command string) {
	u.t.Helper()
	name, args, _ := strings.Cut(command, " ")
	if rest, ok := strings.CutPrefix(command, "go run ./cmd/hardtack"); ok {
		name, args = "hardtack", strings.TrimSpace(rest)
	}
	switch name {
	case "hardtack":
		if words := strings.Fields(args); words[0] == "serve" || words[0] == "demo" && !strings.Contains(args, "--no-serve") {
			u.serves(command, words)
			return
		}
		r := u.runIn(shellWords(args)...)
		require.Equal(u.t, exitOK, r.code, "%s: %s", command, r.err)
	case "make":
		u.inTree(command, "make", append([]string{"-n"}, strings.Fields(args)...)...)
	case "go":
		u.inTree(command, "go", append([]string{"list"}, packagesOf(args)...)...)
	default:
		require.True(u.t, strings.HasPrefix(name, ".ci/"), "nobody runs %q", command)
		u.inTree(command, "bash", "-n", name)
	}
}

// packagesOf are the packages a go command is about.
func packagesOf(args string) (out []string) {
	for _, w := range strings.Fields(args) {
		if strings.HasPrefix(w, "./") {
			out = append(out, w)
		}
	}
	return out
}

func (u as) inTree(command, name string, args ...string) {
	u.t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir = root
	out, err := cmd.CombinedOutput()
	require.NoError(u.t, err, "%s: %s", command, out)
}

// shellWords splits like a shell, as far as the documents need it.
func shellWords(s string) (out []string) {
	for k, quoted := range strings.Split(s, `"`) {
		if k%2 == 1 {
			out = append(out, quoted)
			continue
		}
		out = append(out, strings.Fields(quoted)...)
	}
	return out
}

// runIn runs a command in the user's home.
func (u as) runIn(args ...string) result {
	u.t.Helper()
	cmd := u.process(nil, args...)
	var out, err strings.Builder
	cmd.Stdout, cmd.Stderr = &out, &err
	_ = cmd.Run() // judged by its exit code
	return result{cmd.ProcessState.ExitCode(), out.String(), err.String()}
}

// serves starts what serves, on an address of its own, asks it something and
// stops it.
func (u as) serves(command string, words []string) {
	u.t.Helper()
	for i, w := range words {
		if w == "--listen" {
			words = append(words[:i:i], words[i+2:]...)
			break
		}
	}
	if words[0] == "demo" {
		words = append(words, "--work", "500")
	}
	var said heard
	cmd := u.process(nil, append(words, "--listen", "127.0.0.1:0")...)
	cmd.Stderr = &said
	require.NoError(u.t, cmd.Start(), command)
	defer func() {
		_ = cmd.Process.Kill() // it may be gone
		_ = cmd.Wait()
	}()
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+`)
	require.Eventually(u.t, func() bool { return address.MatchString(said.String()) }, 2*time.Minute, 20*time.Millisecond, "%s: %s", command, &said)
	answer, err := http.Get(address.FindString(said.String()) + "/readyz")
	require.NoError(u.t, err, command)
	require.NoError(u.t, answer.Body.Close())
	require.Equal(u.t, http.StatusOK, answer.StatusCode, command)
}

// README names every command, every variable and every exit code there is.
func TestReadmeIsWhole(t *testing.T) {
	t.Parallel()
	b, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	readme := string(b)
	var c cli
	app, err := grammar(&c, &shell{})
	require.NoError(t, err)
	for _, n := range app.Model.Children {
		if !n.Hidden {
			require.Regexp(t, `hardtack (--db \S+ )?`+n.Name+`\b`, readme, "README does not say what %q is for", n.Name)
		}
	}
	for _, v := range environment {
		require.Contains(t, readme, "`"+v.name+"`")
	}
	asked := regexp.MustCompile(`getenv\("([A-Z_]+)"\)`)
	told := map[string]bool{"HOME": true, "LOCALAPPDATA": true}
	for _, v := range environment {
		told[v.name] = true
	}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		for _, m := range asked.FindAllStringSubmatch(string(b), -1) {
			require.True(t, told[m[1]], "%s heeds %s, and neither manual nor README says so", f, m[1])
		}
	}
}
