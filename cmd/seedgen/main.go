// Seedgen invents the price reports of the demo season and writes them to
// seed/demo in the form of a price dataset. Boats, people, shops and prices
// are made up; ports and currencies are real. The same seed gives the same
// files, and a test holds the committed ones against it.
//
//	go run ./cmd/seedgen
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"hardtack/seed"
)

func main() {
	out := flag.String("out", "seed/demo", "folder the files are written to")
	flag.Parse()
	if err := write(*out); err != nil {
		fmt.Fprintln(os.Stderr, "seedgen:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	files, err := generate(seed.FS)
	if err != nil {
		return err
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}
