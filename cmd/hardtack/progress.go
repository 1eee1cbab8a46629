package main

import (
	"github.com/schollz/progressbar/v3"
)

// progress tells of long work on standard error, if that is a terminal.
type progress struct{ bar *progressbar.ProgressBar }

// progress begins to tell of a work of unknown length.
func (sh *shell) progress(what string) progress {
	if !terminal(sh.err) {
		return progress{}
	}
	return progress{progressbar.NewOptions(-1,
		progressbar.OptionSetWriter(sh.err), progressbar.OptionSetDescription(what), progressbar.OptionSpinnerType(14),
		progressbar.OptionClearOnFinish(), progressbar.OptionSetElapsedTime(true),
	)}
}

// say changes what is told. The bar's own errors are those of a terminal that
// went away and change nothing about the work.
func (p progress) say(what string) {
	if p.bar != nil {
		p.bar.Describe(what)
		_ = p.bar.Add(1)
	}
}

// line makes room for a line of its own; the bar's next change is below it.
func (p progress) line(write func()) {
	if p.bar != nil {
		_ = p.bar.Clear()
	}
	write()
}

func (p progress) done() {
	if p.bar != nil {
		_ = p.bar.Finish()
	}
}
