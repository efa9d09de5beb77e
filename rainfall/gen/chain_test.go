package gen

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/rainfall"
)

// chained returns years of the two-state chain with p01 = 0.2, p11 = 0.6 all
// year, every wet day 5 mm.
func chained(n int) *rainfall.Years {
	rng := Source(9, 9, 9)
	wet := false
	return made(n, func(int, int) float64 {
		p := 0.2
		if wet {
			p = 0.6
		}
		if wet = rng.Float64() < p; wet {
			return 5
		}
		return 0
	})
}

// The exact two-state chain (Richardson 1981's occurrence, from memory,
// unverified; COMP): p01 = 0.2, p11 = 0.6 gives wet share 1/3, mean wet spell
// 1/(1−p11) = 2.5 days, mean dry spell 1/p01 = 5 days, lag-1 p11−p01 = 0.4.
func TestChainExact(t *testing.T) {
	m := wetMonth{wet: 0.2, stay: 0.6}
	assert.InDelta(t, 1.0/3, m.share(), 1e-15)

	s, err := Chain().Fit(chained(400))
	require.NoError(t, err)
	for i := range s.(*chain).yearly { // the exact chain, every year
		for k := range s.(*chain).yearly[i] {
			s.(*chain).yearly[i][k] = yearMonth{wet: 1 << 32 / 5, stay: 1 << 32 * 3 / 5, scale: 4.05}
		}
	}
	const years = 2000
	trace := make([]float64, years*rainfall.DaysPerYear)
	s.Sample(trace, Source(1, 1, 1))
	n := float64(len(trace)) / quarters
	for _, x := range statistics(asYears(trace)) {
		switch x.name { // four standard errors of a quarter's days each
		case "wet-day frequency":
			assert.InDelta(t, 1.0/3, x.value, 4*math.Sqrt(2.0/9*1.4/0.6/n), x.season)
		case "p01, wet after dry":
			assert.InDelta(t, 0.2, x.value, 4*math.Sqrt(0.16/(n*2/3)), x.season)
		case "p11, wet after wet":
			assert.InDelta(t, 0.6, x.value, 4*math.Sqrt(0.24/(n/3)), x.season)
		case "mean wet spell":
			assert.InDelta(t, 2.5, x.value, 4*math.Sqrt(2.5*1.5/(n/7.5)), x.season)
		case "mean dry spell":
			assert.InDelta(t, 5, x.value, 4*math.Sqrt(5*4/(n/7.5)), x.season)
		}
	}
	state := make([]float64, len(trace))
	for t, x := range trace {
		state[t] = float64(one(x > 0))
	}
	assert.InDelta(t, 0.4, Autocorrelation(state, 1), 0.006)
}

// Fitted to such years, the chain finds what made them, and no spread between
// years that they do not have.
func TestChainFit(t *testing.T) {
	s, err := Chain().Fit(chained(400))
	require.NoError(t, err)
	for k, m := range s.(*chain).monthly {
		assert.InDelta(t, 0.2, m.wet, 4*math.Sqrt(0.16/(400*30*2/3)), "month %d", k)
		assert.InDelta(t, 0.6, m.stay, 4*math.Sqrt(0.24/(400*30/3)), "month %d", k)
		assert.InDelta(t, 5-shift, m.mean, 1e-9)
	}
	f := yearFactors(s.(*chain).history, &s.(*chain).month, s.(*chain).monthly)
	var wet []float64
	for _, year := range f {
		wet = append(wet, year[0].wet)
	}
	// The ratios seen spread by sqrt(30·(2/9)·(1.4/0.6))/10 = 0.39 by chance.
	assert.Less(t, deviation(wet), 0.15)
}

// Years that differ do so in the chain as well: their spread beyond chance is
// kept (Chowdhury et al. 2017).
func TestChainKeepsSpread(t *testing.T) {
	rng := Source(9, 9, 9)
	wet := false
	y := made(300, func(i, _ int) float64 {
		p := []float64{0.1, 0.3}[i%2]
		if wet {
			p += 0.3
		}
		if wet = rng.Float64() < p; wet {
			return math.Round(10*(1+rng.ExpFloat64()*float64(4+4*(i%2)))) / 10
		}
		return 0
	})
	long := asYears(drawn(t, Chain(), y, 1000, Source(1, 1, 1)))
	assert.InEpsilon(t, deviation(annual(y)), deviation(annual(long)), 0.15)
}

// Thom 1958 (Mon. Weather Rev. 86:117); the formula READ in the procedure of
// Edwards & McKee 1997 and READ-2nd in notes of Wilks 1995.
func TestThom(t *testing.T) {
	// Ithaca, January 1933-1982 (Wilks, Statistical Methods in the
	// Atmospheric Sciences, example of a gamma fit: from memory, unverified):
	// mean 1.96 in, A = 0.139, shape 3.76, scale 0.52 in.
	shape := thom(1.96, math.Log(1.96)-0.139)
	assert.InDelta(t, 3.76, shape, 0.005)
	assert.InDelta(t, 0.52, 1.96/shape, 0.005)
	// A = 3/4: (1 + √2)/3 (COMP).
	assert.InDelta(t, (1+math.Sqrt2)/3, thom(1, -0.75), 1e-15)
	// Against the maximum of the likelihood, ln a − ψ(a) = A (DERIV): within
	// 1 % from shape 1 on, 6 % at 0.4.
	for a, tol := range map[float64]float64{0.4: 0.06, 0.6: 0.03, 0.8: 0.016, 1: 0.01, 1.5: 0.005, 3: 0.002, 10: 0.001} {
		assert.InEpsilon(t, a, thom(1, mathext.Digamma(a)-math.Log(a)), tol, "shape %g", a)
	}
	assert.Equal(t, 100.0, thom(5, math.Log(5)), "depths that do not vary")
	assert.Equal(t, 100.0, thom(0, math.Inf(-1)))
}

// The table draws what the distribution says: mean 1, and the SPI's
// probabilities (Edwards & McKee 1997, READ): -1, -1.5 and -2 stand for
// .1587, .0668 and .0228, and their mirror images above.
func TestGammaTable(t *testing.T) {
	for _, shape := range []float64{0.3, 0.7, 1, 2.5, 20, 100} {
		table := newGammaTable(shape)
		g := distuv.Gamma{Alpha: shape, Beta: shape}
		rng := Source(1, 1, 1)
		const n = 400000
		probability := []float64{.0228, .0668, .1587, 1 - .1587, 1 - .0668, 1 - .0228, .999}
		limit := make([]float64, len(probability))
		for i, p := range probability {
			limit[i] = g.Quantile(p)
		}
		below := make([]float64, len(probability))
		sum := 0.0
		for range n {
			x := table.at(rng.Uint32(), rng)
			sum += x
			for i, q := range limit {
				if x <= q {
					below[i]++
				}
			}
		}
		assert.InDelta(t, 1, sum/n, 4/math.Sqrt(shape*n)+1e-3, "shape %g", shape)
		for i, p := range probability {
			assert.InDelta(t, p, below[i]/n, 4*math.Sqrt(p*(1-p)/n)+0.0015, "shape %g, p %g", shape, p)
		}
		assert.Less(t, g.Quantile(1-1.0/131072), (shape+13+5*math.Sqrt(shape))/shape, "the table is wide enough")
		assert.InEpsilon(t, g.Quantile(1-1.0/131072), table.tail[256], 0.02, "shape %g", shape)
	}
}
