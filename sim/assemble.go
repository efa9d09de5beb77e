package sim

import (
	"math"
)

// cell reads tank k of row i out of the main run.
func (s *Study) cell(g *Totals, i, k int, area, nominal float64) Cell {
	t, years := g.total[i][k], float64(g.years)
	c := Cell{
		Area: area, Tank: nominal,
		ShortDays: t.short / years, Supplied: t.supplied / years, Spilled: t.spilled / years,
		Demand: g.demand / years, Inflow: g.inflow[i] / years,
	}
	if g.inflow[i] > 0 {
		c.SpillShare = t.spilled / g.inflow[i]
	}
	for m := Annual; m <= Volume; m++ {
		*c.MonteCarlo.at(m) = g.MonteCarlo(m, i, k, s.Level)
	}
	c.Measures = c.MonteCarlo
	c.said = g.Claim(i, k)
	if s.RecordError {
		c.Annual = c.said.Interval(s.Level)
	}
	return c
}

// fill sets what the main run knows: cells, curve and answers.
func (r *Result) fill(j *job, grid *Totals, found []solved) {
	s := j.study
	for i, a := range s.Areas {
		row := make([]Cell, len(s.Sizes))
		for k, size := range s.Sizes {
			row[k] = s.cell(grid, i, k, a, size)
		}
		rising(row)
		r.Cells = append(r.Cells, row...)
		r.Answers = append(r.Answers, j.answer(row, a, found[i]))
	}
	i, own := len(s.Areas), TotalArea(s.Roofs)
	for k, size := range s.curveSizes() {
		r.Curve = append(r.Curve, s.cell(grid, i, k, own, size))
	}
	rising(r.Curve)
	r.Main = j.answer(r.Curve, own, found[i])
	r.Main.Listed = s.listed(r, own)
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

// listed is the smallest of the study's sizes that meets the target under the
// site's own roofs.
func (s *Study) listed(r *Result, own float64) float64 {
	for _, size := range s.Sizes {
		if size >= r.Main.Tank {
			return size
		}
	}
	return math.NaN()
}

// answer says what a solved size is worth, or why there is none.
func (j *job) answer(row []Cell, area float64, f solved) Answer {
	s, nan := j.study, math.NaN()
	stated := s.Stated(j.years.Len())
	value := func(c Cell) float64 {
		if stated {
			return c.Annual.Estimate
		}
		return c.MonteCarlo.Of(s.Measure).Estimate
	}
	smallest, largest := row[0], row[len(row)-1]
	a := Answer{Measure: s.Measure, Target: s.Target, Allow: s.Allow, Reached: value(largest), Area: area, Tank: nan, Low: nan, High: nan, Safe: nan, Listed: nan, Beyond: nan}
	if !math.IsNaN(f.at) {
		a.Tank = f.at / (1 - s.Dead)
		a.Cell = s.cell(f.sums, f.row, f.k, area, a.Tank)
		if a.Tank < smallest.Tank {
			a.Why = MeetsBelow
		}
		for _, c := range row {
			if value(c) >= s.Target {
				a.Listed = c.Tank
				break
			}
		}
		return a
	}
	a.Cell = s.cell(f.sums, f.row, f.k, area, largest.Tank)
	switch {
	case !math.IsNaN(f.beyond):
		a.Beyond = f.beyond / (1 - s.Dead)
		a.Why = SpellsTooLong
	case a.Cell.Inflow < a.Cell.Demand:
		a.Why = YieldTooSmall
	default:
		a.Why = NoneWithinReach
	}
	return a
}

// bands lays the record error that resampling shows over the cells, the curve
// and the answers.
func (r *Result) bands(s *Study, reps *replicates) {
	for i, row := range r.Rows() {
		r.Answers[i].band(s, row, s.carry(row, reps, i))
	}
	i := len(r.Answers)
	r.Main.band(s, r.Curve, s.carry(r.Curve, reps, i))
	watched := []Cell{r.Main.Cell} // the size looked at, then the rules of thumb
	for _, t := range r.Thumbs {
		watched = append(watched, t.Cell)
	}
	s.carry(watched, reps, i+1)
	if !math.IsNaN(r.Main.Tank) {
		r.Main.Cell = watched[0]
	}
	for k := range r.Thumbs {
		r.Thumbs[k].Cell = watched[k+1]
	}
}

// carry widens the time-based and volumetric measures of a row of cells by the
// record error, the annual one where the record's years depend on each other
// (where they do not, the claim holds the record error already), and returns
// the study's measure, where it is one of them, as each resampled record would
// give it, [replicate][cell].
func (s *Study) carry(row []Cell, reps *replicates, i int) [][]float64 {
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
					wide := row[k].said.Interval(s.Level)
					x.Low, x.High = min(x.Low, wide.Low), max(x.High, wide.High)
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
			noise := row[k].MonteCarlo.Of(m)
			x.Low, x.High = min(x.Low, noise.Low), max(x.High, noise.High)
		}
	}
	return curves
}

// outlook is what the next Horizon years may bring at the tank of a cell.
func (s *Study) outlook(c Cell, nominal float64) *Outlook {
	p := chance(s.Horizon, 1-c.said.seen, c.said.cluster)
	if s.RecordError {
		p = c.said.Outlook(s.Horizon)
	}
	low, high := CountInterval(p, s.Level)
	return &Outlook{Tank: nominal, Horizon: s.Horizon, Low: float64(low), Mid: float64(countQuantile(p, 0.5)), High: float64(high)}
}

// band sets an answer's band and safe size: for annual reliability the sizes
// at which the bounds of the claim meet the target, for the other measures the
// spread of the sizes that the resampled curves ask for.
func (a *Answer) band(s *Study, row []Cell, curves [][]float64) {
	x, low, high := make([]float64, len(row)), make([]float64, len(row)), make([]float64, len(row))
	for k, c := range row {
		m := c.Of(s.Measure)
		x[k], low[k], high[k] = c.Tank, m.Low, m.High
	}
	a.Safe = crossing(x, low, s.Target)
	if s.Measure == Annual {
		a.Low, a.High = crossing(x, high, s.Target), a.Safe
	} else {
		sizes := make([]float64, len(curves))
		for b, y := range curves {
			sizes[b] = crossing(x, y, s.Target)
		}
		a.Low, a.High = spread(sizes, s.Level)
	}
	if !math.IsNaN(a.Tank) {
		a.Low, a.High, a.Safe = min(a.Low, a.Tank), max(a.High, a.Tank), max(a.Safe, a.Tank)
	}
	a.Low, a.High, a.Safe = finite(a.Low), finite(a.High), finite(a.Safe)
}

// stops finds where more storage stops paying, and how the record error moves
// it.
func (r *Result) stops(s *Study, reps *replicates) {
	size, supply := make([]float64, len(r.Curve)), make([]float64, len(r.Curve))
	for k, c := range r.Curve {
		size[k], supply[k] = c.Tank, c.Supplied
	}
	want := r.Curve[0].Demand
	knee := func(y []float64) float64 {
		at, _ := Knee(size, y)
		if at < 0 {
			return math.NaN()
		}
		return size[at]
	}
	gain := func(y []float64) float64 { return gainStop(size, y, s.GainStep, s.GainStop*want) }
	add := func(method string, find func([]float64) float64) {
		st := Stop{Method: method, Tank: find(supply), Low: math.NaN(), High: math.NaN()}
		if reps != nil && !math.IsNaN(st.Tank) {
			found := make([]float64, len(reps.supply))
			for b, y := range reps.supply {
				if found[b] = find(y); math.IsNaN(found[b]) {
					found[b] = math.Inf(1)
				}
			}
			low, high := spread(found, s.Level)
			st.Low, st.High = finite(min(low, st.Tank)), finite(max(high, st.Tank))
		}
		r.Stops = append(r.Stops, st)
	}
	if c := s.Costs; c != nil {
		add(ByValue, func(y []float64) float64 { return c.bestValue(size, y) })
	}
	add(ByKnee, knee)
	add(ByGain, gain)
}
