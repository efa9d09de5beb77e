package gen

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Spells of 2 and 3 dry days, made twice as long by hand: the rain of the
// added days falls on the day after them.
func TestStretch(t *testing.T) {
	rain := []float64{5, 0, 0, 3, 4, 2, 0, 0, 0, 7, 0, 1, 6, 9, 9}
	from := make([]int32, len(rain))
	stretch(rain, from, 2)
	assert.Equal(t, []int32{0, 0, 0, -1, -1, -1, 0, 0, 0, -1, 0, -1, -1, 0, 0}, from, "what was moved is no day of the record")
	//                  5 | 2 dry | 2 added    | 3 dry  | 3 added  | …
	assert.Equal(t, []float64{5, 0, 0, 0, 0, 9, 0, 0, 0, 0, 0, 0, 14, 9, 9}, rain)

	half := []float64{0, 2, 0, 3, 4}
	stretch(half, nil, 1.5) // half a day is carried to the second spell
	assert.Equal(t, []float64{0, 2, 0, 0, 7}, half)

	end := []float64{0, 0, 0, 5, 5}
	stretch(end, nil, 3)
	assert.Equal(t, []float64{0, 0, 0, 0, 10}, end, "nothing is lost at the end")
}

// Stressed rain is the generator's with each month multiplied, and as much
// rain in all where only the spells are stretched.
func TestStress(t *testing.T) {
	y := made(12, func(i, d int) float64 {
		if (d*7+i*3)%5 == 0 {
			return float64(1 + (d+i)%9)
		}
		return 0
	})
	draw := func(s Stress) []float64 {
		require.NoError(t, s.Check())
		return drawn(t, s.Apply(WaterYears()), y, 20, Source(1, 2, 3))
	}
	plain := draw(Stress{})
	assert.Equal(t, plain, draw(Stress{DrySpell: 1}))

	var june Stress
	for m := range june.Rain {
		june.Rain[m] = 1
	}
	june.Rain[time.June-1] = 0.5
	wetter, month := draw(june), rainfall.Calendar(time.October).Months()
	for i, x := range plain {
		want := x
		if month[i%rainfall.DaysPerYear] == time.June {
			want = x / 2
		}
		require.Equal(t, want, wetter[i])
	}

	stretched := draw(Stress{DrySpell: 1.5})
	assert.NotEqual(t, plain, stretched)
	assert.InDelta(t, mean(plain), mean(stretched), 1e-6/float64(len(plain)))
	longest := func(rain []float64) int { return (&rainfall.Record{Depth: rain}).LongestDrySpell(rainfall.WetDay).Days }
	assert.Greater(t, longest(stretched), longest(plain))

	for _, bad := range []Stress{{DrySpell: 0.5}, {DrySpell: 9}, {Rain: [12]float64{4: -1}}, {Rain: [12]float64{4: 30}}} {
		assert.Error(t, bad.Check())
	}
}
