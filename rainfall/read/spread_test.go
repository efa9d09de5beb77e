package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// What a multi-day total is: the catch of the gauge since it was last read,
// for reading it empties it ("the rainfall has been accumulating in the rain
// gauge since the last reading", definitions of the Bureau of Meteorology,
// READ). A day of the stated span that has a value of its own was read, so its
// rain is in that value and not in the total: the days without one hold all of
// the total between them, and the days with one keep what they have. So no
// rain is lost and none is counted twice.
func TestTotalOverDaysPartlyValued(t *testing.T) {
	for _, c := range []struct {
		name string
		prcp map[int]float64 // January 2001, mm
		last int
		days int
		mm   float64
		want map[int]float64 // of the days that the total tells of
	}{
		{"none has its own", map[int]float64{1: 1, 8: 2}, 6, 4, 12, map[int]float64{3: 3, 4: 3, 5: 3, 6: 3}},
		{"the first is wet", map[int]float64{1: 1, 3: 5, 8: 2}, 6, 4, 12, map[int]float64{4: 4, 5: 4, 6: 4}},
		{"the first is dry", map[int]float64{1: 1, 3: 0, 8: 2}, 6, 4, 12, map[int]float64{4: 4, 5: 4, 6: 4}},
		{"the first two, and more than the total", map[int]float64{1: 1, 3: 20, 4: 7, 8: 2}, 6, 4, 12, map[int]float64{5: 6, 6: 6}},
		{"all but the last", map[int]float64{1: 1, 3: 0, 4: 5, 5: 0.5, 8: 2}, 6, 4, 12, map[int]float64{6: 12}},
		{"no rain", map[int]float64{1: 1, 3: 5, 8: 2}, 6, 4, 0, map[int]float64{4: 0, 5: 0, 6: 0}},
	} {
		dly := make([]string, 8)
		var csv strings.Builder
		total, span := make([]string, c.last), make([]string, c.last)
		for d := range 8 {
			dly[d] = "-9999"
			if mm, ok := c.prcp[d+1]; ok {
				dly[d] = fmt.Sprintf("%.0f", 10*mm)
				fmt.Fprintf(&csv, "XX000000001,200101%02d,PRCP,%.0f,,,7,\n", d+1, 10*mm)
			}
			if d < c.last {
				total[d], span[d] = "-9999", "-9999"
			}
		}
		total[c.last-1], span[c.last-1] = fmt.Sprintf("%.0f", 10*c.mm), fmt.Sprint(c.days)
		fmt.Fprintf(&csv, "XX000000001,200101%02d,MDPR,%.0f,,,7,\nXX000000001,200101%02d,DAPR,%d,,,7,\n", c.last, 10*c.mm, c.last, c.days)
		for layout, text := range map[string]string{
			"dly": dlyLine("XX000000001", 2001, 1, "PRCP", dly...) + dlyLine("XX000000001", 2001, 1, "MDPR", total...) + dlyLine("XX000000001", 2001, 1, "DAPR", span...),
			"csv": csv.String(),
		} {
			name := c.name + ", " + layout
			r := mustRead(t, text, Options{})
			require.Len(t, r.Depth, 8, name)
			sum, known := 0.0, c.mm
			for i, x := range r.Depth {
				own, valued := c.prcp[i+1]
				want, told := c.want[i+1]
				switch {
				case valued:
					assert.Equal(t, own, x, "%s: day %d keeps its value", name, i+1)
					assert.Zero(t, r.Mark[i]&rainfall.Spread, "%s: day %d", name, i+1)
				case told:
					assert.InDelta(t, want, x, 1e-12, "%s: day %d", name, i+1)
					assert.Equal(t, rainfall.Spread, r.Mark[i]&rainfall.Spread, "%s: day %d", name, i+1)
				default:
					assert.True(t, math.IsNaN(x), "%s: day %d", name, i+1)
				}
				known += own
				if x == x {
					sum += x
				}
			}
			assert.InDelta(t, known, sum, 1e-12, "%s: all rain is there, once", name)
			last, _ := rainfall.MakeDate(2001, 1, c.last)
			assert.Equal(t, []rainfall.Total{{Last: last, Days: c.days, MM: c.mm}}, r.Totals, name)
			assert.Empty(t, r.Findings, name)
		}
	}
}

// A day read within the span ends what the total covers: the days before it
// stay missing. Where the day read has a value of its own too, the rest of the
// total fell before it, and a total below that value is left out.
func TestTotalSinceTheLastReading(t *testing.T) {
	head := "XX000000001,20010101,PRCP,10,,,7,\nXX000000001,20010108,PRCP,20,,,7,\n"
	total := "XX000000001,20010106,MDPR,120,,,7,\nXX000000001,20010106,DAPR,4,,,7,\n"
	r := mustRead(t, head+"XX000000001,20010104,PRCP,50,,,7,\n"+total, Options{})
	assertDepths(t, []float64{1, math.NaN(), math.NaN(), 5, 6, 6, math.NaN(), 2}, r)
	r = mustRead(t, head+"XX000000001,20010106,PRCP,30,,,7,\n"+total, Options{})
	assertDepths(t, []float64{1, math.NaN(), 3, 3, 3, 3, math.NaN(), 2}, r)
	r = mustRead(t, head+"XX000000001,20010106,PRCP,130,,,7,\n"+total, Options{})
	assertDepths(t, []float64{1, math.NaN(), math.NaN(), math.NaN(), math.NaN(), 13, math.NaN(), 2}, r)
	assert.Equal(t, []string{"total-lost"}, codes(r))
}
