package sim

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/testdata"
)

// The random-walk tank of testdata/dams.csv through the whole of Size: 2 mm
// with probability p or none on 1 m² that gives all of it, 1 L wanted a day.
// The reliabilities are exact (COMP).
func TestSizeOfTheRandomWalkTank(t *testing.T) {
	t.Parallel()
	series := usualYears(t, 3)
	tried := 0
	for _, row := range testdata.Table(t, "dams.csv") {
		var rule Rule
		if row["source"] != "walk" || rule.UnmarshalText([]byte(row["rule"])) != nil {
			continue
		}
		tried++
		size := testdata.Number(t, row["size"])
		p := testdata.Number(t, strings.Fields(row["inflow"])[2]) // of 2 L
		study := unitQuestion(1)
		study.Sizes = []float64{size / 2, size}
		study.Rule, study.Measure, study.Target, study.Level = rule, Time, 0.7, 0.99
		study.Years = 1400
		r := sized(t, series, coin(2, p), study)
		want := testdata.Number(t, row["yield"]) // of 1 L a day
		cell := r.Cells[1]
		assert.True(t, cell.Time.Low <= want && want <= cell.Time.High, "%.6f of %v is not within %v", want, row, cell.Time)
		assert.Less(t, cell.Time.High-cell.Time.Low, 0.008, "%v", row)
		// Storage is whole litres: a short day gets nothing.
		assert.InDelta(t, cell.Time.Estimate, cell.Volumetric.Estimate, 1e-12, "%v", row)
		assert.InDelta(t, 365*(1-cell.Time.Estimate), cell.ShortDays, 1e-9, "%v", row)
		// What flows in and is not drawn spills.
		assert.InDelta(t, 2*p*365, cell.Inflow, 5, "%v", row)
		assert.InDelta(t, 1-want/(2*p), cell.SpillShare, 0.01, "%v", row)
		// The curve's last size is the same tank.
		assert.Equal(t, cell, r.Curve[len(r.Curve)-1], "%v", row)
	}
	assert.Equal(t, 8, tried)
}

// One trace says nothing about its own error but for the years it holds.
func TestMonteCarloOfOneTrace(t *testing.T) {
	one := totalsOf(tallied(50, 10, 1, tally{supplied: 4, short: 73 * 25, good: 40}))
	assert.Equal(t, Interval{0.4, 0, 1}, one.MonteCarlo(Volume, 0, 0, 0.9))
	assert.Equal(t, Interval{0.9, 0, 1}, one.MonteCarlo(Time, 0, 0, 0.9))
	w := Wilson(40, 50, 0.9)
	assert.Equal(t, w, one.MonteCarlo(Annual, 0, 0, 0.9))
	assert.False(t, math.IsNaN(w.Low))
}
