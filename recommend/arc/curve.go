package arc

import (
	"fmt"
	"slices"
)

// point is one printed pair of a table.
type point struct{ x, y float64 }

// curve runs straight between printed points; y never falls as x grows.
type curve []point

// newCurve sorts the points by x, takes the mean of points that share an x, and
// levels out a point that falls below the one before it (a slip in print) by
// the mean of the two.
func newCurve(points []point) (curve, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("a curve needs two points, got %d", len(points))
	}
	points = slices.Clone(points)
	slices.SortStableFunc(points, func(a, b point) int {
		if a.x < b.x {
			return -1
		}
		if a.x > b.x {
			return 1
		}
		return 0
	})
	var c curve
	for i := 0; i < len(points); {
		j, sum := i, 0.0
		for ; j < len(points) && points[j].x == points[i].x; j++ {
			sum += points[j].y
		}
		c = append(c, point{points[i].x, sum / float64(j-i)})
		i = j
	}
	for i := 1; i < len(c); i++ {
		for j := i; j > 0 && c[j].y < c[j-1].y; j-- {
			mean := (c[j].y + c[j-1].y) / 2
			c[j].y, c[j-1].y = mean, mean
		}
	}
	return c, nil
}

func (c curve) lowX() float64  { return c[0].x }
func (c curve) highX() float64 { return c[len(c)-1].x }

// covers reports whether x lies inside the table, ends included, allowing for
// the last digit of a conversion between units.
func (c curve) covers(x float64) bool {
	slack := 1e-9 * c.highX()
	return x >= c.lowX()-slack && x <= c.highX()+slack
}

// at returns y at x, held at the ends. Callers that must not leave the table
// ask covers first.
func (c curve) at(x float64) float64 {
	if x <= c.lowX() {
		return c[0].y
	}
	for i := 1; i < len(c); i++ {
		if x <= c[i].x {
			share := (x - c[i-1].x) / (c[i].x - c[i-1].x)
			return c[i-1].y + share*(c[i].y-c[i-1].y)
		}
	}
	return c[len(c)-1].y
}

// inverse swaps the axes. It holds for a curve that rises strictly.
func (c curve) inverse() curve {
	inv := make(curve, len(c))
	for i, p := range c {
		inv[i] = point{p.y, p.x}
	}
	return inv
}

// stretch returns the curve with x multiplied by f.
func (c curve) stretch(f float64) curve {
	out := make(curve, len(c))
	for i, p := range c {
		out[i] = point{p.x * f, p.y}
	}
	return out
}
