package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/alecthomas/kong"
	"go.yaml.in/yaml/v3"
)

// settings give flags that bear the tag "setting" a value where the command line
// does not: from the environment, else from a file. They remember from where.
type settings struct {
	sh   *shell
	file map[string]any
	path string // of the file; empty: none
	read bool
	from map[string]string // by flag
}

// isSetting says whether a flag may be set otherwise than as a flag.
func isSetting(f *kong.Flag) bool { return f.Tag.Has("setting") }

// variable is the environment's name of a setting.
func variable(flag string) string {
	return "HARDTACK_" + strings.ToUpper(strings.ReplaceAll(flag, "-", "_"))
}

// Validate implements kong.Resolver; what the file holds is looked at when it
// is read.
func (*settings) Validate(*kong.Application) error { return nil }

// Resolve implements kong.Resolver.
func (s *settings) Resolve(k *kong.Context, _ *kong.Path, f *kong.Flag) (any, error) {
	if !isSetting(f) {
		return nil, nil
	}
	if text := s.sh.getenv(variable(f.Name)); text != "" {
		s.from[f.Name] = "environment: " + variable(f.Name)
		return text, nil
	}
	if err := s.load(k); err != nil {
		return nil, err
	}
	v, there := s.file[f.Name]
	if !there {
		return nil, nil
	}
	s.from[f.Name] = "file: " + s.path
	return v, nil
}

// load reads the file of settings: one named must be there, the usual one may.
func (s *settings) load(k *kong.Context) error {
	if s.read {
		return nil
	}
	s.read = true
	var named bool
	if s.path, named = s.named(k); s.path == "" {
		return nil
	}
	b, err := os.ReadFile(s.path)
	if errors.Is(err, os.ErrNotExist) && !named {
		return nil
	}
	if err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	var file map[string]any
	if err := yaml.Unmarshal(b, &file); err != nil {
		return fmt.Errorf("settings in %s: want lines of NAME: VALUE: %w", s.path, err)
	}
	return s.take(file, namesOfSettings(k.Model.Node))
}

// take checks what a file says; values are texts, several with commas between.
func (s *settings) take(file map[string]any, known []string) error {
	s.file = map[string]any{}
	for name, v := range file {
		if !slices.Contains(known, name) {
			return fmt.Errorf("settings in %s: no setting is called %q, want one of %s", s.path, name, strings.Join(known, ", "))
		}
		switch v := v.(type) {
		case []any:
			texts := make([]string, len(v))
			for i, x := range v {
				texts[i] = fmt.Sprint(x)
			}
			s.file[name] = strings.Join(texts, ",")
		case string, int, bool, float64:
			s.file[name] = fmt.Sprint(v)
		default:
			return fmt.Errorf("settings in %s: %s: want a value, or a list of values", s.path, name)
		}
	}
	return nil
}

// named is the file to read and whether somebody named it.
func (s *settings) named(k *kong.Context) (path string, named bool) {
	for _, f := range k.Flags() {
		if f.Name == "config" {
			if given, _ := k.FlagValue(f).(string); given != "" {
				return given, true
			}
		}
	}
	if given := s.sh.getenv("HARDTACK_CONFIG"); given != "" {
		return given, true
	}
	dir, err := s.sh.dataDir()
	if err != nil {
		return "", false // no home: no file
	}
	return filepath.Join(dir, "config.yaml"), false
}

// namesOfSettings are those of all commands.
func namesOfSettings(n *kong.Node) []string {
	var out []string
	for _, f := range n.Flags {
		if isSetting(f) {
			out = append(out, f.Name)
		}
	}
	for _, child := range n.Children {
		out = append(out, namesOfSettings(child)...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}
