package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"hardtack/api"
)

type publishCmd struct {
	Dir string `arg:"" help:"Folder to write, which must not be there yet."`
}

// Help implements kong's HelpProvider.
func (publishCmd) Help() string {
	return `Writes what a shared server tells everybody as open data: ports.csv, items.csv,
rates.csv, reports.csv, the licence, and SHA256SUMS to check them by. Nothing in
it says which boat reported what. Any server, or "hardtack estimate --dataset",
can read it again.

Example:
  hardtack publish open-data`
}

// Run writes the files.
func (c *publishCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		if err := os.Mkdir(c.Dir, 0o755); err != nil {
			return fmt.Errorf("publish: %w: %w", errUsage, err)
		}
		n, err := s.OpenData(sh.ctx, func(name string) (io.WriteCloser, error) { return os.Create(filepath.Join(c.Dir, name)) })
		if err != nil {
			return err
		}
		return sh.emit(map[string]any{"dir": c.Dir, "reports": n}, func(w io.Writer) error {
			_, err := fmt.Fprintf(w, "%d reports in %s\n", n, c.Dir)
			return err
		})
	})
}
