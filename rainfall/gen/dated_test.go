package gen

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// told are years in which no two days have the same rain: it tells the day.
func told(n int) *rainfall.Years {
	return made(n, func(i, d int) float64 { return 0.1 + float64((i*rainfall.DaysPerYear+d)*7919%99991)/8192 })
}

// sampleDated fits a generator and draws n years with and without their days.
func sampleDated(t *testing.T, g Generator, y *rainfall.Years, n int) (rain []float64, from []int32) {
	t.Helper()
	s, err := g.Fit(y)
	require.NoError(t, err)
	d, ok := s.(Dated)
	require.True(t, ok, g.Name)
	plain := make([]float64, n*rainfall.DaysPerYear)
	rain, from = make([]float64, len(plain)), make([]int32, len(plain))
	for i := range from {
		from[i] = math.MaxInt32 // every day must be written
	}
	one, two, three := Source(3, 4, 5), Source(3, 4, 5), Source(3, 4, 5)
	s.Sample(plain, one)
	d.SampleDated(rain, from, two)
	require.Equal(t, plain, rain, "%s: the same rain", g.Name)
	end := one.Uint64()
	require.Equal(t, end, two.Uint64(), "%s: from the same numbers", g.Name)
	d.SampleDated(plain, nil, three)
	require.Equal(t, rain, plain, "%s: without a place for the days", g.Name)
	require.Equal(t, end, three.Uint64())
	return rain, from
}

func TestEveryDayIsOneOfTheRecord(t *testing.T) {
	years := awkward()
	years["told"] = told(30)
	for _, g := range All() {
		if g.Name == "chain" {
			continue
		}
		for name, y := range years {
			rain, from := sampleDated(t, g, y, 20)
			for i, k := range from {
				if rain[i] != y.Rain[k/rainfall.DaysPerYear][k%rainfall.DaysPerYear] {
					require.Failf(t, "another day", "%s, %s: day %d is %g mm, its day %d of the record another", g.Name, name, i, rain[i], k)
				}
				// the neighbours' seasonal window is slotMargin wider than the
				// slot, whose last is 20 days long
				off := int(k%rainfall.DaysPerYear) - i%rainfall.DaysPerYear
				off = min(off*off, (off+rainfall.DaysPerYear)*(off+rainfall.DaysPerYear), (off-rainfall.DaysPerYear)*(off-rainfall.DaysPerYear))
				if most := 28 * one(g.Name == "neighbours"); off > most*most {
					require.Failf(t, "another season", "%s, %s: day %d from day %d", g.Name, name, i, k)
				}
			}
		}
	}
}

// The chain draws no days of the record, stressed or not.
func TestChainHasNoDays(t *testing.T) {
	for _, g := range []Generator{Chain(), (Stress{DrySpell: 2}).Apply(Chain())} {
		s, err := g.Fit(invented(20))
		require.NoError(t, err)
		_, ok := s.(Dated)
		assert.False(t, ok)
	}
}

func TestStressKeepsTheDays(t *testing.T) {
	y := made(12, func(i, d int) float64 {
		if (d*7+i*3)%5 == 0 {
			return float64(1 + (d+i)%9)
		}
		return 0
	})
	var half [12]float64
	for m := range half {
		half[m] = 0.5
	}
	for _, g := range []Generator{WaterYears(), Guided(), Blocks(), Neighbours()} {
		rain, from := sampleDated(t, g, y, 20)
		halved, days := sampleDated(t, Stress{Rain: half}.Apply(g), y, 20)
		assert.Equal(t, from, days, "less rain falls on the same days: %s", g.Name)
		assert.Equal(t, rain[100]/2, halved[100])

		drier, days := sampleDated(t, Stress{DrySpell: 1.5}.Apply(g), y, 20)
		moved := 0
		for i, k := range days {
			switch {
			case k == NoDay:
				moved++
				require.NotEqual(t, rain[i], drier[i], "%s: a day whose rain is as it was keeps its day", g.Name)
			case k != from[i], drier[i] != y.Rain[k/rainfall.DaysPerYear][k%rainfall.DaysPerYear]:
				require.Failf(t, "another day", "%s: day %d from %d", g.Name, i, k)
			}
		}
		assert.Positive(t, moved, g.Name)
	}
}
