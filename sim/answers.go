package sim

import (
	"context"
	"math"
	"slices"

	"tankodds/sim/internal/steady"
)

// Answer says what the solved sizes are worth, or why there is none: an answer
// a row, with its band where the claims tell one.
func (q *Question) Answer(sizes []Solved, c *Claims) []Answer {
	s := q.study
	stated := s.Stated(q.series.Years.Len())
	value := func(x Cell) float64 {
		if stated {
			return x.Annual.Estimate
		}
		return x.MonteCarlo.Of(s.Measure).Estimate
	}
	nan := math.NaN()
	out := make([]Answer, len(sizes))
	for i, f := range sizes {
		row := c.Rows[i]
		a := Answer{Measure: s.Measure, Target: s.Target, Allow: s.Allow, Area: row[0].Area, Tank: f.Tank, Beyond: f.Beyond,
			Low: nan, High: nan, Safe: nan, Listed: nan, Cell: c.At[i], Reached: value(row[len(row)-1])}
		switch {
		case !math.IsNaN(f.Tank):
			if f.Tank < row[0].Tank {
				a.Why = MeetsBelow
			}
			a.Listed = first(row, func(x Cell) bool { return value(x) >= s.Target })
		case !math.IsNaN(f.Beyond):
			a.Why = SpellsTooLong
		case a.Cell.Inflow < a.Cell.Demand:
			a.Why = YieldTooSmall
		default:
			a.Why = NoneWithinReach
		}
		if i == len(sizes)-1 {
			a.Listed = s.listed(a.Tank)
		}
		if c.banded {
			var moved [][]float64
			if c.moved != nil {
				moved = c.moved[i]
			}
			a.band(s, row, moved)
		}
		out[i] = a
	}
	return out
}

// first returns the size of the first cell that meets, NaN where none does.
func first(row []Cell, meets func(Cell) bool) float64 {
	if k := slices.IndexFunc(row, meets); k >= 0 {
		return row[k].Tank
	}
	return math.NaN()
}

// listed is the smallest of the study's sizes that holds a tank of a size, NaN
// where none does.
func (s *Study) listed(tank float64) float64 {
	if k := slices.IndexFunc(s.Sizes, func(size float64) bool { return size >= tank }); k >= 0 {
		return s.Sizes[k]
	}
	return math.NaN()
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

// Close closes on the sizes at which the bounds of the claim meet the target
// for the site's own roofs, the last of the answers: read off between the
// sizes of the curve they would miss it by some tenths of a per cent. Where
// resampled records widen the claim they are known at the curve's sizes only,
// and stay. The answer for the same area among those asked about takes over
// what is found.
func (q *Question) Close(ctx context.Context, answers []Answer, c *Claims, reps *Replicates) ([]Answer, error) {
	out := slices.Clone(answers)
	last := len(out) - 1
	own, err := q.closed(ctx, out[last], c.Rows[last], reps)
	if err != nil {
		return nil, err
	}
	for i, a := range out {
		if a.Area == own.Area && a.Tank == own.Tank || i == last {
			out[i].Low, out[i].High, out[i].Safe = own.Low, own.High, own.Safe
		}
	}
	return out, nil
}

// closed is Close for one answer.
func (q *Question) closed(ctx context.Context, a Answer, curve []Cell, reps *Replicates) (Answer, error) {
	s := q.study
	if s.Measure != Annual || !s.RecordError || math.IsNaN(a.Tank) || reps != nil && reps.block > 1 {
		return a, nil
	}
	sizes := Row{Scale: 1}
	ends := []struct {
		bound    func(Interval) float64
		at       float64 // where it meets the target
		from, to int     // the sizes that are tried
	}{
		{bound: func(x Interval) float64 { return x.High }, at: a.Low},
		{bound: func(x Interval) float64 { return x.Low }, at: a.Safe},
	}
	for i := range ends {
		e := &ends[i]
		e.from = len(sizes.Usable)
		if k := slices.IndexFunc(curve, func(c Cell) bool { return e.bound(c.Annual) >= s.Target }); k > 0 {
			sizes.Usable = append(sizes.Usable, steady.Cuts(s.Usable(curve[k-1].Tank), s.Usable(curve[k].Tank), mostCuts/2)...)
		}
		e.to = len(sizes.Usable)
	}
	if len(sizes.Usable) == 0 {
		return a, nil
	}
	got, err := q.Simulate(ctx, []Row{sizes})
	if err != nil {
		return a, err
	}
	for i := range ends {
		e := &ends[i]
		for k := e.to - 1; k >= e.from; k-- {
			if e.bound(got.Claim(0, k).Interval(s.Level)) >= s.Target {
				e.at = sizes.Usable[k] / (1 - s.Dead)
			}
		}
	}
	a.Low, a.Safe = min(a.Tank, ends[0].at), ends[1].at
	if !math.IsNaN(a.Safe) {
		a.Safe = max(a.Tank, a.Safe)
	}
	a.High = a.Safe
	return a, nil
}

// Outlook is what the next Horizon years may bring at the tank of a cell.
func (s *Study) Outlook(c Cell) *Outlook {
	p := chance(s.Horizon, 1-c.said.seen, c.said.cluster)
	if s.RecordError {
		p = c.said.Outlook(s.Horizon)
	}
	low, high := CountInterval(p, s.Level)
	return &Outlook{Tank: c.Tank, Horizon: s.Horizon, Low: low, Mid: countQuantile(p, 0.5), High: high}
}
