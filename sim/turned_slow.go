package sim

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"tankodds/sim/internal/steady"
)

// Where tanks are gone through one by one, each step of a use or a roof is a study
// of its own. So few traces and sizes tell it, and no map: the numbers are about
// right, and as they are printed they meet the target in those years, by what is
// stated or by its bound.
const (
	slowTurnTraces = 20
	slowTurnRatio  = 1.5 // of the sizes that what is claimed is read between
	slowTurnSteps  = 7   // halvings of the range, a ratio of slowTurnMost at first
	slowTurnMost   = 16
)

// turnedSlowly is Turned of such a site. The bounds are told where they are asked for.
func (q *Question) turnedSlowly(ctx context.Context, a Answer) (*Turned, error) {
	s, nan := q.study, math.NaN()
	out := &Turned{Tank: s.largest(), Use: nan, UseSafe: nan, UseHigh: nan, Roof: nan, RoofLow: nan, RoofSafe: nan, Shown: q.series.Years.Len() >= a.Shows}
	other := *q
	other.progress, other.traces = &progress{}, min(slowTurnTraces, q.traces)
	out.Years = other.traces * q.length
	for _, lever := range []slowLever{
		{own: MeanDemand(s.Uses), unit: s.Unit, way: -1, change: func(s *Study, by float64) {
			for i := range s.Uses {
				s.Uses[i] = s.Uses[i].times(by)
			}
		}, to: [3]*float64{&out.Use, &out.UseHigh, &out.UseSafe}},
		{own: TotalArea(s.Roofs), unit: cmp.Or(s.AreaUnit, 1), way: 1, change: func(s *Study, by float64) {
			for i := range s.Roofs {
				s.Roofs[i].Area = float64(s.Roofs[i].Area * by)
			}
		}, to: [3]*float64{&out.Roof, &out.RoofLow, &out.RoofSafe}},
	} {
		lever.q, lever.said = &other, map[float64]Claim{}
		for by, to := range lever.to {
			if by != byValue && (s.Sought == ForTank || !s.RecordError || by == byLow && !out.Shown) {
				continue
			}
			x, err := lever.find(ctx, by)
			if err != nil {
				return nil, err
			}
			if *to = x; by == byValue && math.IsNaN(x) {
				break
			}
		}
	}
	return out, nil
}

// slowLever is a use or a roof that is changed until the target is just met. What is
// claimed of each factor tried tells of the value and of both bounds.
type slowLever struct {
	q         *Question
	own, unit float64
	way       float64 // 1 where more of it meets the target sooner
	change    func(s *Study, by float64)
	to        [3]*float64 // by value, higher bound and lower bound
	said      map[float64]Claim
}

// printed is the factor whose number is the one printed.
func (l *slowLever) printed(by float64) float64 { return roundedTo(l.own*by, l.unit, l.way) / l.own }

// meets says whether the site with so many times the use or the roof meets the target
// by its value or a bound.
func (l *slowLever) meets(ctx context.Context, by float64, bound int) (bool, error) {
	s := l.q.study
	c, known := l.said[by]
	if !known {
		study := *s
		study.Roofs, study.Uses = slices.Clone(s.Roofs), slices.Clone(s.Uses)
		l.change(&study, by)
		if study.Check() != nil {
			return false, nil
		}
		var err error
		if c, err = l.q.largestClaim(ctx, &study); err != nil {
			return false, err
		}
		l.said[by] = c
	}
	switch bound {
	case byHigh:
		return c.High >= s.Target, nil
	case byLow:
		return c.Low >= s.Target, nil
	}
	return s.valueOf(c) >= s.Target, nil
}

// find is the number at which a value or a bound comes to meet the target; NaN where
// there is none within reach.
func (l *slowLever) find(ctx context.Context, bound int) (float64, error) {
	yes, no := l.printed(math.Pow(slowTurnMost, l.way)), math.Pow(slowTurnMost, -l.way)
	better := func(a, b float64) bool { return (a-b)*l.way > 0 } // meets it sooner
	// What was tried already leaves less between.
	for _, by := range append(slices.Sorted(maps.Keys(l.said)), 1) {
		ok, err := l.meets(ctx, by, bound)
		switch {
		case err != nil:
			return 0, err
		case ok && better(yes, by):
			yes = by
		case !ok && better(by, no) && better(yes, by):
			no = by
		}
	}
	if ok, err := l.meets(ctx, yes, bound); err != nil || !ok {
		return math.NaN(), err
	}
	for range slowTurnSteps {
		mid := l.printed(steady.Round(math.Sqrt(float64(no * yes))))
		if mid == no || mid == yes {
			break
		}
		ok, err := l.meets(ctx, mid, bound)
		switch {
		case err != nil:
			return 0, err
		case ok:
			yes = mid
		default:
			no = mid
		}
	}
	return roundedTo(l.own*yes, l.unit, l.way), nil
}

// roundedTo rounds to two digits of a unit: up where more of it is safer.
func roundedTo(x, unit, way float64) float64 {
	x /= unit
	e := math.Pow10(int(math.Floor(math.Log10(x))) - 1)
	if way > 0 {
		return float64(math.Ceil(x/e-1e-9)*e) * unit
	}
	return float64(math.Floor(x/e+1e-9)*e) * unit
}

// largestClaim is what is claimed of the largest size asked about of a study, by the
// question's traces.
func (q *Question) largestClaim(ctx context.Context, s *Study) (Claim, error) {
	other := *q
	other.study = s
	other.ensemble = NewEnsemble(s, q.series.Years.Start).Under(q.series)
	day := MeanDemand(s.Uses)
	ladder, last := []float64(nil), 0.0
	for _, x := range s.rungs() {
		if u := s.Usable(x); u >= leastSlow*day && u <= mostSlow*day && u >= slowTurnRatio*last {
			ladder, last = append(ladder, x), u
		}
	}
	sizes := s.NewSizes(ladder, s.largest())
	run, err := other.Simulate(ctx, Row{Scale: 1, Sizes: sizes, Ladder: sizes.Places(ladder)})
	if err != nil {
		return Claim{}, err
	}
	w := run.Weights(0, s.Level).Heed(s.Measure, s.Target, run.Evidence)
	return run.Claim(w, s.Measure, 0, sizes.At(s.largest())), nil
}

// times is the use with all that it wants so many times as large.
func (u Use) times(by float64) Use {
	u.Daily, u.People, u.Spread = float64(u.Daily*by), float64(u.People*by), float64(u.Spread*by)
	u.Bed.Area = float64(u.Bed.Area * by)
	for m := range u.Monthly {
		u.Monthly[m] = float64(u.Monthly[m] * by)
		u.Bed.Mean[m] = float64(u.Bed.Mean[m] * by)
	}
	return u
}
