package rainfall

import (
	"errors"
	"math"
	"slices"
)

// LeastCommon is how many days two gauges must both have for one to stand in for
// the other: two years (common practice, no source).
const LeastCommon = 730

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
	out.Findings = append(slices.Clip(r.Findings), Finding{Code: "second-gauge", From: NoDate, Texts: []string{second.Name()}, Values: []Value{
		{Name: "count", Dim: InCount, X: float64(days)}, {Name: "factor", Dim: InFactor, X: math.Round(factor*1000) / 1000}, {Name: "common", Dim: InCount, X: float64(common)},
	}})
	return &out, nil
}
