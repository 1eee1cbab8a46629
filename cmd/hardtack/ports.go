package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"hardtack/api"
	"hardtack/route/geo"
	"hardtack/route/port"
)

type portsCmd struct {
	Text string `arg:"" optional:"" help:"Name or id; accents and capitals do not matter."`
	Near string `help:"Nearest to a place instead." placeholder:"LAT,LON"`
	N    int    `short:"n" help:"At most so many; 0 is all." default:"20"`
	Add  string `help:"Keep a port of your own from a JSON file." placeholder:"FILE"`
}

// Help implements kong's HelpProvider.
func (portsCmd) Help() string {
	return `Ports by name or by place. Not for navigation.

Example:
  hardtack ports funchal`
}

// Run finds ports.
func (c *portsCmd) Run(sh *shell) error {
	return sh.service(func(s *api.Service) error {
		ports, err := c.find(sh, s)
		if err != nil {
			return err
		}
		return sh.emit(ports, func(w io.Writer) error { return describePorts(w, ports) })
	})
}

func (c *portsCmd) find(sh *shell, s *api.Service) ([]port.Port, error) {
	n := c.N
	if n <= 0 {
		n = 1 << 20
	}
	switch {
	case c.Add != "":
		p, err := readJSON[port.Port](sh, c.Add)
		if err != nil {
			return nil, err
		}
		kept, err := s.PutPort(sh.ctx, p, api.AnyRevision)
		return []port.Port{kept.Value}, err
	case c.Near != "":
		at, err := position(c.Near)
		if err != nil {
			return nil, err
		}
		return s.PortsNear(sh.ctx, at, n)
	}
	return s.Ports(sh.ctx, c.Text, n)
}

func position(text string) (geo.Position, error) {
	a, b, ok := strings.Cut(text, ",")
	lat, errLat := strconv.ParseFloat(strings.TrimSpace(a), 64)
	lon, errLon := strconv.ParseFloat(strings.TrimSpace(b), 64)
	if !ok || errLat != nil || errLon != nil || !(lat >= -90 && lat <= 90) || !(lon >= -180 && lon <= 180) {
		return geo.Position{}, fmt.Errorf("%w: --near %q: want latitude and longitude in degrees, as 28.13,-15.43", errUsage, text)
	}
	return geo.Position{Lat: lat, Lon: lon}, nil
}

func describePorts(w io.Writer, ports []port.Port) error {
	p := columns(w)
	if len(ports) == 0 {
		p.f("No port is called that.\n")
	}
	for _, x := range ports {
		p.f("%s\t%s\t%s\t%s\t%s\t%.3f %.3f\n", x.ID, x.Name, x.Country, x.Currency, x.Size, x.Position.Lat, x.Position.Lon)
	}
	return p.end()
}
