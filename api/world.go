package api

import (
	"fmt"
	"io/fs"
	"sync"

	"hardtack/pricing/fx"
	"hardtack/pricing/item"
	"hardtack/route/geo"
	"hardtack/route/port"
)

// World is the data the program comes with. It never changes.
type World struct {
	Catalogue *item.Catalogue
	Ports     *port.Gazetteer
	Rules     *port.Rules
	Rates     fx.Rates
	// Coast is loaded when it is first asked for; not for navigation.
	Coast  func() (*geo.Coast, error)
	Levels map[string]port.Level // of prices, by country
}

// LoadWorld reads the embedded data.
func LoadWorld(files fs.FS) (*World, error) {
	w := &World{Coast: sync.OnceValues(func() (*geo.Coast, error) { return geo.LoadCoast(files) })}
	for _, load := range []func(fs.FS) error{w.loadItems, w.loadPorts, w.loadRules, w.loadRates, w.loadLevels} {
		if err := load(files); err != nil {
			return nil, fmt.Errorf("load the data the program comes with: %w", err)
		}
	}
	return w, nil
}

func (w *World) loadItems(files fs.FS) (err error) {
	w.Catalogue, err = item.Load(files)
	return err
}

func (w *World) loadPorts(files fs.FS) (err error) {
	w.Ports, err = port.Load(files)
	return err
}

func (w *World) loadRules(files fs.FS) (err error) {
	w.Rules, err = port.LoadRules(files)
	return err
}

func (w *World) loadRates(files fs.FS) (err error) {
	f, err := files.Open("rates.csv")
	if err != nil {
		return err
	}
	defer f.Close()
	w.Rates, err = fx.Read(f)
	return err
}

func (w *World) loadLevels(files fs.FS) (err error) {
	w.Levels, err = port.LoadLevels(files)
	return err
}
