package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/stretchr/testify/require"
)

// with runs commands in an environment.
func (u as) with(environment map[string]string, args ...string) result {
	u.t.Helper()
	var out, err bytes.Buffer
	code := run(context.Background(), args, func(name string) string {
		if v, there := environment[name]; there {
			return v
		}
		return u.getenv(name)
	}, strings.NewReader(""), &out, &err)
	return result{code, out.String(), err.String()}
}

func inForce(t *testing.T, r result) map[string]setting {
	t.Helper()
	require.Equal(t, exitOK, r.code, r.err)
	var all []setting
	require.NoError(t, json.Unmarshal([]byte(r.out), &all))
	out := map[string]setting{}
	for _, v := range all {
		name := v.Name
		if name == "" {
			name = v.Variable
		}
		out[name] = v
	}
	return out
}

// every is a value for each setting, for the environment and for the file.
var every = map[string][2]string{
	"db": {"env.db", "file.db"}, "listen": {":1", ":2"}, "host": {"a,b", "c"}, "key-file": {"k1", "k2"}, "hold": {"3", "4"},
	"registration": {"open", "closed"}, "enough": {"5", "6"}, "delay": {"8", "9"}, "every": {"2m0s", "3m0s"}, "metrics": {":3", ":4"},
	"two-factors": {"by-wish", "everybody"}, "login-quiet": {"5m0s", "6m0s"}, "login-most": {"7", "8"}, "proxy": {"10.0.0.7", "10.0.0.0/8,fd00::1"},
	"replica": {"postgres://r1/d", "postgres://r2/d"}, "drain": {"1s", "2s"},
}

// Every setting: the program's own, the file over it, the environment over
// that, a flag over all.
func TestEverySettingFromEverywhere(t *testing.T) {
	t.Parallel()
	u := user(t)
	base := inForce(t, u.run("--json", "config"))
	var file strings.Builder
	environment := map[string]string{}
	for name, v := range every {
		environment[variable(name)] = v[0]
		file.WriteString(name + ": \"" + v[1] + "\"\n")
	}
	require.Len(t, base, len(every)+1, "and HARDTACK_TODAY")
	path := u.file("settings.yaml", file.String())
	named := inForce(t, u.run("--json", "config", "--config", path))
	byVariable := inForce(t, u.with(map[string]string{"HARDTACK_CONFIG": path}, "--json", "config"))
	over := inForce(t, u.with(environment, "--json", "config", "--config", path))
	for name, v := range every {
		require.Equal(t, "default", base[name].From)
		require.Equal(t, setting{name, variable(name), v[1], "file: " + path}, named[name])
		require.Equal(t, named[name], byVariable[name])
		require.Equal(t, setting{name, variable(name), v[0], "environment: " + variable(name)}, over[name])
		flags := inForce(t, u.with(environment, "--json", "config", "--config", path, "--"+name, v[1]))
		require.Equal(t, setting{name, variable(name), v[1], "flag"}, flags[name])
	}
	require.Equal(t, "127.0.0.1:8080", base["listen"].Value)
	require.Equal(t, filepath.Join(u.home, "data", "hardtack", "hardtack.db"), base["db"].Value)

	u.ok("report", "list") // makes the folder
	require.NoError(t, os.WriteFile(filepath.Join(u.home, "data", "hardtack", "config.yaml"), []byte("host: [one, two]\nenough: 4\n"), 0o600))
	usual := inForce(t, u.run("--json", "config"))
	require.Equal(t, "one,two", usual["host"].Value)
	require.Equal(t, "4", usual["enough"].Value)
	require.Contains(t, u.ok("config"), "config.yaml")
}

func TestSettingsThatCannotBe(t *testing.T) {
	t.Parallel()
	u := user(t)
	for text, want := range map[string]string{
		"lisen: x\n": `no setting is called "lisen"`, "listen: {a: b}\n": "want a value", "[": "NAME: VALUE", "enough: many\n": "enough", "registration: all\n": "registration",
	} {
		r := u.run("config", "--config", u.file("bad.yaml", text))
		require.Equal(t, exitUsage, r.code, text)
		require.Contains(t, r.err, want)
	}
	require.Equal(t, exitUsage, u.run("config", "--config", "nowhere.yaml").code)
	require.Equal(t, exitUsage, u.with(map[string]string{"HARDTACK_EVERY": "often"}, "config").code)
}

func TestConfigHidesSecrets(t *testing.T) {
	t.Parallel()
	u := user(t)
	r := u.with(map[string]string{
		"HARDTACK_DB": "postgres://boat:canary@h/d", "HARDTACK_REPLICA": "postgres://h/d?password=canary&sslmode=require", "HARDTACK_KEY": "ht_canary",
	}, "config")
	require.Equal(t, exitOK, r.code, r.err)
	require.NotContains(t, r.out, "canary")
	require.Contains(t, r.out, "postgres://boat@h/d")
	require.Contains(t, r.out, "HARDTACK_KEY")
}

// README has a row for every setting.
func TestReadmeNamesEverySetting(t *testing.T) {
	t.Parallel()
	b, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	var c cli
	app, err := grammar(&c, &shell{})
	require.NoError(t, err)
	names := namesOfSettings((*kong.Node)(app.Model.Node))
	require.Len(t, names, len(every))
	for _, n := range names {
		require.Regexp(t, regexp.MustCompile("(?m)^\\| `--"+n+"` \\| `"+variable(n)+"` \\|"), string(b))
	}
}
