package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unitless makes records whose curves follow a law that is known, but for an error.
func unitless(n int, err float64) []Unitless {
	rng := rand.New(rand.NewPCG(3, 4))
	var out []Unitless
	for range n {
		u := Unitless{Demand: 0.2 + 0.6*rng.Float64(), Season: rng.Float64()}
		own := err * rng.NormFloat64()
		for s := 0.005; s < 0.6; s *= 1.1 {
			z := 6 + 2*math.Log(s) - 3*math.Log(u.Demand) - 2*u.Season + own
			u.Store, u.Share = append(u.Store, s), append(u.Share, expit(z))
		}
		out = append(out, u)
	}
	return out
}

// A law of the very form that is fitted is found again, and nothing is said where
// there are few records.
func TestRegionFindsALaw(t *testing.T) {
	r := Region(unitless(40, 0), 0.9)
	require.NotNil(t, r)
	assert.Equal(t, OnBoth, r.On)
	assert.Equal(t, 40, r.Records)
	within := 0
	for _, p := range r.Points {
		if p.Share < 0.05 || p.Share > 0.9 { // where no record is as good as 0 or 1
			continue
		}
		within++
		assert.InDelta(t, -3, p.PerDemand, 0.5, p.Store)
		assert.InDelta(t, -2, p.PerSeason, 0.4, p.Store)
		assert.InDelta(t, expit(6+2*math.Log(p.Store)-3*math.Log(r.Demand)-2*r.Season), p.Share, 0.01)
	}
	assert.Greater(t, within, 4)
	want := math.Exp((logit(0.9) - 6 + 3*math.Log(r.Demand) + 2*r.Season) / 2)
	assert.InEpsilon(t, want, r.Reaches, 0.06)
	assert.Nil(t, Region(unitless(LeastRegional-1, 0), 0.9))
}

// The error said is the error made at records never seen.
func TestRegionSaysItsError(t *testing.T) {
	r := Region(unitless(60, 0.8), 0.9)
	require.NotNil(t, r)
	sum, n, in := 0.0, 0, 0
	fresh := unitless(400, 0.8)[60:]
	for _, u := range fresh {
		for _, p := range r.Points {
			is, ok := at(u, p.Store)
			require.True(t, ok)
			z := p.Constant + p.PerDemand*math.Log(u.Demand) + p.PerSeason*u.Season
			e := min(max(is, leastShare), 1-leastShare) - expit(z)
			sum += e * e
			n++
			off := logit(is) - z
			base := logit(p.Share)
			if off >= logit(p.Low)-base-1e-9 && off <= logit(p.High)-base+1e-9 {
				in++
			}
		}
	}
	assert.InEpsilon(t, math.Sqrt(sum/float64(n)), r.LeftOut, 0.2)
	assert.InDelta(t, 0.9, float64(in)/float64(n), 0.06)
	last := 0.0
	for _, p := range r.Points {
		assert.GreaterOrEqual(t, p.Share, last)
		assert.LessOrEqual(t, p.Low, p.Share)
		assert.GreaterOrEqual(t, p.High, p.Share)
		last = p.Share
	}
}

// Where all records want the same share, nothing is fitted on it.
func TestRegionOfOneDemand(t *testing.T) {
	all := unitless(20, 0.1)
	for i := range all {
		all[i].Demand = 0.5
	}
	r := Region(all, 0.9)
	require.NotNil(t, r)
	assert.NotEqual(t, OnDemand, r.On)
	for i := range all {
		all[i].Store = nil
	}
	assert.Nil(t, Region(all, 0.9))
}
