package gen

import (
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
)

// Resample returns a record of as many years drawn, with repeats, from this
// one: what the gauge might have seen of the same climate. Years are drawn in
// blocks of geometric length (the stationary bootstrap, Politis & Romano
// 1994, J. Am. Stat. Assoc. 89:1303) with mean YearBlock, so that a
// dependence between years stays in the resampled record's spread.
//
// A block goes on only to the year that followed in time. Where a run of
// years ends, at a gap or the record's end, it goes on at the beginning of a
// run drawn evenly: with one run this is the bootstrap's usual circle, and
// every year is drawn equally often.
func Resample(y *rainfall.Years, rng *rand.Rand) *rainfall.Years {
	n := y.Len()
	if n == 0 {
		return y.Pick(nil)
	}
	stop := 1 / YearBlock(y)
	starts := runStarts(y)
	index := make([]int, n)
	for k := range index {
		switch at := index[max(0, k-1)]; {
		case k == 0 || stop == 1 || rng.Float64() < stop:
			index[k] = rng.IntN(n)
		case at+1 < n && y.Label[at+1] == y.Label[at]+1:
			index[k] = at + 1
		default:
			index[k] = starts[rng.IntN(len(starts))]
		}
	}
	return y.Pick(index)
}

// runStarts returns the indices of the years whose year before is not the
// entry before.
func runStarts(y *rainfall.Years) []int {
	var out []int
	for i := range y.Label {
		if i == 0 || y.Label[i] != y.Label[i-1]+1 {
			out = append(out, i)
		}
	}
	return out
}

// YearBlock returns the mean number of years that Resample keeps together:
// the automatic block length (see AutoBlock) of the annual totals, from the
// longest run of adjacent years. It is 1 where that run is shorter than 9
// years, or where the lag-1 autocorrelation is not above the one-sided 5 %
// bound of independence, 1.645/√n (Anderson 1942, Ann. Math. Stat. 13:1:
// from memory, unverified): in a short record the automatic rule sees
// dependence in noise.
func YearBlock(y *rainfall.Years) float64 {
	starts := append(runStarts(y), y.Len())
	from, to := 0, 0
	for k := 1; k < len(starts); k++ {
		if starts[k]-starts[k-1] > to-from {
			from, to = starts[k-1], starts[k]
		}
	}
	total := make([]float64, 0, to-from)
	for i := from; i < to; i++ {
		total = append(total, y.Total(i))
	}
	if len(total) < 9 {
		return 1
	}
	if r := Autocorrelation(total, 1); !(r > 1.645/math.Sqrt(float64(len(total)))) {
		return 1
	}
	return AutoBlock(total).Stationary
}
