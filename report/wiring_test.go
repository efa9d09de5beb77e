package report

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// changed is what is told of a change.
func changed(trend rainfall.YearTrend, step rainfall.YearStep) []words.Warning {
	m := &rainfall.Summary{Start: time.October, Usable: []rainfall.WaterYear{{Label: 1990}, {Label: 2010}}, Trend: &trend, Step: &step}
	return words.Warned(m.Changes(), units.SI, false)
}

// A trend is told with its own direction.
func TestTrendGoesItsWay(t *testing.T) {
	for way, sen := range map[string]float64{"up": 12, "down": -12} {
		told := changed(rainfall.YearTrend{P: 0.01, SenPerDecade: sen}, rainfall.YearStep{P: 1})
		require.Len(t, told, 1)
		assert.Contains(t, told[0].Text, "the yearly rain goes "+way+" by 12 mm a decade")
	}
	assert.Empty(t, changed(rainfall.YearTrend{P: 0.06, SenPerDecade: 12}, rainfall.YearStep{P: 0.06}))
}

// A year with no more short days than are allowed did not run dry.
func TestDriestYearsBeyondTheAllowance(t *testing.T) {
	z := smallSizing(t)
	z.Result.Study.Allow = 5
	z.Result.Real = nil
	for k, days := range []int{5, 6, 9, 0} {
		z.Result.Real = append(z.Result.Real, sim.RealYear{Label: 2001 + k, ShortDays: days, Needs: 1000})
	}
	said := words.Driest(z.Units, z.Result)
	assert.Contains(t, said, "2 of the 4 usable years")
	assert.Regexp(t, `2003\S* \(9 days\), 2002\S* \(6 days\)`, said)
	assert.NotContains(t, said, "(5 days)")
}

// Band and safe size stand in their own columns, also where they differ.
func TestBandAndSafeSizeOfEachArea(t *testing.T) {
	z := smallSizing(t)
	for k := range z.Result.Answers {
		a := &z.Result.Answers[k]
		a.Low, a.Lead, a.High, a.Safe = 1000, 2000, 3000, 4000
	}
	for _, r := range tableOf(z.Sheet(), "areas").Rows {
		assert.Equal(t, []string{"2,000", "1,000–3,000", "4,000"}, r.Cells[1:4])
	}
}

// A step is told from what was to what came.
func TestStepGoesItsWay(t *testing.T) {
	told := changed(rainfall.YearTrend{P: 1}, rainfall.YearStep{P: 0.01, Label: 2005, Before: 700, After: 900})
	require.Len(t, told, 1)
	assert.Contains(t, told[0].Text, "steps from 700 mm before 2005/06 to 900 mm from then on")
}

// Of runs as long as each other the first is named.
func TestFirstOfTheLongestRuns(t *testing.T) {
	z := smallSizing(t)
	first, _ := rainfall.MakeDate(2001, 5, 6)
	r := &sim.ReplayResult{WholeYears: 1, Annual: 1, Runs: []sim.DryRun{{From: first, Days: 2}, {From: first + 20, Days: 5}, {From: first + 40, Days: 5}}}
	p := &Replayed{Record: z.Record, Result: r, Units: units.SI}
	said := p.balance()
	assert.Contains(t, said[len(said)-1].Value, "the longest run began on 2001-05-26 and lasted 5 days")
	runs := tableOf(p.Sheet(), "runs").Rows
	require.Len(t, runs, 3)
	assert.Equal(t, []string{"2001-05-26", "2001-05-30", "5"}, runs[1].Cells[:3])
}

// The mark of the safe size stands at the first whose lower bound meets the
// target.
func TestMarkOfTheSafeSize(t *testing.T) {
	all, err := sheetSizings()
	require.NoError(t, err)
	z := all["costs"]
	cells := z.ownCells()
	first := slices.IndexFunc(cells, func(c sim.Cell) bool { return c.Annual.Low >= z.Result.Study.Target })
	require.Greater(t, first, 0)
	require.Less(t, cells[first-1].Annual.Low, z.Result.Study.Target)
	rows, seen := tableOf(z.Sheet(), "sizes").Rows, 0
	safe := z.Units.VolumeColumn(z.Result.Study.Sizes...).Cell(cells[first].Tank)
	for _, r := range rows {
		assert.Equal(t, r.Cells[0] == safe, strings.Contains(r.Mark, "lower bound"), "%v %s", r.Cells, r.Mark)
		if r.Cells[0] == safe {
			seen++
		}
	}
	assert.Equal(t, 1, seen)
}
