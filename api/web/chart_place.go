package web

import "math"

// beadR is the radius of the bead a stop's number stands in.
const beadR = 9.0

// ports puts the circles that are in the frame, and each number where nothing
// else stands.
func (c *mapChart) ports(rows []stopRow, at []point) {
	most := 1.0
	for _, r := range rows {
		most = max(most, r.Spend)
	}
	index := map[string]int{}
	for i, r := range rows {
		p := portMark{X: px(at[i].x), Y: px(at[i].y), R: px(3 + 9*math.Sqrt(max(0, r.Spend)/most)), Label: r.Name, N: trim(float64(r.N), 0)}
		if p.X < 0 || p.X > c.W || p.Y < 0 || p.Y > c.H {
			continue
		}
		if k, there := index[r.Port]; there { // called at twice
			c.Ports[k].N += "," + p.N
			c.Ports[k].R = max(c.Ports[k].R, p.R)
			continue
		}
		index[r.Port] = len(c.Ports)
		c.Ports = append(c.Ports, p)
	}
	for i := range c.Ports {
		c.place(i)
	}
}

// point is a place on the drawing.
type point struct{ x, y float64 }

func (p portMark) port() point { return point{p.X, p.Y} }
func (p portMark) bead() point { return point{p.LX, p.LY} }

// halfBead is how far a number reaches to the sides: several stops in one port
// make it long.
func (p portMark) halfBead() float64 { return max(beadR, 3.2*float64(len(p.N))+3) }

// place puts the number of a port where it covers least of what was placed
// before and of any port: near it if possible, else wherever there is room.
func (c *mapChart) place(i int) {
	p := &c.Ports[i]
	best := math.Inf(1)
	try := func(x, y float64) {
		spot := *p
		spot.LX, spot.LY = px(x), px(y)
		away := distance(spot.bead(), p.port()) - p.R
		if cost := c.covers(i, spot) + away/50; cost < best {
			best = cost
			p.LX, p.LY, p.Lead = spot.LX, spot.LY, away > beadR+2
		}
	}
	for _, r := range []float64{10, 20, 32, 46, 62, 80, 100, 125, 150, 180, 220} {
		for k := range 16 {
			a := float64(k)*math.Pi/8 - math.Pi/4
			try(p.X+(p.R+r)*math.Cos(a), p.Y+(p.R+r)*math.Sin(a))
		}
	}
	if best < never {
		return
	}
	for y := beadR + 2; y <= c.H-beadR-2; y += beadR {
		for x := p.halfBead() + 2; x <= c.W-p.halfBead()-2; x += beadR {
			try(x, y)
		}
	}
}

// never is more than all else together.
const never = 1e6

// covers counts what a number at a spot would hide, beads and ports most.
func (c *mapChart) covers(i int, spot portMark) float64 {
	cost := 0.0
	if half := spot.halfBead(); spot.LX < half+2 || spot.LX > c.W-half-2 || spot.LY < beadR+2 || spot.LY > c.H-beadR-2 {
		cost += never
	}
	for k, o := range c.Ports {
		if k == i {
			continue
		}
		if distance(spot.bead(), o.port()) < o.R+spot.halfBead()+1 {
			cost += 20
		}
		if distanceTo(o.port(), spot.port(), spot.bead()) < 2 {
			cost += 3
		}
		if k > i {
			continue // not placed yet
		}
		if overlap(spot, o) {
			cost += never
		}
		if crossing(spot.port(), spot.bead(), o.port(), o.bead()) {
			cost += 8
		}
		if distanceTo(o.bead(), spot.port(), spot.bead()) < o.halfBead() || distanceTo(spot.bead(), o.port(), o.bead()) < spot.halfBead() {
			cost += 10
		}
	}
	return cost
}

// overlap says whether two numbers touch.
func overlap(a, b portMark) bool {
	return math.Abs(a.LX-b.LX) < a.halfBead()+b.halfBead()+1 && math.Abs(a.LY-b.LY) < 2*beadR+1
}

func distance(a, b point) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// distanceTo is how far a point is from the line between two others.
func distanceTo(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := ((p.x-a.x)*dx + (p.y-a.y)*dy) / max(dx*dx+dy*dy, 1e-9)
	t = min(max(t, 0), 1)
	return distance(p, point{a.x + t*dx, a.y + t*dy})
}

// crossing says whether the lines a–b and c–d cross.
func crossing(a, b, c, d point) bool {
	side := func(p, q, r point) bool { return (q.x-p.x)*(r.y-p.y) > (q.y-p.y)*(r.x-p.x) }
	return side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

// crowded are ports, each with at least two others so near that a closer look
// would part them; one of each such group.
func (c *mapChart) crowded() []int {
	var out []int
	for i, p := range c.Ports {
		near := 0
		for k, o := range c.Ports {
			if k != i && distance(p.port(), o.port()) < 24 {
				near++
			}
		}
		if near < 2 {
			continue
		}
		known := false
		for _, k := range out {
			known = known || distance(c.Ports[k].port(), p.port()) < 90
		}
		if !known {
			out = append(out, i)
		}
	}
	return out
}

// BeadX, BeadY and BeadW are the bead's box.
func (p portMark) BeadX() float64 { return px(p.LX - p.halfBead()) }

// BeadY is its upper edge.
func (p portMark) BeadY() float64 { return px(p.LY - beadR) }

// BeadW is its width.
func (p portMark) BeadW() float64 { return px(2 * p.halfBead()) }
