package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// yearsOf makes a record of annual totals, mm, from 1900 on but for the gaps.
func yearsOf(totals []float64, gap ...int) *rainfall.Years {
	y := &rainfall.Years{Start: 1}
	label := 1900
	for i, x := range totals {
		for _, g := range gap {
			if g == i {
				label++
			}
		}
		y.Label, y.Rain, y.Filled = append(y.Label, label), append(y.Rain, []float64{x}), append(y.Filled, 0)
		label++
	}
	return y
}

// persistent draws annual totals of an autoregressive process.
func persistent(n int, r float64, rng *rand.Rand) []float64 {
	out, z := make([]float64, n), rng.NormFloat64()
	for i := range out {
		z = r*z + math.Sqrt(1-r*r)*rng.NormFloat64()
		out[i] = 1000 + 200*z
	}
	return out
}

// Of years that follow each other's example a mean knows less: the variance of
// means of L = 60 is (1 + r)/(1 − r) times that of independent years (Bayley &
// Hammersley 1946: by drawing, within what L leaves), and a record counts for as
// much less as its length lets that be seen.
func TestWeighPersistentYears(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1))
	const records, length, r = 3000, 60, 0.4
	square, believed := 0.0, 0.0
	for range records {
		x := persistent(length, r, rng)
		mean := total(x) / length
		square += (mean - 1000) * (mean - 1000) / records
		believed += Weigh(yearsOf(x)).Worth / (length - 1) / records
	}
	assert.InEpsilon(t, (1+r)/(1-r), square/(200*200/length), 0.1)
	doubted := r * length / (length + doubtYears)
	assert.InDelta(t, (1-doubted)/(1+doubted), believed, 0.03)

	// A long record is believed, an independent one counts whole but for the
	// chance that it looks dependent, and years that alternate do not count more.
	long := Weigh(yearsOf(persistent(20000, r, rng))).Worth / 20000
	assert.InDelta(t, (1-r)/(1+r), long, 0.02)
	assert.Greater(t, Weigh(yearsOf(persistent(2000, 0, rng))).Worth, 1850.0)
	assert.Equal(t, Evidence{Usable: 4, Worth: 3}, Weigh(yearsOf([]float64{1, 2, 1, 2})))
	assert.Equal(t, Evidence{Usable: 5, Worth: 4}, Weigh(yearsOf([]float64{7, 7, 7, 7, 7})))
	assert.Equal(t, Evidence{Usable: 1, Worth: 0}, Weigh(yearsOf([]float64{7})))
	assert.Equal(t, Evidence{}, Weigh(yearsOf(nil)))
	// Years that do not follow in time are no neighbours.
	steps := []float64{1, 1, 1, 1, 9, 9, 9, 9}
	assert.Greater(t, Weigh(yearsOf(steps, 1, 2, 3, 5, 6, 7)).Worth, Weigh(yearsOf(steps)).Worth)
}

// One year more of record never moves the evidence far.
func TestWeighIsSmooth(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 1))
	for range 200 {
		x := persistent(80, 0.3*rng.Float64(), rng)
		last := Weigh(yearsOf(x[:15])).Worth
		for n := 16; n <= len(x); n++ {
			now := Weigh(yearsOf(x[:n])).Worth
			require.Less(t, math.Abs(now-last), 0.15*now, "%d years", n)
			last = now
		}
	}
}

// If every short year failed as a whole the share of failed days would be the
// share of short years, and its claim that of good years but for the half year
// that is added on either side there.
func TestCompoundClaimOfWholeYears(t *testing.T) {
	w := &Weights{synthetic: 1e9, cluster: 1, caution: 1, level: 0.9}
	for m := range w.years {
		w.years[m], w.rare[m], w.depth[m], w.shape[m] = 40, 0.0125, 1, 1
	}
	for _, q := range []float64{0.02, 0.1, 0.4} {
		x := share{1 - q, q * (1 - q) / 1e9}
		c := w.claim(Time, x, 1-q)
		assert.InDelta(t, 40*q+1, c.short, 1e-9)
		assert.InDelta(t, 1-(40*q+1)/41, c.Estimate, 1e-12)
		assert.InDelta(t, c.Estimate, c.good/(c.good+c.short), 1e-12)
	}
}

// Years fail with a chance and by a share that are known; a record counts them,
// and the bounds hold the truth as often as they say.
func TestCompoundClaimHolds(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 1))
	const records, synthetic = 3000, 1e9
	for _, of := range []struct{ length, q, depth float64 }{{30, 0.1, 0.1}, {60, 0.05, 0.1}, {30, 0.4, 0.06}, {60, 0.9, 0.2}} {
		low, high := 0, 0
		for range records {
			sum, square, short := 0.0, 0.0, 0.0
			for range int(of.length) {
				if rng.Float64() < of.q {
					x := min(1, of.depth*(rng.ExpFloat64()+rng.ExpFloat64())/2)
					sum, square, short = sum+x, square+x*x, short+1
				}
			}
			f := sum / of.length
			w := &Weights{synthetic: synthetic, cluster: 1, caution: 1, level: 0.9}
			w.years[Time], w.rare[Time], w.depth[Time], w.shape[Time] = of.length-1, 0.5/of.length, of.depth, 0.67
			c := w.claim(Time, share{1 - f, (square/of.length - f*f) / synthetic}, 1-short/of.length).Interval
			if truth := 1 - of.q*of.depth; truth < c.Low {
				low++
			} else if truth > c.High {
				high++
			}
		}
		// 0.05 either way is meant; a count has a standard error of 0.004.
		assert.InDelta(t, 0.05, float64(low)/records, 0.045, "too hopeful, %v", of)
		assert.InDelta(t, 0.05, float64(high)/records, 0.045, "too careful, %v", of)
	}
}

// Nothing that is said of a tank jumps where the record shows half a failure, nor
// where it is long enough to show the target.
func TestClaimsAreContinuous(t *testing.T) {
	w := &Weights{synthetic: 1e6, cluster: 1.3, caution: 1, level: 0.9}
	for m := range w.years {
		w.years[m], w.rare[m], w.depth[m], w.shape[m] = 20, 0.025, 0.08, 0.6
	}
	of := func(q float64) share { return share{1 - 0.08*q, 0.01 * q / 1e6} }
	w.first[Time] = w.failed(Time, of(0.025))
	w.shape[Time] = w.first[Time] / (0.025 * 20)
	near(t, w.claim(Time, of(0.025-1e-9), 0.975+1e-9).Interval, w.claim(Time, of(0.025+1e-9), 0.975-1e-9).Interval, 1e-6)
	last := math.NaN()
	for worth := 4.0; worth < 60; worth += 0.05 {
		v := *w
		v.years[Annual] = 1.2 * worth / v.cluster
		v.Heed(Annual, 0.9, Evidence{Usable: int(worth) + 1, Worth: worth})
		now := v.claim(Annual, share{value: 0.94}, 0.94).held
		require.False(t, math.Abs(now-last) > 1e-3, "%g", worth)
		last = now
	}
}

// Short years so shallow that their depth is the rounding of a sum tell nothing of it:
// the claim is that of years not seen, and has a distribution.
func TestClaimOfShallowYears(t *testing.T) {
	for _, m := range []Measure{Time, Volume} {
		for _, f := range []float64{0, 1e-16, 1e-15, 1e-14, 1e-12, 1e-9, 1e-6} {
			w := &Weights{synthetic: 100, cluster: 1, caution: 1, level: 0.9}
			for k := range w.years {
				w.years[k], w.rare[k], w.depth[k], w.shape[k] = 20, 0.02, leastDepth, 1
			}
			c := w.own(m, share{1 - f, f * f}, 0.9)
			c.bounded(0.9)
			require.True(t, c.short > 0 && c.good > 0, "%v %g: %+v", m, f, c)
			require.True(t, c.Low >= 0 && c.Low <= c.Estimate && c.Estimate <= c.High && c.High <= 1, "%v %g: %+v", m, f, c)
		}
	}
}

// Of a tank with which no synthetic year is short no failure was seen, whatever is known
// of years that fail elsewhere: the claim is that of the year added. Half-way to the
// share below which the record tells nothing, half of what it tells there counts.
func TestClaimOfATankThatNeverFails(t *testing.T) {
	w := &Weights{synthetic: 1e6, cluster: 1, caution: 1, level: 0.9}
	for k := range w.years {
		w.years[k], w.rare[k], w.depth[k], w.first[k], w.shape[k] = 20, 0.025, 0.4, 0.6, 0.3
	}
	for good, short := range map[float64]float64{1: 0.3, 1 - 0.0125: 0.3 + 0.3} {
		c := w.own(Volume, share{value: 1}, good)
		assert.InDelta(t, short, c.short, 1e-9, good)
		assert.InDelta(t, 1-0.4/21, c.good/(c.short+c.good), 1e-12, good) // (n·0 + d)/(n + 1) lacks
	}
}
