package store

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/internal/published"
)

func numbers(t testing.TB, s string) []float64 {
	t.Helper()
	var out []float64
	for _, f := range strings.Fields(s) {
		out = append(out, published.Number(t, f))
	}
	return out
}

func TestSequentPeakPublished(t *testing.T) {
	for _, row := range published.Table(t, "sequent-peak.csv") {
		q := numbers(t, row["flows"])
		d := constant(published.Number(t, row["draft"]), len(q))
		assert.InDelta(t, published.Number(t, row["one_pass"]), SequentPeak(q, d, 1).Size, 5e-5, "%v", row)
		assert.InDelta(t, published.Number(t, row["two_passes"]), SequentPeak(q, d, 2).Size, 5e-5, "%v", row)
	}
}

// TestSequentPeakDrawdown: in the sixteen-flow essay the fall begins after
// July's peak and ends in March (READ); flows count from January.
func TestSequentPeakDrawdown(t *testing.T) {
	for _, row := range published.Table(t, "sequent-peak.csv") {
		if row["record"] != "essay" {
			continue
		}
		q := numbers(t, row["flows"])
		d := constant(15, len(q))
		assert.Equal(t, Drawdown{68, 7, 14}, SequentPeak(q, d, 1))
		assert.Equal(t, Drawdown{82, 7, 18}, SequentPeak(q, d, 2)) // through the seam, COMP
	}
	assert.Equal(t, Drawdown{}, SequentPeak(nil, nil, 2))
	assert.Equal(t, Drawdown{}, SequentPeak([]float64{5, 5}, []float64{5, 1}, 2))
}

// TestSequentPeakNile: the Nile's storage for five drafts, one pass and two
// alike, and for its mean, where it is Hurst's range of cumulative departures.
func TestSequentPeakNile(t *testing.T) {
	q := published.Column(t, "nile.csv", "flow")
	for _, row := range published.Table(t, "nile-storage.csv") {
		d := constant(published.Number(t, row["draft"]), len(q))
		for passes := 1; passes <= 2; passes++ {
			assert.InDelta(t, published.Number(t, row["storage"]), SequentPeak(q, d, passes).Size, 1e-9, "%v", row)
		}
	}
	assert.InDelta(t, 4995.2, rangeOfDepartures(q), 1e-9)
}

// rangeOfDepartures is the range of the cumulative departures from the mean,
// 0 at the start included.
func rangeOfDepartures(q []float64) float64 {
	m := 0.0
	for _, x := range q {
		m += x / float64(len(q))
	}
	sum, low, high := 0.0, 0.0, 0.0
	for _, x := range q {
		sum += x - m
		low, high = min(low, sum), max(high, sum)
	}
	return high - low
}

// TestMeanDraft: at a draft of the mean, two passes give the range of
// cumulative departures (Hurst's and Rippl's storage are one).
func TestMeanDraft(t *testing.T) {
	wholeCases(23, manyCases, true, func(c wholeCase) {
		m := 0.0
		for _, x := range c.q {
			m += x / float64(len(c.q))
		}
		got := SequentPeak(c.q, constant(m, len(c.q)), 2).Size
		require.InDelta(t, rangeOfDepartures(c.q), got, 1e-9)
	})
}

// TestSequentPeakIsTheSmallestTank: a full YBS tank of that size never fails,
// and one a litre smaller does (DERIV, 2,000 of 2,000 cases in whole litres).
func TestSequentPeakIsTheSmallestTank(t *testing.T) {
	needed := 0
	wholeCases(29, manyCases, false, func(c wholeCase) {
		k := SequentPeak(c.q, c.d, 1).Size
		sizes := []float64{k, max(0, k-1)}
		got := followLanes(YBS, c.q, c.d, math.Inf(1), sizes)
		require.Zero(t, got[0].short)
		if k > 0 {
			needed++
			require.Positive(t, got[1].short)
		}
	})
	assert.Greater(t, needed, manyCases/2)
}

// Drawdown is the worst fall of a store below full.
type Drawdown struct {
	Size float64 // how far it falls: the smallest store that never fails, L
	From int     // the first step of that fall
	Low  int     // the step at whose end it is deepest
}

// SequentPeak returns the smallest store that, full at the start, meets every
// step's demand from the inflow (L a step, as many of each), yield before
// spillage:
//
//	K[t] = max(0, K[t−1] + D[t] − Q[t]),  K[−1] = 0;  Size = max K
//
// This is Rippl's mass curve (1883) as a recursion (Thomas & Burden 1963).
// passes is 1 for the record as it stands and 2 for the record run on into
// itself, which charges the store for a fall that the record's end cuts off;
// with two passes the steps of the second count on from the first's. Where
// demand exceeds inflow on the whole, no store lasts and Size grows with
// every pass.
func SequentPeak(inflow, demand []float64, passes int) Drawdown {
	var worst Drawdown
	k, from, step := 0.0, 0, 0
	for range passes {
		for t, q := range inflow {
			if k == 0 {
				from = step
			}
			k = max(0, k+(demand[t]-q))
			if k > worst.Size {
				worst = Drawdown{k, from, step}
			}
			step++
		}
	}
	return worst
}
