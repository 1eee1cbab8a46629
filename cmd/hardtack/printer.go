package main

import (
	"fmt"
	"io"
	"text/tabwriter"
)

// printer keeps the first error of many writes.
type printer struct {
	w   io.Writer
	err error
}

// columns is a printer of lines of cells with tabs between them, which stand
// under each other once it is ended.
func columns(w io.Writer) *printer {
	return &printer{w: tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)}
}

func (p *printer) f(format string, a ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format, a...)
	}
}

// end writes what is held back, and gives the first error.
func (p *printer) end() error {
	if t, ok := p.w.(*tabwriter.Writer); ok && p.err == nil {
		p.err = t.Flush()
	}
	return p.err
}
