package near

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// records draws records of so many years each that end in the same year, of one
// climate: totals that correlate by rho, rain on every sixth day and more of it in
// wet years.
func records(rho float64, lengths []int, rng *rand.Rand) (out []*rainfall.Years) {
	most := 0
	for _, n := range lengths {
		most = max(most, n)
		out = append(out, &rainfall.Years{Start: 1})
	}
	for t := range most {
		var shared [13]float64
		for k := range shared {
			shared[k] = rng.NormFloat64()
		}
		for i, n := range lengths {
			of := func(k int) float64 { return math.Sqrt(rho)*shared[k] + math.Sqrt(1-rho)*rng.NormFloat64() }
			year, rain := 1+0.15*of(12), make([]float64, rainfall.DaysPerYear)
			for m := range 12 {
				month := max(0.05, 1+0.4*of(m))
				for d := m * 30; d < m*30+30; d += 6 {
					rain[d] = 12 * max(0.1, year) * month
				}
			}
			if t >= most-n {
				out[i].Label, out[i].Rain, out[i].Filled = append(out[i].Label, 1900+t), append(out[i].Rain, rain), append(out[i].Filled, 0)
			}
		}
	}
	return out
}

func stations(years []*rainfall.Years) (out []Station) {
	for i, y := range years {
		out = append(out, Station{Name: string(rune('A' + i)), Years: y})
	}
	return out
}

func times(y *rainfall.Years, by float64, change func(year, day int, x float64) float64) *rainfall.Years {
	s := (&rainfall.Series{Years: y}).Times(by).Years
	for i, rain := range s.Rain {
		for d, x := range rain {
			if change != nil {
				rain[d] = change(i, d, x)
			}
		}
	}
	return s
}

// The same record again tells nothing, whatever its unit; its years before do.
func TestTheSameRecordLendsNothing(t *testing.T) {
	y := records(0.5, []int{60}, rand.New(rand.NewPCG(1, 1)))[0]
	for _, by := range []float64{1, 0.5, 3} {
		out := Borrow(y, stations([]*rainfall.Years{times(y, by, nil), times(y, by, nil)}))
		assert.Equal(t, 1.0, out.Gain)
		assert.False(t, out.Lent())
		assert.Equal(t, []rainfall.Unfit{rainfall.TooLittleToLend, rainfall.TooLittleToLend}, []rainfall.Unfit{out.From[0].Why, out.From[1].Why})
		assert.Equal(t, 1.0, out.From[0].Years)
	}
	var last []int
	for i := 40; i < 60; i++ {
		last = append(last, i)
	}
	out := Borrow(y.Pick(last), stations([]*rainfall.Years{times(y, 2, nil)}))
	require.True(t, out.Lent(), "%+v", out.From)
	assert.Equal(t, 80, out.Years.Len())
	assert.InEpsilon(t, 0.5, out.From[0].Factor, 1e-5, "the scale comes from the whole of it")
}

// What neighbours are worth, to the digit where it can be reckoned by hand.
func TestGain(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	y := records(0, []int{20, 40, 40}, rng)
	own, a, b := y[0], y[1], y[2]
	apart := func(y *rainfall.Years, by int) *rainfall.Years {
		all := make([]int, y.Len())
		for i := range all {
			all[i] = i
		}
		out := y.Pick(all)
		for i := range out.Label {
			out.Label[i] += by
		}
		return out
	}
	a, b = apart(a, 1000), apart(b, 2000)
	c := &candidates{own: own, near: stations([]*rainfall.Years{a, b}), pairs: []pair{compare(own, a), compare(own, b)}}
	// Years that have nothing in common add up, but for the scale and for what places
	// differ by: 100 of them in all, of which 0.6 is a fifth, and 0.4 of the mean.
	v := 0.6/100 + 0.4*(0.2*0.2/20+0.96*0.005) + 0.4*0.4*0.01*2 + 2*0.4*0.4*0.005
	assert.InEpsilon(t, 1/v/20, c.gain([]int{0, 1}, 0.005), 1e-9)
	// Perfect neighbours, whose scale is known as if from all years, of no other
	// climate: the years add up but for the part of the mean.
	perfect := 0.6/100 + 0.4*(0.04/20+0.96/100) + 0.01*0.8*0.8*0.75
	assert.InEpsilon(t, 1/perfect/20, c.gain([]int{0, 1}, 0.01), 1e-9)
	// The order of neighbours is nothing to it.
	assert.InEpsilon(t, c.gain([]int{0, 1}, 0.01), c.gain([]int{1, 0}, 0.01), 1e-12)
	// Common years count the less the more alike they are.
	last := math.Inf(1)
	for _, r := range []float64{0, 0.3, 0.6, 0.9, 1} {
		c := &candidates{own: own, near: stations([]*rainfall.Years{y[1]}), pairs: []pair{{common: 20, years: r}}}
		got := c.gain([]int{0}, 0.01)
		assert.Less(t, got, last)
		last = got
	}
}

// Long records of one climate lend, those that fit alone, and never more than they
// hold; the generator's years are the own ones first.
func TestWhatIsBorrowed(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3, 3))
	lent := 0
	for range 20 {
		y := records(0.8, []int{20, 60, 60, 60}, rng)
		out := Borrow(y[0], stations([]*rainfall.Years{times(y[1], 2, nil), y[2], times(y[3], 0.3, nil)}))
		if !out.Lent() {
			assert.Equal(t, 1.0, out.Gain)
			continue
		}
		lent++
		want, borrowed := 20, 0
		for _, n := range out.From {
			if n.Why == "" {
				want += n.Usable
				borrowed += n.Usable
				assert.Greater(t, n.Factor, 0.0)
			} else {
				assert.True(t, math.IsNaN(n.Factor))
			}
		}
		assert.Equal(t, want, out.Years.Len())
		assert.Equal(t, y[0].Rain, out.Years.Rain[:20])
		assert.LessOrEqual(t, out.Gain*20, 20+float64(borrowed))
		assert.GreaterOrEqual(t, out.Gain, LeastGain)
		labels := map[int]bool{}
		for _, label := range out.Years.Label {
			assert.False(t, labels[label])
			labels[label] = true
		}
		first, scaled := totals(out.Years)[:20], totals(out.Years)[20:]
		assert.InEpsilon(t, mean(first), mean(scaled), 0.12, "one scale")
	}
	assert.Greater(t, lent, 14)
}

// Neighbours of another climate are named, each with its reason.
func TestWhoIsLeftOut(t *testing.T) {
	y := records(0.9, []int{25, 60}, rand.New(rand.NewPCG(4, 4)))
	own, near := y[0], y[1]
	m := mean(totals(near))
	for why, other := range map[rainfall.Unfit]*rainfall.Years{
		rainfall.FewCommonYears: near.Pick([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13}),
		rainfall.OtherMonths:    records(0, []int{60}, rand.New(rand.NewPCG(5, 5)))[0],
		rainfall.OtherSeason: times(near, 1, func(_, d int, x float64) float64 {
			if d < 180 {
				return x / 4
			}
			return x
		}),
		rainfall.OtherWetDays: times(near, 1, func(_, d int, x float64) float64 { return x * float64(d/6%2) }),
		rainfall.OtherSpread: times(near, 1, func(i, _ int, x float64) float64 {
			return x * math.Pow(near.Total(i)/m, 1.5)
		}),
	} {
		out := Borrow(own, stations([]*rainfall.Years{other}))
		assert.Equal(t, why, out.From[0].Why, "%+v", out.From[0])
		assert.False(t, out.Lent())
	}
	assert.Equal(t, rainfall.Unfit(""), Borrow(own, stations([]*rainfall.Years{near})).From[0].Why)
}
