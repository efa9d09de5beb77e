package gen

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The kernel of Lall & Sharma 1996 (Water Resour. Res. 32:679, READ-2nd) for
// N = 25, K = 5 weighs 60, 30, 20, 15 and 12 of 137 (exact), and so does the
// look-up draw (COMP).
func TestRanksDraw(t *testing.T) {
	want, sum := []float64{60, 30, 20, 15, 12}, 0.0
	r := newRanks(5)
	require.Len(t, r.cum, len(want))
	assert.Equal(t, 1.0, r.cum[4])
	count := make([]float64, 5)
	const n = 137000
	for i := range n { // a fine even grid of the unit interval
		count[r.draw((float64(i)+0.5)/n)]++
	}
	for j := range want {
		sum += want[j] / 137
		assert.InDelta(t, sum, r.cum[j], 1e-15)
		assert.InDelta(t, want[j]*1000, count[j], 1)
	}
	for _, k := range []int{1, 2, 7, 64, 65, 200} { // look-up equals search
		r := newRanks(k)
		rng := rand.New(rand.NewPCG(1, uint64(k)))
		for range 2000 {
			u := rng.Float64()
			want := slices.IndexFunc(r.cum, func(c float64) bool { return c > u })
			require.Equal(t, want, r.draw(u))
		}
		assert.Equal(t, k-1, r.draw(1-1.0/(1<<53)))
	}
}

func TestSortByHigh(t *testing.T) {
	rng := Source(1, 2, 3)
	for _, n := range []int{0, 1, 2, 100, 3000} {
		days := make([]int64, n)
		for i := range days {
			days[i] = int64(rng.IntN(300)*rng.IntN(300))<<32 | int64(i)
		}
		want := slices.Clone(days)
		slices.Sort(want) // the low half is the place: stable
		sortByHigh(days, make([]int64, n))
		assert.Equal(t, want, days)
	}
}

// What follows a day is what followed one like it: in a record where a wet
// day is always followed by a dry one, so it is in the trace.
func TestNeighboursFollow(t *testing.T) {
	y := made(12, func(i, d int) float64 {
		if (i+d)%2 == 0 && (i*7+d*3)%5 != 0 {
			return float64(1 + (i*11+d)%20)
		}
		return 0
	})
	// year i+1 begins where year i ended, or the rule would break there
	for _, rain := range y.Rain {
		rain[rainfall.DaysPerYear-1] = 0
	}
	trace := drawn(t, Neighbours(), y, 100, Source(1, 1, 1))
	wet := 0
	for t := 1; t < len(trace); t++ {
		if trace[t] > 0 {
			wet++
			if trace[t-1] > 0 {
				wet = -1 << 30
			}
		}
	}
	assert.Greater(t, wet, 1000, "a wet day followed a wet one, or it hardly rained")
}
