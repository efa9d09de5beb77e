package figure

import (
	"math"
	"sort"

	"gonum.org/v1/plot/plotter"

	"tankodds/sim"
)

// grid is a reliability over sizes (rising) and areas (rising).
type grid struct {
	sizes, areas []float64   // L, m²
	share        [][]float64 // [area][size], never falling with the size
}

// gridOf orders the cells by area and size; what is no number counts as not
// reached.
func gridOf(r *sim.Result) (grid, bool) {
	s := r.Study
	var g grid
	rows := r.Rows()
	order := make([]int, 0, len(rows))
	for i, row := range rows {
		if i < len(s.Areas) && len(row) == len(rows[0]) && finite(s.Areas[i]) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return s.Areas[order[a]] < s.Areas[order[b]] })
	for _, i := range order {
		if n := len(g.areas); n > 0 && s.Areas[i] <= g.areas[n-1]*(1+1e-9) {
			continue
		}
		row := make([]float64, len(rows[i]))
		most := 0.0
		for k := range row {
			if x := unit(rows[i][k].Of(s.Measure).Estimate); x > most {
				most = x
			}
			row[k] = most
		}
		g.areas, g.share = append(g.areas, s.Areas[i]), append(g.share, row)
	}
	if len(g.areas) < leastAreas || len(g.share[0]) < leastSizes {
		return grid{}, false
	}
	for k := range g.share[0] {
		g.sizes = append(g.sizes, rows[order[0]][k].Tank)
		if k > 0 && !(g.sizes[k] > g.sizes[k-1]) {
			return grid{}, false
		}
	}
	return g, true
}

// gridAround is that of a map made for one tank.
func gridAround(t *sim.Turned) (grid, bool) {
	var g grid
	if t == nil {
		return g, false
	}
	most := 0.0
	for _, x := range t.Map {
		if n := len(g.areas); n == 0 || x.Roof != g.areas[n-1] {
			g.areas, g.share, most = append(g.areas, x.Roof), append(g.share, nil), 0
		}
		n := len(g.areas) - 1
		if n == 0 {
			g.sizes = append(g.sizes, x.Tank)
		}
		most = max(most, unit(x.Share))
		g.share[n] = append(g.share[n], most)
	}
	for n, row := range g.share {
		if len(row) != len(g.sizes) || n > 0 && !(g.areas[n] > g.areas[n-1]) {
			return grid{}, false
		}
	}
	for k := range g.sizes {
		if k > 0 && !(g.sizes[k] > g.sizes[k-1]) {
			return grid{}, false
		}
	}
	return g, len(g.areas) >= leastAreas && len(g.sizes) >= leastSizes
}

// mapLevelsWith returns the levels, rising, with the target among them; a
// level nearer to it than half a hundredth gives way.
func mapLevelsWith(target float64) []float64 {
	out := []float64{target}
	for _, l := range mapLevels {
		if math.Abs(l-target) > 0.005 {
			out = append(out, l)
		}
	}
	sort.Float64s(out)
	return out
}

// contour is where the share is level, from the largest area down; it bounds
// what reaches the level, to its right, and may run along the grid's edges.
type contour struct {
	level float64
	path  plotter.XYs // size, area
}

// rowsBetween is how finely a contour follows the areas between two rows.
const rowsBetween = 8

// contours returns those of the levels that cross the grid.
func (g grid) contours(levels []float64) []contour {
	var out []contour
	for _, l := range levels {
		if path := g.contour(l); len(path) > 1 {
			out = append(out, contour{l, path})
		}
	}
	return out
}

// contour follows a level from the largest area down, as far as a size within
// the grid reaches it and the smallest does not.
func (g grid) contour(level float64) plotter.XYs {
	var path plotter.XYs
	n := len(g.sizes)
	row := make([]float64, n)
	at := func(i int, t float64) (first, last float64) {
		for k := range row {
			row[k] = g.share[i][k]
			if t > 0 {
				row[k] += t * (g.share[i+1][k] - g.share[i][k])
			}
		}
		return row[0], row[n-1]
	}
	add := func(i int, t float64) bool {
		first, last := at(i, t)
		if last < level-1e-12 || first > level+1e-12 {
			return false
		}
		y := g.areas[i]
		if t > 0 {
			y += t * (g.areas[i+1] - g.areas[i])
		}
		path = append(path, plotter.XY{X: reached(g.sizes, row, level), Y: y})
		return true
	}
	// where between two rows the share at a corner of the grid is the level
	edge := func(i, k int, lo, hi float64) {
		a, b := g.share[i][k], g.share[i+1][k]
		if t := (level - a) / (b - a); a != b && t > lo && t < hi {
			add(i, t)
		}
	}
	for i := len(g.areas) - 2; i >= 0; i-- {
		if i == len(g.areas)-2 {
			add(i, 1)
		}
		for k := rowsBetween - 1; k >= 0; k-- {
			lo, hi := float64(k)/rowsBetween, float64(k+1)/rowsBetween
			edge(i, 0, lo, hi)
			edge(i, n-1, lo, hi)
			add(i, lo)
		}
	}
	return path
}

// reached returns the size at which a row first reaches the level.
func reached(sizes, row []float64, level float64) float64 {
	for k := range row {
		if row[k] < level-1e-12 {
			continue
		}
		if k == 0 || row[k] == row[k-1] {
			return sizes[k]
		}
		return sizes[k-1] + (sizes[k]-sizes[k-1])*max(0, min(1, (level-row[k-1])/(row[k]-row[k-1])))
	}
	return sizes[len(sizes)-1]
}

// interest returns the sizes from somewhat below the first contour to somewhat
// beyond the last: all of them where there is none.
func (g grid) interest(levels []float64, tank float64) (lo, hi float64) {
	first, last := g.sizes[0], g.sizes[len(g.sizes)-1]
	lo, hi = math.Inf(1), 0
	see := func(x float64) {
		if finite(x) {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	for _, c := range g.contours(levels) {
		for _, at := range c.path {
			see(at.X)
		}
	}
	if hi == 0 {
		return first, last
	}
	see(tank)
	if lo, hi = max(first, 0.6*lo), min(last, 1.3*hi); !(hi > lo) {
		return first, last
	}
	return lo, hi
}
