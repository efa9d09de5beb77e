package sim

import "math"

// Claims is what may be said of every tank that was run, with the bounds that
// the study asks for.
type Claims struct {
	Rows   [][]Cell // as Curves.Rows
	At     []Cell   // one a row: the size that was solved for, or the row's largest
	Thumbs []Thumb  // those of Curves, with their cells

	banded bool          // the bounds tell a band of sizes
	moved  [][][]float64 // the study's measure as each resampled record would give it, [row][replicate][tank]
}

// Claim reads the cells out of the main run and lays the record error over
// them: as resampled records show it where there are any (reps may be nil).
func (q *Question) Claim(c *Curves, sizes []Solved, reps *Replicates) *Claims {
	s, own := q.study, len(c.Rows)-1
	out := &Claims{banded: reps != nil}
	for i, area := range c.Areas {
		row := make([]Cell, len(c.Sizes[i]))
		for k, size := range c.Sizes[i] {
			row[k] = s.cell(c.Totals, i, k, area, size)
		}
		rising(row)
		f := sizes[i]
		out.Rows = append(out.Rows, row)
		out.At = append(out.At, s.cell(f.run, f.row, f.k, area, f.Look))
	}
	for k, t := range c.Thumbs {
		t.Cell = s.cell(c.Totals, own+1, k, c.Areas[own], t.Tank)
		out.Thumbs = append(out.Thumbs, t)
	}
	if reps == nil {
		if s.RecordError && s.Replicates > 0 && c.Totals.Record == 1 {
			out.open()
			out.banded = s.Measure == Annual
		}
		return out
	}
	for i, row := range out.Rows {
		out.moved = append(out.moved, s.carry(row, reps, i))
	}
	watched := []Cell{out.At[own]}
	for _, t := range out.Thumbs {
		watched = append(watched, t.Cell)
	}
	s.carry(watched, reps, own+1)
	for k := range out.Thumbs {
		out.Thumbs[k].Cell = watched[k+1]
	}
	if !math.IsNaN(sizes[own].Tank) {
		out.At[own] = watched[0]
	}
	return out
}

// cell reads tank k of row i out of a run.
func (s *Study) cell(g *Totals, i, k int, area, nominal float64) Cell {
	t, years := g.total[i][k], float64(g.years)
	c := Cell{
		Area: area, Tank: nominal,
		ShortDays: t.short / years, Supplied: t.supplied / years, Spilled: t.spilled / years,
		Demand: g.demand / years, Inflow: g.inflow[i] / years,
		said: g.Claim(i, k),
	}
	if g.inflow[i] > 0 {
		c.SpillShare = t.spilled / g.inflow[i]
	}
	for m := Annual; m <= Volume; m++ {
		*c.MonteCarlo.at(m) = g.MonteCarlo(m, i, k, s.Level)
	}
	c.Measures = c.MonteCarlo
	if s.RecordError {
		c.Annual = c.said.Interval(s.Level)
	}
	return c
}

// rising makes the annual reliability of a row of rising sizes, and its
// bounds, rise with size as the truth does, where the clustering of short
// years, seen in few of them, would make it dip.
func rising(row []Cell) {
	for k := 1; k < len(row); k++ {
		a, b := row[k-1].Annual, &row[k].Annual
		*b = Interval{max(a.Estimate, b.Estimate), max(a.Low, b.Low), max(a.High, b.High)}
	}
}

// open says that the record bounds neither the days met nor the water
// supplied: one year cannot be resampled, and what cannot be seen to vary is
// not known to stay. What it says of good years is bounded as ever.
func (c *Claims) open() {
	for _, row := range append(c.Rows[:len(c.Rows):len(c.Rows)], c.At) {
		for k := range row {
			x := &row[k]
			x.Time.Low, x.Time.High = 0, 1
			x.Volumetric.Low, x.Volumetric.High = 0, 1
		}
	}
}

// carry widens the time-based and volumetric measures of a row of cells by the
// record error, the annual one where the record's years depend on each other
// (where they do not, the claim holds the record error already), and returns
// the study's measure, where it is one of them, as each resampled record would
// give it, [replicate][cell].
func (s *Study) carry(row []Cell, reps *Replicates, i int) [][]float64 {
	n := len(reps.shares)
	curves := make([][]float64, n)
	for b := range curves {
		curves[b] = make([]float64, len(row))
	}
	values, noise := make([]float64, n), make([]float64, n)
	for k := range row {
		for m := Annual; m <= Volume; m++ {
			for b, rep := range reps.shares {
				values[b], noise[b] = rep[i][k][m].value, rep[i][k][m].variance
			}
			x := row[k].at(m)
			if m == Annual {
				if reps.block > 1 {
					row[k].said = row[k].said.spreading(values, noise, reps.record)
					x.widen(row[k].said.Interval(s.Level))
				}
				continue
			}
			moved := deviations(values, noise, reps.record)
			for b := range moved {
				moved[b] = min(1, max(0, x.Estimate+moved[b]))
				if m == s.Measure {
					curves[b][k] = moved[b]
				}
			}
			x.Low, x.High = spread(moved, s.Level)
			// Where the record error is too small to be told from the
			// noise, the noise is what is known: never narrower than it.
			x.widen(row[k].MonteCarlo.Of(m))
		}
	}
	return curves
}

// widen makes the bounds hold those of another interval.
func (x *Interval) widen(by Interval) {
	x.Low, x.High = min(x.Low, by.Low), max(x.High, by.High)
}
