package sim

// Claims is what may be said of every tank shown, with the bounds that the study
// asks for, and of every size that an answer may be.
type Claims struct {
	Rows   [][]Cell // as Curves.Listed
	At     []Cell   // one an area: the size that was solved for, or the largest asked about
	Thumbs []Thumb  // those of Curves, with their cells

	study  *Study
	curves *Curves
	reps   *Replicates
}

// Claim reads the cells out of the main run and lays the record error over
// them: as resampled records show it where there are any (reps may be nil).
func (q *Question) Claim(c *Curves, sizes []Solved, reps *Replicates) *Claims {
	out := &Claims{study: q.study, curves: c, reps: reps}
	for i, listed := range c.Listed {
		row := make([]Cell, len(listed))
		for k, size := range listed {
			row[k] = out.cell(c.tank(i, size))
		}
		rising(row)
		out.Rows = append(out.Rows, row)
		out.At = append(out.At, out.cell(sizes[i].tank))
	}
	for _, t := range c.Thumbs {
		t.Cell = out.cell(c.tank(len(c.Listed)-1, t.Tank))
		out.Thumbs = append(out.Thumbs, t)
	}
	return out
}

// cell reads one tank.
func (c *Claims) cell(k tank) Cell {
	s, g := c.study, k.run
	t, years := g.total[k.row][k.size], float64(g.years)
	out := Cell{
		Area: c.curves.Areas[k.area], Tank: k.nominal,
		ShortDays: t.short / years, Supplied: t.supplied / years, Spilled: t.spilled / years,
		Demand: g.demand / years, Inflow: g.inflow[k.row] / years,
		said: c.said(k.area, k.nominal),
	}
	if g.inflow[k.row] > 0 {
		out.SpillShare = t.spilled / g.inflow[k.row]
	}
	for m := Annual; m <= Volume; m++ {
		*out.MonteCarlo.at(m) = g.MonteCarlo(m, k.row, k.size, s.Level)
		*out.at(m) = c.bounds(m, k)
	}
	return out
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

// claim is what the record lets be said of the good years of a nominal size
// under area i if its years do not depend on each other.
func (c *Claims) claim(i int, nominal float64) Claim { return c.study.claim(c.curves, i, nominal) }

// said is claim with its clusters widened where they do.
func (c *Claims) said(i int, nominal float64) Claim {
	out := c.claim(i, nominal)
	if c.reps != nil && c.reps.block > 1 {
		values, noise := c.reps.at(Annual, c.curves.rows[i], nominal)
		out = out.spreading(values, noise, c.reps.record)
	}
	return out
}

// bounds is a measure of a tank with its bounds: where the study weighs the
// record's error those of the claim for good years, and those that resampled
// records give the other two.
func (c *Claims) bounds(m Measure, k tank) Interval {
	s := c.study
	out := k.run.MonteCarlo(m, k.row, k.size, s.Level)
	switch {
	case !s.RecordError:
	case m == Annual:
		out = c.claim(k.area, k.nominal).Interval(s.Level)
		out.widen(c.said(k.area, k.nominal).Interval(s.Level)) // never the narrower
	case c.reps != nil:
		values, noise := c.reps.at(m, c.curves.rows[k.area], k.nominal)
		moved := deviations(values, noise, c.reps.record)
		for b := range moved {
			moved[b] = min(1, max(0, out.Estimate+moved[b]))
		}
		low, high := spread(moved, s.Level)
		// Where the record error is too small to be told from the noise,
		// the noise is what is known: never narrower than it.
		out.widen(Interval{Low: low, High: high})
	case s.Replicates > 0 && k.run.Record == 1:
		// One year cannot be resampled, and what cannot be seen to vary is
		// not known to stay.
		out.Low, out.High = 0, 1
	}
	return out
}

// banded says whether the bounds of the study's measure tell a band of sizes.
func (c *Claims) banded() bool {
	s := c.study
	return c.reps != nil || s.RecordError && s.Replicates > 0 && c.curves.Totals.Record == 1 && s.Measure == Annual
}

// widen makes the bounds hold those of another interval.
func (x *Interval) widen(by Interval) {
	x.Low, x.High = min(x.Low, by.Low), max(x.High, by.High)
}
