package sim

import (
	"slices"

	"tankodds/rainfall"
)

// Claims is what may be said of every tank shown, with the bounds that the study
// asks for, and of every size that an answer may be.
type Claims struct {
	Rows   [][]Cell // as Curves.Listed
	At     []Cell   // one an area: the size that was solved for, or the largest asked about
	Thumbs []Thumb  // those of Curves, with their cells

	study  *Study
	curves *Curves
}

// Claim reads the cells out of the main run, with what the record lets be said
// of each.
func (q *Question) Claim(c *Curves, sizes []Solved) *Claims {
	out := &Claims{study: q.study, curves: c}
	for i, listed := range c.Listed {
		if i == len(c.Listed)-1 {
			listed = c.reaching(listed, sizes[i].Tank)
		}
		row := make([]Cell, len(listed))
		for k, size := range listed {
			row[k] = out.cell(c.tank(i, size))
		}
		out.Rows = append(out.Rows, row)
		out.At = append(out.At, out.cell(sizes[i].tank))
	}
	for _, t := range c.Thumbs {
		t.Cell = out.cell(c.tank(len(c.Listed)-1, t.Tank))
		out.Thumbs = append(out.Thumbs, t)
	}
	return out
}

// reaching is the curve with steps that take it past the answer, where that lies
// outside the sizes asked about.
func (c *Curves) reaching(curve []float64, answer float64) []float64 {
	const step, past = 1.04, 1.25
	var below, above []float64
	last := curve[len(curve)-1]
	for _, x := range c.Rungs {
		switch {
		case x >= answer/past && x*step <= curve[0] && (below == nil || x >= below[len(below)-1]*step):
			below = append(below, x)
		case x <= answer*past && x >= last*step:
			above, last = append(above, x), x
		}
	}
	return slices.Concat(below, curve, above)
}

// cell reads one tank.
func (c *Claims) cell(k tank) Cell {
	s, g := c.study, k.run
	t, years := g.total[k.row][k.size], float64(g.years)
	out := Cell{
		Area: c.curves.Areas[k.area], Tank: k.nominal,
		Supplied: t.supplied / years, Spilled: t.spilled / years,
		Demand: g.demand / years, Inflow: g.inflow[k.row] / years,
		said: c.curves.claim(Annual, k),
	}
	if g.inflow[k.row] > 0 {
		out.SpillShare = t.spilled / g.inflow[k.row]
	}
	for m := Annual; m <= Volume; m++ {
		*out.MonteCarlo.At(m) = g.MonteCarlo(m, k.row, k.size, s.Level)
		*out.At(m) = out.MonteCarlo.Of(m)
		if s.RecordError {
			*out.At(m) = c.curves.claim(m, k).Interval
		}
	}
	out.ShortDays = rainfall.DaysPerYear * (1 - out.MonteCarlo.Time.Estimate)
	return out
}
