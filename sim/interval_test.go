package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"
)

func TestPublishedProportions(t *testing.T) {
	methods := map[string]func(k, n, level float64) Interval{"wilson": Wilson, "clopper-pearson": ClopperPearson}
	for _, row := range published(t, "proportions.csv") {
		f := func(head string) float64 { return numberIn(t, row[head]) }
		got := methods[row["method"]](f("k"), f("n"), 0.95)
		half := 0.5000001 * math.Pow(10, -f("digits"))
		assert.InDelta(t, f("low"), got.Low, half, "%v", row)
		assert.InDelta(t, f("high"), got.High, half, "%v", row)
		assert.Equal(t, f("k")/f("n"), got.Estimate)
	}
}

// TestNoFailureSeen: with no failure in 30 years the 95 % upper bound of the
// chance of one is 1 − 0.05^(1/30) = 0.0950339 (COMP; the rule of three says
// 0.1).
func TestNoFailureSeen(t *testing.T) {
	got := ClopperPearson(30, 30, 0.9) // its lower bound is one-sided 95 %
	assert.InDelta(t, 0.0950339, 1-got.Low, 5e-8)
	assert.Equal(t, 1.0, got.High)
	assert.InDelta(t, 1-math.Pow(0.05, 1.0/30), 1-got.Low, 1e-12)
}

// TestYearsToShow: 59 observations without failure show 95 % with 95 %
// confidence, 299 show 99 %, 29 show 90 % (Wilks's numbers, from memory,
// unverified). Ten years cannot show 99 %.
func TestYearsToShow(t *testing.T) {
	assert.Equal(t, 59, YearsToShow(0.95, 0.95))
	assert.Equal(t, 299, YearsToShow(0.99, 0.95))
	assert.Equal(t, 29, YearsToShow(0.9, 0.95))
	assert.Equal(t, 2, YearsToShow(0.5, 0.75))
	assert.Equal(t, 1, YearsToShow(0.1, 0.5))
	for _, target := range []float64{0.5, 0.8, 0.9, 0.95, 0.99} {
		n := YearsToShow(target, 0.9)
		assert.LessOrEqual(t, math.Pow(target, float64(n)), 0.1+1e-9)
		assert.Greater(t, math.Pow(target, float64(n-1)), 0.1)
	}
	assert.Greater(t, YearsToShow(0.99, 0.9), 10)
}

// TestIntervalsInvert checks both by what defines them: Wilson's bounds are
// the shares that are z standard errors from what was seen; Clopper and
// Pearson's leave half of 1 − level in the binomial tail.
func TestIntervalsInvert(t *testing.T) {
	for _, level := range []float64{0.5, 0.8, 0.9, 0.99} {
		z := distuv.UnitNormal.Quantile((1 + level) / 2)
		for _, n := range []float64{1, 7, 50, 10000} {
			for _, k := range []float64{0, 1, math.Floor(n / 3), n - 1, n} {
				w := Wilson(k, n, level)
				for _, p := range []float64{w.Low, w.High} {
					if p > 0 && p < 1 {
						assert.InDelta(t, z, math.Abs(k/n-p)/math.Sqrt(p*(1-p)/n), 1e-6)
					}
				}
				c := ClopperPearson(k, n, level)
				if k > 0 {
					assert.InDelta(t, (1-level)/2, 1-distuv.Binomial{N: n, P: c.Low}.CDF(k-1), 1e-8)
				}
				if k < n {
					assert.InDelta(t, (1-level)/2, distuv.Binomial{N: n, P: c.High}.CDF(k), 1e-8)
				}
			}
		}
	}
	assert.Equal(t, 0.0, Wilson(0, 0, 0.9).Low)
	assert.Equal(t, 1.0, ClopperPearson(0, 0, 0.9).High)
}

func TestEffectiveYears(t *testing.T) {
	years := constant(50, 40)
	// two years in a row always alike: half the years are news
	rng := rand.New(rand.NewPCG(1998, 24))
	const trials = 300
	sum := 0.0
	for range trials {
		good := make([]float64, len(years))
		for i := range good {
			for range 25 {
				if rng.Float64() < 0.9 {
					good[i] += 2
				}
			}
		}
		sum += EffectiveYears(good, years, 0.9)
	}
	assert.InEpsilon(t, 1000, sum/trials, 0.1)

	// all traces alike, and one trace alone: nothing says the years are not their number
	assert.Equal(t, 2000.0, EffectiveYears(years, years, 0.9))
	assert.Equal(t, 50.0, EffectiveYears([]float64{45}, []float64{50}, 0.9))
	assert.Equal(t, ClopperPearson(2000, 2000, 0.9), Clustered(ClopperPearson, years, years, 0.9))
}

// TestClusteredCovers: where a trace's years go together, the clustered
// interval holds the truth about as often as it says and the plain one does
// not.
func TestClusteredCovers(t *testing.T) {
	const trials, traces, length, level, truth = 2000, 40, 50, 0.9, 0.8
	rng := rand.New(rand.NewPCG(27, 9))
	plain, clustered, supplied := 0, 0, 0
	years := constant(length, traces)
	for range trials {
		good := make([]float64, traces)
		total := 0.0
		for i := range good {
			state := rng.Float64() < truth
			for range length {
				if rng.Float64() < 0.25 { // a new draw every four years on average
					state = rng.Float64() < truth
				}
				if state {
					good[i]++
				}
			}
			total += good[i]
		}
		if in := Wilson(total, traces*length, level); in.Low <= truth && truth <= in.High {
			plain++
		}
		if in := Clustered(Wilson, good, years, level); in.Low <= truth && truth <= in.High {
			clustered++
			assert.Equal(t, total/(traces*length), in.Estimate)
		}
		if in := Ratio(good, years, level); in.Low <= truth && truth <= in.High {
			supplied++
		}
	}
	assert.Less(t, float64(plain)/trials, 0.6)
	assert.InDelta(t, level, float64(clustered)/trials, 0.025)
	assert.InDelta(t, level, float64(supplied)/trials, 0.025)
}

func TestRatio(t *testing.T) {
	got := Ratio([]float64{30, 80}, []float64{100, 100}, 0.9)
	assert.InDelta(t, 0.55, got.Estimate, 1e-15)
	// m/(m−1)·Σe²/(Σb)² = 2·(25² + 25²)/200²; t of one degree of freedom at 90 % is 6.3138
	half := 6.313751515 * math.Sqrt(2*1250.0/40000)
	assert.InDelta(t, max(0, 0.55-half), got.Low, 1e-9)
	assert.InDelta(t, min(1, 0.55+half), got.High, 1e-9)
	assert.Equal(t, Interval{0.3, 0, 1}, Ratio([]float64{30}, []float64{100}, 0.9))
	assert.True(t, math.IsNaN(Ratio(nil, nil, 0.9).Estimate))
	three := Ratio([]float64{89, 90, 91}, []float64{100, 100, 100}, 0.9)
	assert.InDelta(t, 2.91998558*math.Sqrt(1.5*2/90000.0), three.High-0.9, 1e-8)
}
