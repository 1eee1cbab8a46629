package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// compose is what this test reads of docker-compose.yml, by the names of the
// Compose specification. No engine runs it: syntax and cross-references only.
type compose struct {
	Services map[string]struct {
		Image       string
		Build       map[string]string
		Command     []string
		Environment map[string]string
		Ports       []string
		Volumes     []string
		DependsOn   map[string]struct{ Condition string } `yaml:"depends_on"`
		Healthcheck map[string]any
		Restart     string
		ReadOnly    bool `yaml:"read_only"`
	}
	Volumes map[string]struct{}
}

func TestComposeFileHangsTogether(t *testing.T) {
	t.Parallel()
	f, err := os.Open(filepath.Join(root, "docker-compose.yml"))
	require.NoError(t, err)
	defer f.Close()
	d := yaml.NewDecoder(f)
	d.KnownFields(true)
	var c compose
	require.NoError(t, d.Decode(&c))

	require.Contains(t, c.Services, "server")
	require.Contains(t, c.Services, "db")
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
	}
	require.Contains(t, c.Volumes, "db")
}
