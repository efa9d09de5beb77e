package store

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const manyCases = 2000

// TestLanesFollowTheRules: day by day, every lane and every single tank is the
// scalar rule, in whole litres exactly and with any demand. By every rule
// V0 + ΣQ = ΣY + ΣO + Vn (DERIV, 2,000 of 2,000 cases), and no tank, not even one
// smaller than a day's demand, holds less than nothing or more than its size.
func TestLanesFollowTheRules(t *testing.T) {
	wholeCases(11, manyCases, false, func(c wholeCase) {
		sizes := []float64{c.s, 0, 1, 3, c.s / 2, 3 * c.s}
		for r, step := range map[Rule]rule{YAS: yasStep, YBS: ybsStep} {
			lanes := followLanes(r, c.q, c.d, math.Floor(c.s/3), sizes...)
			for j, s := range sizes {
				start := min(math.Floor(c.s/3), s)
				want := follow(step, c.q, c.d, start, s)
				require.Equal(t, want, lanes[j])
				require.Equal(t, want, follow(func(v, q, d, s float64) (yield, spill, storage float64) { return r.Day(s, v, q, d) }, c.q, c.d, start, s))
				balanced(t, want, c.q, start)
				require.GreaterOrEqual(t, slices.Min(want.storage), 0.0)
				require.LessOrEqual(t, slices.Max(want.storage), s)
			}
		}
		balanced(t, follow(spillFirstStep, c.q, c.d, 1, c.s), c.q, 1)
		balanced(t, follow(drawFirstStep, c.q, c.d, 1, c.s), c.q, 1)
	})
}

// balanced requires that what a tank held at the start and was given is what
// left it or stayed.
func balanced(t testing.TB, got trail, q []float64, start float64) {
	t.Helper()
	for _, x := range q {
		start += x
	}
	require.Equal(t, start, got.supplied+got.spilled+got.storage[len(q)-1])
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
		yas := followLanes(YAS, c.q, c.d, 0, c.s)[0]
		ybs := followLanes(YBS, c.q, c.d, 0, c.s, c.s-d, c.s-2*d)
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

func TestRuleText(t *testing.T) {
	for r, text := range map[Rule]string{YAS: "yas", YBS: "ybs"} {
		got, err := r.MarshalText()
		require.NoError(t, err)
		require.Equal(t, text, string(got))
		var back Rule = 1 - r
		require.NoError(t, back.UnmarshalText(got))
		require.Equal(t, r, back)
	}
	_, err := ParseRule("fifo")
	assert.EqualError(t, err, `rule "fifo" is neither yas nor ybs`)
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
		got := followLanes(YBS, c.q, c.d, start, c.s)[0]
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
		got := followLanes(YBS, q, d, s/3, s)[0]
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
