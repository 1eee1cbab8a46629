// Package seed holds the data every new Hardtack starts from: ports, items,
// arrival rules, rates, a coastline, and an invented demo season. It is data
// only; pricing and route read it. SOURCES.md says where each figure is from.
package seed

import "embed"

// FS has the files of this folder, named as here.
//
//go:embed *.csv SOURCES.md demo coastline
var FS embed.FS
