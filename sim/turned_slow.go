package sim

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tankodds/sim/internal/steady"
)

// Where tanks are gone through one by one, each step of a use or a roof is a study
// of its own. So few traces and sizes tell it, and no band and no map: the numbers
// are about right, and as they are printed they meet the target in those years.
const (
	slowTurnTraces = 20
	slowTurnRatio  = 1.5 // of the sizes that what is claimed is read between
	slowTurnSteps  = 7   // halvings of the range, a ratio of slowTurnMost at first
	slowTurnMost   = 16
)

// turnedSlowly is Turned of such a site.
func (q *Question) turnedSlowly(ctx context.Context, a Answer) (*Turned, error) {
	s, nan := q.study, math.NaN()
	out := &Turned{Tank: s.largest(), Use: nan, UseSafe: nan, UseHigh: nan, Roof: nan, RoofLow: nan, RoofSafe: nan, Shown: q.series.Years.Len() >= a.Shows}
	other := *q
	other.progress, other.traces = &progress{}, min(slowTurnTraces, q.traces)
	out.Years = other.traces * q.length
	for _, lever := range []struct {
		own, unit float64
		way       float64 // 1 where more of it meets the target sooner
		to        *float64
		change    func(s *Study, by float64)
	}{
		{MeanDemand(s.Uses), s.Unit, -1, &out.Use, func(s *Study, by float64) {
			for i := range s.Uses {
				s.Uses[i] = s.Uses[i].times(by)
			}
		}},
		{TotalArea(s.Roofs), cmp.Or(s.AreaUnit, 1), 1, &out.Roof, func(s *Study, by float64) {
			for i := range s.Roofs {
				s.Roofs[i].Area = float64(s.Roofs[i].Area * by)
			}
		}},
	} {
		meets := func(by float64) (bool, error) {
			study := *s
			study.Roofs, study.Uses = slices.Clone(s.Roofs), slices.Clone(s.Uses)
			lever.change(&study, by)
			if study.Check() != nil {
				return false, nil
			}
			return other.meets(ctx, &study)
		}
		// From a factor that does not meet it to one that does, both as printed.
		printed := func(by float64) float64 { return roundedTo(lever.own*by, lever.unit, lever.way) / lever.own }
		ok, err := meets(1)
		no, yes := 1.0, printed(math.Pow(slowTurnMost, lever.way))
		if ok {
			no, yes = math.Pow(slowTurnMost, -lever.way), 1
		} else if err == nil {
			ok, err = meets(yes)
		}
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		for range slowTurnSteps {
			mid := printed(steady.Round(math.Sqrt(float64(no * yes))))
			if mid == no || mid == yes {
				break
			}
			ok, err := meets(mid)
			switch {
			case err != nil:
				return nil, err
			case ok:
				yes = mid
			default:
				no = mid
			}
		}
		*lever.to = roundedTo(lever.own*yes, lever.unit, lever.way)
	}
	return out, nil
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

// meets says whether the largest size asked about meets the target of a study, by
// the question's traces.
func (q *Question) meets(ctx context.Context, s *Study) (bool, error) {
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
		return false, err
	}
	w := run.Weights(0, s.Level).Heed(s.Measure, s.Target, run.Evidence)
	return s.valueOf(run.Claim(w, s.Measure, 0, sizes.At(s.largest()))) >= s.Target, nil
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
