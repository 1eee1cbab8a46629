package main

import (
	"io"
	"strings"

	"hardtack/api"
	"hardtack/pricing/item"
)

type itemsCmd struct {
	Text string `arg:"" optional:"" help:"Name or id."`
	N    int    `short:"n" help:"At most so many; 0 is all." default:"20"`
}

// Help implements kong's HelpProvider.
func (itemsCmd) Help() string {
	return `Items of the catalogue by name. Prices shown are guesses for a country of middling
prices, until somebody reports.

Example:
  hardtack items rice`
}

// Run finds items.
func (c *itemsCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		n := c.N
		if n <= 0 {
			n = 1 << 20
		}
		items := s.Items(c.Text, n)
		return sh.emit(items, func(w io.Writer) error { return describeItems(w, items) })
	})
}

func describeItems(w io.Writer, items []item.Item) error {
	p := columns(w)
	if len(items) == 0 {
		p.f("No item is called that.\n")
	}
	for _, i := range items {
		p.f("%s\t%s\t%s\t%s\t~%.2f EUR/%s\n", i.ID, i.Name, i.Category, strings.Join(i.PackLabels, ", "), i.BasePrice, i.Unit)
	}
	return p.end()
}
