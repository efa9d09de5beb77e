package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The correlation of two events against what is known exactly: an orthant of two
// normal variables has the chance 1/4 + asin(ρ)/2π (Sheppard 1899; a textbook result,
// from memory), and with a correlation of 1 two events of one chance are one.
func TestFailTogether(t *testing.T) {
	for _, rho := range []float64{0.1, 0.5, 0.8, 0.95} {
		want := (math.Asin(rho) / (2 * math.Pi)) / 0.25
		assert.InDelta(t, want, failTogether(0.5, 0.5, rho), 1e-9, rho)
	}
	assert.InDelta(t, 1, failTogether(0.1, 0.1, 0.99999), 0.01)
	assert.Zero(t, failTogether(0.1, 0.1, 0))
	assert.Zero(t, failTogether(0, 0.1, 0.5))
	last := 0.0
	for rho := 0.05; rho < 1; rho += 0.05 {
		now := failTogether(0.05, 0.2, rho)
		assert.Greater(t, now, last)
		assert.Less(t, now, rho, "failures go together less than what makes them")
		last = now
	}
}

// Ranks of ties are their mean; Spearman's correlation of a textbook's kind: 1 − 6Σd²/(n(n²−1))
// without ties.
func TestPairedYears(t *testing.T) {
	assert.Equal(t, []float64{1.5, 0, 1.5, 3}, ranksOf([]float64{2, 1, 2, 9}))
	a := []Year{{2001, 10}, {2002, 20}, {2003, 30}, {2004, 40}, {2005, 50}, {1990, 7}}
	b := []Year{{2005, 2}, {2004, 1}, {2003, 3}, {2002, 5}, {2001, 4}, {2020, 1}}
	rho, n := pairedYears(a, b)
	assert.Equal(t, 5, n)
	d2 := 0.0
	for i, x := range []float64{4, 5, 3, 1, 2} { // ranks of b by year
		d2 += (x - float64(i+1)) * (x - float64(i+1))
	}
	assert.InDelta(t, 1-6*d2/(5*24), rho, 1e-12)
	rho, n = pairedYears(a[:4], b)
	assert.Zero(t, rho)
	assert.Equal(t, 4, n)
	rho, _ = pairedYears(a, []Year{{2001, 1}, {2002, 1}, {2003, 1}, {2004, 1}, {2005, 1}})
	assert.Zero(t, rho, "all alike")
}

// Independent errors add by their squares; those that are one cancel.
func TestDifferenceOfIntervals(t *testing.T) {
	a, b := Interval{10, 7, 14}, Interval{20, 17, 24}
	assert.Equal(t, Interval{10, 5, 15}, apart(a, b, 0))
	assert.Equal(t, Interval{0, 0, 0}, apart(a, Interval{10, 6, 13}, 1))
	d := Differ(Gauged{Size: Interval{1000, 900, 1100}, Share: Interval{0.9, 0.85, 0.95}}, Gauged{Size: Interval{2000, 1800, math.NaN()}, Share: Interval{0.8, 0.75, 0.84}}, 0.9, true)
	assert.InDelta(t, 2, d.Ratio.Estimate, 1e-12)
	assert.Equal(t, Larger, d.Sizes)
	assert.True(t, math.IsNaN(d.Ratio.High), "no upper end")
	assert.Equal(t, Smaller, d.Shares)
	d = Differ(Gauged{Size: Interval{math.NaN(), math.NaN(), math.NaN()}}, Gauged{Size: Interval{2000, 1800, 2200}}, 0.9, true)
	assert.Empty(t, d.Sizes)
	assert.Equal(t, CannotTell, d.Shares)
}

// Spearman's correlation against one worked by hand: d = 1, −1, 0, 0 gives
// 1 − 6·2/(4·15).
func TestRankCorrelation(t *testing.T) {
	assert.InDelta(t, 0.8, RankCorrelation([]float64{1, 2, 3, 4}, []float64{20, 10, 30, 40}), 1e-12)
	assert.True(t, math.IsNaN(RankCorrelation([]float64{1, 1, 1}, []float64{1, 2, 3})))
}

// Errors go together as far as the records share years, of shares of days and of water
// too: by the formula of Differ's comment, reckoned here beside it. The ranks of six
// common years of 10 and 12: d = 1, −1, 0, 0, 0, 0, so 1 − 6·2/(6·35).
func TestDifferenceOfFewCommonYears(t *testing.T) {
	a, b := Gauged{Size: Interval{1000, 900, 1100}, Share: Interval{0.9, 0.85, 0.94}}, Gauged{Size: Interval{2000, 1700, 2400}, Share: Interval{0.93, 0.89, 0.96}}
	for i := range 10 {
		a.Years = append(a.Years, Year{2000 + i, float64(100 + 10*i)})
	}
	for i, need := range []float64{70, 60, 80, 90, 100, 110, 1, 2, 3, 4, 5, 6} {
		b.Years = append(b.Years, Year{2004 + i, need})
	}
	const rank = 1 - 6*2.0/(6*35)
	rho := 2 * math.Sin(math.Pi/6*(rank-1/math.Sqrt(5)))
	for _, annual := range []bool{false, true} {
		together := rho
		if annual {
			together = failTogether(1-0.9, 1-0.93, rho)
		}
		r := together * 6 / math.Sqrt(120)
		e := func(x, y float64) float64 { return math.Sqrt(x*x + y*y - 2*r*x*y) }
		d := Differ(a, b, 0.9, annual)
		assert.Equal(t, 6, d.Years)
		assert.InDelta(t, rank, d.Together, 1e-9)
		assert.InDelta(t, 0.03-e(0.04, 0.04), d.Share.Low, 1e-9, annual)
		assert.InDelta(t, 0.03+e(0.03, 0.05), d.Share.High, 1e-9, annual)
		if !annual {
			assert.InDelta(t, math.Exp(math.Log(2)-e(math.Log(20.0/17), math.Log(1.1))), d.Ratio.Low, 1e-9)
			assert.InDelta(t, math.Exp(math.Log(2)+e(math.Log(1.2), math.Log(10.0/9))), d.Ratio.High, 1e-9)
		}
	}
}
