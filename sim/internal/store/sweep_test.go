package store

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// sweepCase is rain and demand of a random kind: showers or cloudbursts,
// steady, seasonal or idle use.
func sweepCase(rng *rand.Rand, days int) (q, d []float64) {
	q, d = make([]float64, days), make([]float64, days)
	p, mean, use := 0.05+0.6*rng.Float64(), math.Exp(2+5*rng.Float64()), 0.0
	use = p * mean * (0.2 + 0.8*rng.Float64())
	whole := rng.IntN(3) == 0
	kind := rng.IntN(3)
	for t := range q {
		if rng.Float64() < p {
			q[t] = mean * rng.ExpFloat64()
		}
		d[t] = use
		switch {
		case kind == 1 && t%365 > 150:
			d[t] *= 3
		case kind == 2 && rng.IntN(3) == 0:
			d[t] = 0
		}
		if whole {
			q[t], d[t] = math.Round(q[t]/50)*50, math.Round(d[t]/50)*50
		}
	}
	return q, d
}

// TestSweepAgainstTheStore: every size that a year is said to ask for has as
// few short days as allowed in it when the store runs it, and one a
// millionth smaller has more; the same at random sizes on either side.
func TestSweepAgainstTheStore(t *testing.T) {
	const years, days = 6, 365
	rng := rand.New(rand.NewPCG(301, 302))
	inside := 0
	for range 1000 {
		q, d := sweepCase(rng, years*days)
		need := needs(d)
		roof := 1.0
		if rng.IntN(2) == 0 {
			roof = 0.2 + 2*rng.Float64()
		}
		low, high := 0.0, (mean(d)+1)*math.Exp(1+5*rng.Float64())
		if rng.IntN(2) == 0 {
			low = high * rng.Float64()
		}
		start, allow := high*rng.Float64()*float64(rng.IntN(2)), rng.IntN(2)*rng.IntN(20)
		for _, rule := range []Rule{YAS, YBS} {
			w := NewSweep(rule, low, high, start)
			var asks, sizes []float64
			for y := 0; y < len(q); y += days {
				x := w.Year(roof, q[y:y+days], d[y:y+days], allow)
				asks = append(asks, x)
				if x > low && x <= high {
					sizes = append(sizes, x, x*(1-1e-6), x*(1+1e-6))
					inside++
				}
			}
			for range 10 {
				sizes = append(sizes, low+(high-low)*rng.Float64())
			}
			sizes = append(sizes, low, high)
			l := NewLanes(constant(roof, len(sizes)), sizes, start)
			for y, x := range asks {
				a, z := y*days, (y+1)*days
				l.Run(rule, q[a:z], d[a:z], need[a:z])
				for j, size := range sizes {
					if size != x && math.Abs(size-x) < 1e-9*x {
						continue // another year's, and all but the same
					}
					require.Equal(t, size >= x, l.Short[j] <= float64(allow), "%s: year %d asks for %.9g L, a tank of %.9g L has %g short days (%d allowed)", rule, y, x, size, l.Short[j], allow)
				}
			}
		}
	}
	require.Greater(t, inside, 1000, "few cases ask for a size inside the range")
}
