package rainfall

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

// LeastCommon is how many days two gauges must both have for one to stand in for
// the other: two years (common practice, no source).
const LeastCommon = 730

// LeastAlike is the least correlation of the monthly rain of two gauges for one to
// stand in for the other (common practice, no source).
const LeastAlike = 0.5

// Unlike is the error of two gauges whose months go together by less.
type Unlike struct{ Correlation float64 }

func (e *Unlike) Error() string { return fmt.Sprintf("correlation %.2f", e.Correlation) }

// ErrFewCommon says that two gauges have fewer days in common.
var ErrFewCommon = errors.New("few common days")

// FilledFrom returns the record with its missing days taken from a second gauge
// near by, times the ratio of both gauges' rain over the days that both have: the
// normal-ratio method with one neighbour (courses of hydrology; needed where the
// means differ by more than a tenth). What the second gauge lacks too stays
// missing. Its name and digest become those of the filler. The error is
// ErrFewCommon, also where neither had rain on the common days.
func (r *Record) FilledFrom(second *Record) (*Record, error) {
	common, own, others := 0, 0.0, 0.0
	at := func(t int) float64 {
		if k := int(r.First) + t - int(second.First); k >= 0 && k < len(second.Depth) {
			return second.Depth[k]
		}
		return math.NaN()
	}
	for t, x := range r.Depth {
		if o := at(t); !math.IsNaN(x) && !math.IsNaN(o) {
			common++
			own, others = own+x, others+o
		}
	}
	if common < LeastCommon || !(others > 0) || !(own > 0) {
		return nil, ErrFewCommon
	}
	if r := r.alike(at); !(r >= LeastAlike) {
		return nil, &Unlike{r}
	}
	out, factor, days := *r, own/others, 0
	out.Depth, out.Mark = slices.Clone(r.Depth), slices.Clone(r.Mark)
	for t, x := range r.Depth {
		if o := at(t); math.IsNaN(x) && !math.IsNaN(o) {
			out.Depth[t] = float64(o * factor)
			out.Mark[t] = Borrowed
			days++
		}
	}
	out.Second, out.SecondSHA256 = second.File, second.SHA256
	if days == 0 {
		return &out, nil
	}
	out.Findings = append(slices.Clip(r.Findings), Finding{Code: "second-gauge", From: NoDate, Texts: []string{second.Name()}, Values: []Value{
		{Name: "count", Dim: InCount, X: float64(days)}, {Name: "factor", Dim: InFactor, X: math.Round(factor*1000) / 1000}, {Name: "common", Dim: InCount, X: float64(common)},
	}})
	return &out, nil
}

// alike is the correlation of the record's months with those of another gauge, at
// its days, over the days that both have: of months with 25 of them or more, less
// each calendar month's mean, so that one season in common is not enough. NaN
// where that is not known.
func (r *Record) alike(at func(t int) float64) float64 {
	const enough = 25
	type pair struct{ a, b float64 }
	var of [12][]pair
	r.EachMonth(func(_ int, m time.Month, from, to int) {
		var sum pair
		n := 0
		for t := from; t < to; t++ {
			if x, o := r.Depth[t], at(t); !math.IsNaN(x) && !math.IsNaN(o) {
				sum.a, sum.b = sum.a+x, sum.b+o
				n++
			}
		}
		if n >= enough {
			of[m-1] = append(of[m-1], pair{sum.a / float64(n), sum.b / float64(n)})
		}
	})
	aa, bb, ab := 0.0, 0.0, 0.0
	for _, months := range of {
		var mean pair
		for _, p := range months {
			mean.a, mean.b = mean.a+p.a/float64(len(months)), mean.b+p.b/float64(len(months))
		}
		for _, p := range months {
			aa += float64((p.a - mean.a) * (p.a - mean.a))
			bb += float64((p.b - mean.b) * (p.b - mean.b))
			ab += float64((p.a - mean.a) * (p.b - mean.b))
		}
	}
	return ab / math.Sqrt(float64(aa*bb))
}
