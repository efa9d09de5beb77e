package sim

import "math"

// Answer says what the solved sizes are worth, or why there is none: an answer
// an area, with its band where the claims tell one.
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
		a := Answer{Measure: s.Measure, Target: s.Target, Allow: s.Allow, Area: row[0].Area, Tank: f.Tank, Exact: f.Exact, Beyond: f.Beyond,
			Low: nan, High: nan, Safe: nan, Listed: nan, Cell: c.At[i], Reached: value(row[len(row)-1])}
		switch {
		case !math.IsNaN(f.Tank):
			if f.Tank < row[0].Tank {
				a.Why = MeetsBelow
			}
			a.Listed = c.listed(i)
		case !math.IsNaN(f.Beyond):
			a.Why = SpellsTooLong
		case a.Cell.Inflow < a.Cell.Demand:
			a.Why = YieldTooSmall
		default:
			a.Why = NoneWithinReach
		}
		if c.banded() {
			a.Low, a.Safe = c.band(i, f.rung)
			a.High = a.Safe
		}
		out[i] = a
	}
	return out
}

// band returns the sizes under area i about a rung where the bounds of the
// study's measure meet the target: the smallest of those below it from which on
// the upper one does, and the first from it on of which the lower one does. They
// are NaN where there is none.
func (c *Claims) band(i, rung int) (low, safe float64) {
	rungs := c.curves.Rungs
	size := func(k int) float64 {
		if k == len(rungs) {
			return math.NaN()
		}
		return rungs[k]
	}
	first, last := rung, rung
	for first > 0 && c.mayMeet(i, rungs[first-1]) {
		first--
	}
	for last < len(rungs) && !c.surelyMeets(i, rungs[last]) {
		last++
	}
	return size(first), size(last)
}

// mayMeet says whether the upper bound of a nominal size under area i meets the
// target.
func (c *Claims) mayMeet(i int, nominal float64) bool {
	s := c.study
	if s.Measure == Annual {
		least := (1 - s.Level) / 2
		return c.claim(i, nominal).above(s.Target, least) || c.said(i, nominal).above(s.Target, least)
	}
	return c.bounds(s.Measure, c.curves.tank(i, nominal)).High >= s.Target
}

// surelyMeets says whether the lower bound does.
func (c *Claims) surelyMeets(i int, nominal float64) bool {
	s := c.study
	if s.Measure == Annual {
		most := (1 + s.Level) / 2
		return c.claim(i, nominal).above(s.Target, most) && c.said(i, nominal).above(s.Target, most)
	}
	return c.bounds(s.Measure, c.curves.tank(i, nominal)).Low >= s.Target
}

// listed is the smallest of the study's sizes that meets the target under area
// i, NaN where none does.
func (c *Claims) listed(i int) float64 {
	for _, size := range c.study.Sizes {
		if c.study.Value(c.curves, i, size) >= c.study.Target {
			return size
		}
	}
	return math.NaN()
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
