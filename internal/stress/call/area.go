package call

import "overhang/internal/stress/field"

// A Rect is a zone in the engine's frame.
type Rect struct {
	Name           string
	X0, X1, Y0, Y1 field.Yards
	Mark           field.Point
	Sink           field.Yards // 0: a deep zone
}

// Holds says whether a catch at p is the zone's.
func (r *Rect) Holds(p field.Point) bool {
	return p.X >= r.X0 && p.X <= r.X1 && p.Y >= r.Y0 && p.Y <= r.Y1
}

// Inside is how far p lies inside of the zone's border, negative outside.
func (r *Rect) Inside(p field.Point) field.Yards {
	return min(p.X-r.X0, r.X1-p.X, p.Y-r.Y0, r.Y1-p.Y)
}

// An Area is a zone as it lies on the left and on the right.
type Area [2]*Rect

// Side returns where the zone of a man lies whose own side has this sign of x.
func (a Area) Side(side int) *Rect {
	if side < 0 {
		return a[0]
	}
	return a[1]
}

// areaOf turns a zone from own-side terms into the engine's frame.
func areaOf(name string, z Zone) Area {
	lo, hi := min(z.X0, z.X1), max(z.X0, z.X1)
	return Area{
		{name, -hi, -lo, z.Y0, z.Y1, field.Point{X: -z.X, Y: z.Y}, z.Sink},
		{name, lo, hi, z.Y0, z.Y1, field.Point{X: z.X, Y: z.Y}, z.Sink},
	}
}

// standardAreas are the areas of the standard zones: one for all calls, so that theirs are quickly told to be the same.
var standardAreas = func() map[string]Area {
	m := map[string]Area{}
	for name, z := range standardZones {
		m[name] = areaOf(name, z)
	}
	return m
}()

// area is where the zone of that name lies: see Zone.
func (c *Call) area(name string) (Area, bool) {
	if z, ok := c.Zones[name]; ok {
		return areaOf(name, z), true
	}
	a, ok := standardAreas[name]
	return a, ok
}
