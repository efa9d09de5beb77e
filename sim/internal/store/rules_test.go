package store

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const manyCases = 2000

// TestLanesFollowTheRules: day by day, every lane and every single tank is the
// scalar rule, in whole litres exactly and with any demand.
func TestLanesFollowTheRules(t *testing.T) {
	for seed, r := range []Rule{YAS, YBS} {
		wholeCases(uint64(seed), 500, false, func(c wholeCase) {
			sizes := []float64{c.s, 0, 1, c.s / 2, 3 * c.s}
			start := math.Floor(c.s / 3)
			for j, got := range followLanes(r, c.q, c.d, start, sizes) {
				want := follow(rules[r.String()], c.q, c.d, min(start, sizes[j]), sizes[j])
				require.Equal(t, want, got)
				one := follow(func(v, q, d, s float64) (yield, spill, storage float64) { return r.Day(s, v, q, d) }, c.q, c.d, min(start, sizes[j]), sizes[j])
				require.Equal(t, want, one)
			}
		})
	}
}

// TestStorageStaysInside: no tank, not even one smaller than a day's demand,
// holds less than nothing or more than its size.
func TestStorageStaysInside(t *testing.T) {
	wholeCases(5, 500, false, func(c wholeCase) {
		for _, r := range []Rule{YAS, YBS} {
			for j, s := range []float64{0, 1, 3, c.s} {
				for _, v := range followLanes(r, c.q, c.d, s, []float64{0, 1, 3, c.s})[j].storage {
					require.GreaterOrEqual(t, v, 0.0)
					require.LessOrEqual(t, v, s)
				}
			}
		}
	})
}

// TestMassBalance: V0 + ΣQ = ΣY + ΣO + Vn for every rule, scalar and lanes
// (DERIV, 2,000 of 2,000 cases).
func TestMassBalance(t *testing.T) {
	wholeCases(11, manyCases, false, func(c wholeCase) {
		start := math.Floor(c.s / 2)
		in := start
		for _, q := range c.q {
			in += q
		}
		last := len(c.q) - 1
		for _, name := range ruleNames {
			got := follow(rules[name], c.q, c.d, start, c.s)
			require.Equal(t, in, got.supplied+got.spilled+got.storage[last], name)
		}
		for _, r := range []Rule{YAS, YBS} {
			got := followLanes(r, c.q, c.d, start, []float64{c.s})[0]
			require.Equal(t, in, got.supplied+got.spilled+got.storage[last], r.String())
		}
	})
}

// TestRulesBracket: with a constant demand D, S ≥ 2D and an empty start
// (DERIV, 2,000 of 2,000 cases),
//
//	total yield YAS ≤ spill-first ≤ YBS
//	spill-first(S) is YBS(S−D) day by day
//	draw-first(S) a day later is spill-first(S)
//	YBS(S−2D) ≤ YAS(S) a day later ≤ YBS(S−D), in yield since the start
func TestRulesBracket(t *testing.T) {
	differ := 0
	wholeCases(13, manyCases, true, func(c wholeCase) {
		d := c.d[0]
		yas := followLanes(YAS, c.q, c.d, 0, []float64{c.s})[0]
		ybs := followLanes(YBS, c.q, c.d, 0, []float64{c.s, c.s - d, c.s - 2*d})
		moran := follow(spillFirstStep, c.q, c.d, 0, c.s)
		draw := follow(drawFirstStep, c.q, c.d, 0, c.s)

		require.LessOrEqual(t, yas.supplied, moran.supplied)
		require.LessOrEqual(t, moran.supplied, ybs[0].supplied)
		if yas.supplied < moran.supplied && moran.supplied < ybs[0].supplied {
			differ++
		}

		require.Equal(t, moran.yield, ybs[1].yield)
		require.Equal(t, moran.storage, ybs[1].storage)

		require.Zero(t, draw.yield[0])
		require.Zero(t, yas.yield[0])
		var small, late, large float64
		for k := 1; k < len(c.q); k++ {
			require.Equal(t, moran.yield[k-1], draw.yield[k])
			small += ybs[2].yield[k-1]
			late += yas.yield[k]
			large += ybs[1].yield[k-1]
			require.LessOrEqual(t, small, late)
			require.LessOrEqual(t, late, large)
		}
	})
	assert.Greater(t, differ, manyCases/20, "the cases hardly tell the rules apart")
}

// TestTwoBarrierReflection holds every day's YBS storage against a form with
// no recursion over days: the Skorokhod map on [0, S] (Kruk, Lehoczky, Ramanan
// & Shreve 2007, Ann. Probab. 35:1740, READ; that it is YBS, DERIV). With
// ψ(t) = V0 + Σ(Q − D),
//
//	φ(t) = ψ(t) + sup [−ψ(s)]⁺,  s ≤ t
//	V(t) = φ(t) − sup min((φ(s) − S)⁺, inf φ(u)),  s ≤ t, s ≤ u ≤ t
func TestTwoBarrierReflection(t *testing.T) {
	wholeCases(17, manyCases, false, func(c wholeCase) {
		start := math.Floor(c.s / 4)
		got := followLanes(YBS, c.q, c.d, start, []float64{c.s})[0]
		require.Equal(t, reflect(c.q, c.d, start, c.s), got.storage)
	})
	// and in litres that are not whole, to rounding
	rng := rand.New(rand.NewPCG(19, 1))
	for range 100 {
		q, d := make([]float64, 120), make([]float64, 120)
		for t := range q {
			d[t] = 50 * rng.Float64()
			if rng.Float64() < 0.3 {
				q[t] = 200 * rng.Float64()
			}
		}
		s := 400 * rng.Float64()
		got := followLanes(YBS, q, d, s/3, []float64{s})[0]
		require.InDeltaSlice(t, reflect(q, d, s/3, s), got.storage, 1e-9)
	}
}

// reflect returns the storage at every day's end by that formula; time 0, the
// start, is part of every supremum.
func reflect(q, d []float64, start, s float64) []float64 {
	n := len(q)
	psi := make([]float64, n+1)
	psi[0] = start
	for t := range n {
		psi[t+1] = psi[t] + q[t] - d[t]
	}
	phi := make([]float64, n+1)
	below := 0.0
	for t, x := range psi {
		below = max(below, -x)
		phi[t] = x + below
	}
	out := make([]float64, n)
	for t := 1; t <= n; t++ {
		over, lowest := 0.0, math.Inf(1)
		for k := t; k >= 0; k-- {
			lowest = min(lowest, phi[k])
			over = max(over, min(max(0, phi[k]-s), lowest))
		}
		out[t-1] = phi[t] - over
	}
	return out
}
