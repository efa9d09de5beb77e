package sim

import (
	"math"
	"sort"
)

// Answer says what the solved sizes are worth, or why there is none: an answer
// an area, with its band where the study weighs the record.
func (q *Question) Answer(sizes []Solved, c *Claims) []Answer {
	s := q.study
	nan := math.NaN()
	out := make([]Answer, len(sizes))
	for i, f := range sizes {
		row := c.Rows[i]
		a := Answer{
			Measure: s.Measure, Target: s.Target, Allow: s.Allow, Area: row[0].Area, Tank: f.Tank, Exact: f.Exact,
			Low: nan, High: nan, Safe: nan, Sure: nan, Listed: f.Listed, Lead: f.Look, Cell: c.At[i], Reached: s.said(s.claim(c.curves, i, s.largest())),
			Shows: c.curves.weights[i].shows,
		}
		usable := c.curves.Totals.Usable
		switch {
		case usable < FewYears:
			a.Grade = TooShort
		case math.IsNaN(f.Tank):
			a.Grade = OutOfReach
		case c.curves.Totals.Counts(s.Measure) < a.Shows:
			a.Grade = Indicated
		}
		switch {
		case !math.IsNaN(f.Tank):
		case a.Cell.Inflow < a.Cell.Demand:
			a.Why = YieldTooSmall
		case a.Grade == TooShort:
			a.Why = TooFewYears
		default:
			a.Why = NoneWithinReach
		}
		if math.IsNaN(f.Tank) {
			a.Lead = nan
		}
		if s.RecordError && a.Grade != TooShort {
			a.Low, a.Safe = c.band(i, f.rung)
			if a.Grade == Indicated { // what the record cannot show has no safe size
				a.Safe = nan
			} else {
				a.Sure = c.sure(i)
			}
			a.High = a.Safe
		}
		out[i] = a
	}
	return out
}

// band returns the sizes under area i where the bounds of the study's measure
// meet the target: the smallest whose upper one does, no larger than a rung that
// meets it, and the smallest whose lower one does. They are NaN where there is
// none. Bounds rise with size.
func (c *Claims) band(i, rung int) (low, safe float64) {
	s, rungs := c.study, c.curves.Rungs
	first := func(from, to int, bound func(Claim) float64) float64 {
		k := from + sort.Search(to-from, func(k int) bool { return bound(s.claim(c.curves, i, rungs[from+k])) >= s.Target })
		if k == len(rungs) {
			return math.NaN()
		}
		return rungs[k]
	}
	low = first(0, rung, func(c Claim) float64 { return c.High })
	return low, first(rung, len(rungs), func(c Claim) float64 { return c.Low })
}

// listed is the smallest of the study's sizes that meets the target under area
// i, NaN where none does.
func (s *Study) listed(c *Curves, i int) float64 {
	for _, size := range s.Sizes {
		if s.Value(c, i, size) >= s.Target {
			return size
		}
	}
	return math.NaN()
}

// sure is the smallest of them whose lower bound does.
func (c *Claims) sure(i int) float64 {
	s := c.study
	for _, size := range s.Sizes {
		if s.claim(c.curves, i, size).Low >= s.Target {
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
