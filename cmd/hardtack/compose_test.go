package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"hardtack/db/dbtest"
)

// compose is what this test reads of docker-compose.yml, by the names of the
// Compose specification. No engine runs it: syntax and cross-references, and
// what its files do to a server.
type compose struct {
	Services map[string]composed
	Volumes  map[string]struct{}
	Configs  map[string]struct{ Content string }
}

type composed struct {
	Image       string
	Build       map[string]string
	User        string
	Entrypoint  []string
	Command     []string
	Environment map[string]string
	Ports       []string
	Volumes     []string
	Configs     []struct{ Source, Target string }
	DependsOn   map[string]struct{ Condition string } `yaml:"depends_on"`
	Healthcheck map[string]any
	Restart     string
	ReadOnly    bool   `yaml:"read_only"`
	Grace       string `yaml:"stop_grace_period"`
}

func composeFile(t *testing.T) compose {
	t.Helper()
	f, err := os.Open(filepath.Join(root, "docker-compose.yml"))
	require.NoError(t, err)
	defer f.Close()
	d := yaml.NewDecoder(f)
	d.KnownFields(true)
	var c compose
	require.NoError(t, d.Decode(&c))
	return c
}

func TestComposeFileHangsTogether(t *testing.T) {
	t.Parallel()
	c := composeFile(t)
	for _, name := range []string{"db", "replica", "migrate", "server", "second"} {
		require.Contains(t, c.Services, name)
	}
	known := map[string]bool{}
	var all cli
	app, err := grammar(&all, &shell{})
	require.NoError(t, err)
	for _, s := range namesOfSettings(app.Model.Node) {
		known[variable(s)] = true
	}
	for name, s := range c.Services {
		require.NotEmpty(t, s.Image, name)
		for on, how := range s.DependsOn {
			require.Contains(t, c.Services, on, name)
			if how.Condition == "service_healthy" {
				require.NotEmpty(t, c.Services[on].Healthcheck, "%s waits for %s", name, on)
			}
		}
		for _, p := range s.Ports {
			require.Regexp(t, `^127\.0\.0\.1:`, p, "%s: only this machine unless someone decides otherwise", name)
		}
		for _, v := range s.Volumes {
			require.Contains(t, c.Volumes, strings.Split(v, ":")[0])
		}
		for _, f := range s.Configs {
			require.Contains(t, c.Configs, f.Source)
		}
		for v, value := range s.Environment {
			require.True(t, !strings.HasPrefix(v, "HARDTACK_") || known[v], v)
			for _, secret := range regexp.MustCompile(`:([^$:@/]+)@`).FindAllString(value, -1) {
				t.Errorf("%s: %s holds a password: %s", name, v, secret)
			}
		}
		if s.Image == "hardtack" {
			var again cli
			app, err := grammar(&again, &shell{getenv: func(string) string { return "" }})
			require.NoError(t, err)
			_, err = app.Parse(s.Command)
			require.NoError(t, err, "%s: %v", name, s.Command)
		}
	}
}

// The roles of the compose file on a server: the one that serves owns nothing,
// is no superuser, and the walls between accounts hold for it.
func TestComposeServesWithFewRights(t *testing.T) {
	t.Parallel()
	c := composeFile(t)
	statements := regexp.MustCompile(`(?s)<<'SQL'\n(.*)\nSQL\n`).FindStringSubmatch(c.Configs["roles"].Content)
	require.Len(t, statements, 2)
	server := dbtest.NewServer(t)
	for _, s := range strings.Split(statements[1], ";\n") {
		server.Tell(strings.ReplaceAll(s, ":'password'", "'secret'"))
	}
	for _, name := range []string{"server", "second"} {
		s := c.Services[name]
		require.Contains(t, s.Environment["HARDTACK_DB"], "postgres://hardtack:${POSTGRES_PASSWORD}@db")
		require.Contains(t, s.Environment["HARDTACK_REPLICA"], "@replica:")
	}
	require.Contains(t, c.Services["migrate"].Environment["HARDTACK_DB"], "postgres://"+c.Services["db"].Environment["POSTGRES_USER"]+":")
	r := user(t).with(map[string]string{"HARDTACK_DB": server.URL()}, c.Services["migrate"].Command...)
	require.Equal(t, exitOK, r.code, r.err)

	as := strings.Replace(server.URL(), "hardtack_owner@", "hardtack@", 1)
	walled, err := walledAt(t, as)
	require.NoError(t, err)
	require.True(t, walled)
	require.Equal(t, "0", server.Ask(`SELECT COUNT(*)::TEXT FROM pg_class WHERE relowner = 'hardtack'::regrole`))
	r = user(t).with(map[string]string{"HARDTACK_DB": as}, "account", "add", "Petrel")
	require.Equal(t, exitOK, r.code, r.err)
	require.Error(t, dbtest.Do(as, `ALTER TABLE account NO FORCE ROW LEVEL SECURITY`))
}
