package rainfall

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Every day of years with and without 29 February has its place, whichever
// month water years begin in, and is found there again.
func TestCalendar(t *testing.T) {
	for start := time.January; start <= time.December; start++ {
		c := Calendar(start)
		months, nth, starts := c.Months(), c.Nth(), c.Starts()
		assert.Equal(t, DaysPerYear, starts[12])
		for label := 1999; label <= 2004; label++ {
			place, leap := 0, 0
			for d := c.First(label); d < c.First(label+1); d++ {
				_, m, day := d.YMD()
				if m == time.February && day == 29 {
					leap = place
					place--
					day--
				}
				assert.Equal(t, label, c.Label(d))
				assert.Equal(t, place, c.Place(d), "%v", d)
				gotMonth, gotDay := c.MonthDay(place)
				assert.Equal(t, []int{int(m), day}, []int{int(gotMonth), gotDay})
				assert.Equal(t, m, months[place])
				assert.Equal(t, m, c.Month(int(nth[place])))
				assert.Equal(t, day-1, place-starts[nth[place]])
				if place != leap-1 {
					assert.Equal(t, d, c.Date(label, m, day))
				}
				place++
			}
			assert.Equal(t, DaysPerYear, place)
			assert.Equal(t, leap, c.leapDay(label))
		}
	}
}

// By hand: where the cumulated departures from the mean month are largest.
func TestStartMonth(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		monthly [12]float64
		want    time.Month
	}{
		// The mean is 25: after August it has rained 60 more than that.
		{[12]float64{40, 40, 10, 10, 10, 10, 70, 70, 10, 10, 10, 10}, time.September},
		// After March, though October to March bring as much above it as April
		// takes away.
		{[12]float64{142, 116, 92, 44, 16, 4, 2, 1, 9, 56, 117, 147}, time.April},
		{[12]float64{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 90}, time.January},
		// Without June the mean is 20.
		{[12]float64{10, 10, 10, 10, 60, nan, 20, 20, 20, 20, 20, 20}, time.June},
	} {
		first := Day(2001, 1, 1)
		r := &Record{First: first, Depth: make([]float64, Day(2004, 1, 1)-first)}
		for i := range r.Depth {
			y, m, _ := (first + Date(i)).YMD()
			r.Depth[i] = c.monthly[m-1] / float64(DaysIn(y, m))
		}
		assert.Equal(t, c.want, r.StartMonth(), "%v", c.monthly)
	}
}
