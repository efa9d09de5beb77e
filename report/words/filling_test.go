package words

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"tankodds/report/units"
	"tankodds/sim"
)

// months makes a filling of each month of how long it takes to be half full, to run
// over, and for a reserve to be there again at worst; the twelfth has no start.
func months(half [11]float64, full, worst float64) (out []sim.Filling) {
	for i, x := range half {
		out = append(out, sim.Filling{Month: time.Month(i + 1), Starts: 9, Half: x, Full: full, Worst: worst})
	}
	return append(out, sim.Filling{Month: time.December, Half: math.NaN(), Full: math.NaN(), Worst: math.NaN()})
}

// The month named first is that from which the tank fills fastest, the other that from
// which it fills slowest, wherever in the year they stand.
func TestFilling(t *testing.T) {
	nan := math.NaN()
	steady := [11]float64{50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50}
	with := func(x [11]float64, set map[time.Month]float64) [11]float64 {
		for m, half := range set {
			x[m-1] = half
		}
		return x
	}
	for _, c := range []struct {
		begins int
		half   [11]float64
		full   float64
		want   string
	}{
		{0, with(steady, map[time.Month]float64{3: 12.4, 7: 200, 9: 180}), 300,
			"If 4,000 L is installed empty and used from the first day, it is half full after 12 days when that is 1 March, and after 200 days when it is 1 July (medians over the record)."},
		{0, with(steady, map[time.Month]float64{1: 200, 2: 180, 10: 1}), 300,
			"If 4,000 L is installed empty and used from the first day, it is half full after 1 day when that is 1 October, and after 200 days when it is 1 January (medians over the record)."},
		{0, with(steady, map[time.Month]float64{4: nan, 6: 900}), 300,
			"If 4,000 L is installed empty and used from the first day, it is half full after 50 days when that is 1 January, and not within three years when it is 1 April (medians over the record)."},
		{0, steady, 300, "If 4,000 L is installed empty and used from the first day, it is half full after 50 days when that is 1 January or any other month (medians over the record)."},
		{0, [11]float64{nan, nan, nan, nan, nan, nan, nan, nan, nan, nan, nan}, nan, ""},
		{5, with(steady, map[time.Month]float64{5: 33}), 301, "If 4,000 L is installed empty on 1 May and used from that day, it is half full after 33 days, and it first runs over after 301 days (medians over the record)."},
		{5, steady, nan, "If 4,000 L is installed empty on 1 May and used from that day, it is half full after 50 days, and it does not run over within three years (medians over the record)."},
		{5, with(steady, map[time.Month]float64{5: nan}), nan, "If 4,000 L is installed empty on 1 May and used from that day, it is not half full within three years (median over the record)."},
		{12, with(steady, map[time.Month]float64{2: 40}), 300, // of which the record tells nothing
			"If 4,000 L is installed empty and used from the first day, it is half full after 40 days when that is 1 February, and after 50 days when it is 1 January (medians over the record)."},
	} {
		r := &sim.Result{Study: &sim.Study{Begins: c.begins}, Season: &sim.Season{Tank: 4000}, Filling: months(c.half, c.full, nan)}
		assert.Equal(t, c.want, Filling(units.SI, r))
	}
	assert.Empty(t, Filling(units.SI, &sim.Result{Study: &sim.Study{}, Season: &sim.Season{Tank: 4000}}), "a record too short")
}

// The worst month of a reserve is that which takes longest; one in which it is not
// there again is worse than any.
func TestReserveThereAgain(t *testing.T) {
	r := &sim.Result{Study: &sim.Study{}, Season: &sim.Season{Tank: 4000}, Filling: months([11]float64{}, 9, 70)}
	again := func() string { return again(units.SI, r) }
	assert.Empty(t, again(), "no reserve")
	r.Study.Under.Share = 0.25
	r.Filling[1].Worst, r.Filling[5].Worst, r.Filling[8].Worst = 200, 330, 300
	assert.Equal(t, " A reserve of 1,000 L that has been used up is there again after 330 days at worst, when that happens at the beginning of June.", again())
	r.Filling[3].Worst = math.NaN()
	assert.Equal(t, " A reserve of 1,000 L that has been used up may not be there again within three years.", again())
}
