// Command coastline makes the coastline of the seed data from Natural Earth's
// land at 1:10 million, as the npm package world-atlas 2.0.2 has it, and the
// ports' approach points from that coastline. A maintainer runs it, nobody else:
//
//	npm install world-atlas@2.0.2
//	go run ./cmd/coastline pack node_modules/world-atlas/land-10m.json seed/coastline/land-10m.bin.gz
//	go run ./cmd/coastline approach seed < ports.csv > new-ports.csv
package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"

	"hardtack/route/geo"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "coastline:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 3 && args[0] == "pack":
		return pack(args[1], args[2])
	case len(args) == 2 && args[0] == "approach":
		return approach(os.DirFS(args[1]), os.Stdin, os.Stdout)
	}
	return errors.New("want: pack LAND.json FILE, or approach SEED-FOLDER <ports.csv >new-ports.csv")
}

// topology is what is needed of TopoJSON: one multipolygon of arcs.
type topology struct {
	Transform struct {
		Scale     [2]float64 `json:"scale"`
		Translate [2]float64 `json:"translate"`
	} `json:"transform"`
	Objects struct {
		Land struct {
			Geometries []struct {
				Arcs [][][]int `json:"arcs"`
			} `json:"geometries"`
		} `json:"land"`
	} `json:"objects"`
	Arcs [][][2]int64 `json:"arcs"`
}

func pack(from, to string) error {
	text, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	var t topology
	if err := json.Unmarshal(text, &t); err != nil {
		return fmt.Errorf("read %s: %w", from, err)
	}
	f, err := os.Create(to)
	if err != nil {
		return err
	}
	if err := geo.WriteCoast(f, t.grid(), t.rings()); err != nil {
		return errors.Join(fmt.Errorf("write %s: %w", to, err), f.Close())
	}
	return f.Close()
}

func (t *topology) grid() geo.Grid {
	return geo.Grid{
		LonOrigin: t.Transform.Translate[0], LatOrigin: t.Transform.Translate[1],
		LonStep: t.Transform.Scale[0], LatStep: t.Transform.Scale[1],
		Turn: int64(360/t.Transform.Scale[0] + 0.5),
	}
}

func (t *topology) rings() [][]geo.GridPoint {
	var rings [][]geo.GridPoint
	for _, g := range t.Objects.Land.Geometries {
		for _, polygon := range g.Arcs {
			for _, ring := range polygon {
				rings = append(rings, t.ring(ring))
			}
		}
	}
	return rings
}

// ring joins arcs; ~i is arc i backwards, and arcs share their ends.
func (t *topology) ring(arcs []int) []geo.GridPoint {
	var ring []geo.GridPoint
	for _, i := range arcs {
		arc := t.arc(i)
		if len(ring) > 0 {
			arc = arc[1:]
		}
		ring = append(ring, arc...)
	}
	return ring
}

func (t *topology) arc(i int) []geo.GridPoint {
	backwards := i < 0
	if backwards {
		i = ^i
	}
	points := make([]geo.GridPoint, len(t.Arcs[i]))
	var at geo.GridPoint
	for k, d := range t.Arcs[i] {
		at.X += d[0]
		at.Y += d[1]
		if backwards {
			points[len(points)-1-k] = at
		} else {
			points[k] = at
		}
	}
	return points
}
