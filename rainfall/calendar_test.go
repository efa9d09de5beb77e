package rainfall

import (
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
