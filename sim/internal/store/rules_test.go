package store

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const manyCases = 2000

// Day by day, every tank of a sweep and every single one is the rule as the
// literature writes it. By every rule V0 + ΣQ = ΣY + ΣO + Vn (DERIV, every
// case), and no tank, not even one smaller than a day's demand, holds
// less than nothing or more than its size.
func TestTanksFollowTheRules(t *testing.T) {
	t.Parallel()
	wholeCases(11, manyCases, false, func(c wholeCase) {
		start := c.s / 3
		for r, step := range map[Rule]rule{YAS: yasStep, YBS: ybsStep} {
			for s, got := range followSweep(r, c.q, c.d, start, c.s, 0, 1, 3, c.s/2, 3*c.s) {
				v := min(start, s)
				want := follow(step, c.q, c.d, v, s)
				require.Equal(t, want, got)
				require.Equal(t, want, follow(dayStep(r), c.q, c.d, v, s))
				balanced(t, want, c.q, v)
				require.GreaterOrEqual(t, slices.Min(want.storage), int64(0))
				require.LessOrEqual(t, slices.Max(want.storage), s)
			}
		}
		balanced(t, follow(spillFirstStep, c.q, c.d, 1, c.s), c.q, 1)
		balanced(t, follow(drawFirstStep, c.q, c.d, 1, c.s), c.q, 1)
	})
}

// balanced requires that what a tank held at the start and was given is what
// left it or stayed.
func balanced(t testing.TB, got trail, q []int64, start int64) {
	t.Helper()
	require.Equal(t, start+sum(q), got.supplied+got.spilled+got.storage[len(q)-1])
}

func sum(x []int64) (all int64) {
	for _, v := range x {
		all += v
	}
	return all
}

// TestRulesBracket: with a constant demand D, S ≥ 2D and an empty start
// (DERIV, every case),
//
//	total yield YAS ≤ spill-first ≤ YBS
//	spill-first(S) is YBS(S−D) day by day
//	draw-first(S) a day later is spill-first(S)
//	YBS(S−2D) ≤ YAS(S) a day later ≤ YBS(S−D), in yield since the start
func TestRulesBracket(t *testing.T) {
	t.Parallel()
	differ := 0
	wholeCases(13, manyCases, true, func(c wholeCase) {
		d := c.d[0]
		yas := followSweep(YAS, c.q, c.d, 0, c.s)[c.s]
		of := followSweep(YBS, c.q, c.d, 0, c.s, c.s-d, c.s-2*d)
		ybs, less, least := of[c.s], of[c.s-d], of[c.s-2*d]
		moran := follow(spillFirstStep, c.q, c.d, 0, c.s)
		draw := follow(drawFirstStep, c.q, c.d, 0, c.s)

		require.LessOrEqual(t, yas.supplied, moran.supplied)
		require.LessOrEqual(t, moran.supplied, ybs.supplied)
		if yas.supplied < moran.supplied && moran.supplied < ybs.supplied {
			differ++
		}

		require.Equal(t, moran.yield, less.yield)
		require.Equal(t, moran.storage, less.storage)

		require.Zero(t, draw.yield[0])
		require.Zero(t, yas.yield[0])
		require.Equal(t, moran.yield[:len(c.q)-1], draw.yield[1:])
		var small, late, large int64
		for k := 1; k < len(c.q); k++ {
			small += least.yield[k-1]
			late += yas.yield[k]
			large += less.yield[k-1]
			if small > late || late > large {
				require.IsNonDecreasing(t, []int64{small, late, large}, "day %d", k)
			}
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

// A volume is the nearest whole number of units, halves up, and never more than
// Most: what no unit can tell, NaN too, is Most.
func TestUnits(t *testing.T) {
	most := Litres(Most)
	for litres, want := range map[float64]int64{
		0: 0, 0.0049: 0, 0.005: 1, 0.01: 1, 0.0149: 1, 1: 100, 12.345: 1235, 1e6: 1e8,
		most - 0.01: Most - 1, most: Most, most + 0.01: Most, 1e300: Most, math.Inf(1): Most,
	} {
		assert.Equal(t, want, Units(litres), "%g L", litres)
	}
	assert.Equal(t, int64(Most), Units(math.NaN()))
	for _, units := range []int64{0, 1, 7, 29, 12345, Most/3 + 1, Most - 1, Most} {
		assert.Equal(t, units, Units(Litres(units)), "there and back")
	}
}

// TestTwoBarrierReflection holds every day's YBS storage against a form with
// no recursion over days: the Skorokhod map on [0, S] (Kruk, Lehoczky, Ramanan
// & Shreve 2007, Ann. Probab. 35:1740, READ; that it is YBS, DERIV). With
// ψ(t) = V0 + Σ(Q − D),
//
//	φ(t) = ψ(t) + sup [−ψ(s)]⁺,  s ≤ t
//	V(t) = φ(t) − sup min((φ(s) − S)⁺, inf φ(u)),  s ≤ t, s ≤ u ≤ t
func TestTwoBarrierReflection(t *testing.T) {
	t.Parallel()
	wholeCases(17, manyCases, false, func(c wholeCase) {
		require.Equal(t, reflect(c.q, c.d, c.s/4, c.s), followSweep(YBS, c.q, c.d, c.s/4, c.s)[c.s].storage)
	})
}

// reflect returns the storage at every day's end by that formula; time 0, the
// start, is part of every supremum.
func reflect(q, d []int64, start, s int64) []int64 {
	n := len(q)
	psi, phi, out := make([]int64, n+1), make([]int64, n+1), make([]int64, n)
	psi[0] = start
	for t := range n {
		psi[t+1] = psi[t] + q[t] - d[t]
	}
	below := int64(0)
	for t, x := range psi {
		below = max(below, -x)
		phi[t] = x + below
	}
	for t := 1; t <= n; t++ {
		over, lowest := int64(0), int64(math.MaxInt64)
		for k := t; k >= 0; k-- {
			lowest = min(lowest, phi[k])
			over = max(over, min(max(0, phi[k]-s), lowest))
		}
		out[t-1] = phi[t] - over
	}
	return out
}
