package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"hardtack/api"
)

// shell is what a command has of the world.
type shell struct {
	ctx    context.Context
	getenv func(string) string
	in     io.Reader
	out    io.Writer
	err    io.Writer
	json   bool
	db     string
}

// emit writes a result: as JSON when asked for, else in words.
func (sh *shell) emit(v any, words func(io.Writer) error) error {
	if !sh.json {
		return words(sh.out)
	}
	return jsonOf(v)(sh.out)
}

// overview lists what is kept, a line each, or says that nothing is.
func overview[T any](sh *shell, all []api.Kept[T], none string, line func(T) string) error {
	return sh.emit(all, func(w io.Writer) error {
		p := printer{w: w}
		for _, v := range all {
			p.f("%s\n", line(v.Value))
		}
		if len(all) == 0 {
			p.f("%s\n", none)
		}
		return p.err
	})
}

// say writes a line to standard error, beside the result.
func (sh *shell) say(format string, a ...any) { fmt.Fprintf(sh.err, format+"\n", a...) }

// open opens a file to read; "-" is standard input.
func (sh *shell) open(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(sh.in), nil
	}
	return os.Open(name)
}

// to writes a file in one go, or standard output when name is empty or "-".
// The file appears whole or not at all. What is no file, a device or a pipe, is
// written to and stays what it is.
func (sh *shell) to(name string, write func(io.Writer) error) (err error) {
	if name == "" || name == "-" {
		return write(sh.out)
	}
	if info, err := os.Stat(name); err == nil && !info.Mode().IsRegular() {
		f, err := os.OpenFile(name, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		return errors.Join(write(f), f.Close())
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".hardtack-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if err := write(f); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// dataDir is the user's folder for this program's files.
func (sh *shell) dataDir() (string, error) {
	if d := sh.getenv("XDG_DATA_HOME"); d != "" {
		return filepath.Join(d, "hardtack"), nil
	}
	if d := sh.getenv("LOCALAPPDATA"); d != "" && runtime.GOOS == "windows" {
		return filepath.Join(d, "hardtack"), nil
	}
	home := sh.getenv("HOME")
	if home == "" {
		return "", fmt.Errorf("%w: no home folder to keep the database in: name one with --db", errUsage)
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support", "hardtack"), nil
	}
	return filepath.Join(home, ".local", "share", "hardtack"), nil
}

// database is where data are kept: as set, else a file in the user's data
// folder, which is made.
func (sh *shell) database() (string, error) {
	if sh.db != "" {
		return sh.db, nil
	}
	dir, err := sh.dataDir()
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", err
	}
	return filepath.Join(dir, "hardtack.db"), nil
}

// terminal says whether w is one, where progress may be drawn.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
