package backtest

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
)

// What the claims of the default generator must be worth on five long real
// records, for years, days and water: bounds that hold what they say within
// three of their standard errors, a bias of at most 0.03, safe sizes that meet
// the target as often as was to be expected, and an interval score better than
// that of a claim that takes the synthetic years for the truth.
func TestClaimsHoldOnLongRecords(t *testing.T) {
	dir := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(dir); dir == "" || err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	b := NewStudy()
	b.Step, b.Years, b.Tanks = 12, 2000, nil
	var records []Record
	for _, file := range []string{
		"ghcn-dly/USW00094728.dly", "ecad/RR_STAID000162.txt", "met-eireann/dly532.csv",
		"ncei-past-weather/Phoenix_Weather.csv", "ghcn-dly/USC00010008.dly",
	} {
		r, err := read.File(filepath.Join(dir, file), read.Options{})
		require.NoError(t, err)
		start, ok := b.StorageYear(r)
		require.True(t, ok)
		t.Log(file, start)
		s, err := r.Fill(start)
		require.NoError(t, err)
		records = append(records, Record{Name: file, Years: s.Years})
	}
	r := runBacktest(t, b, gen.All()[:1], records...)
	looked := 0
	for _, s := range r.Scores {
		t.Logf("%-6v %4.2f: %d cases (%.0f), inside %.3f %.3f %.3f ± %.3f, width %.3f score %.3f (naive %.3f, %.3f), bias %+.4f ± %.4f, safe met %.3f of %.3f (%d), sized %.3f, worst %.2f %s",
			s.Measure, s.Target, s.Cases, s.Independent, s.Inside50, s.Inside80, s.Inside90, s.Error90, s.Width, s.Winkler, s.Naive, s.NaiveScore, s.Bias, s.BiasErr, s.SafeMet, s.SafeChance, s.SafeCases, s.Sized, s.WorstInside, s.Worst)
		if !math.IsNaN(s.Target) {
			continue
		}
		looked++
		assert.GreaterOrEqual(t, s.Cases, 400)
		assert.False(t, s.Few)
		assert.InDelta(t, 0.9, s.Inside90, 3*s.Error90)
		assert.InDelta(t, 0.5, s.Inside50, 3*math.Sqrt(0.25/s.Independent))
		assert.LessOrEqual(t, math.Abs(s.Bias), 0.03)
		assert.InDelta(t, s.SafeChance, s.SafeMet, 3*s.SafeMetErr)
		assert.Less(t, s.Winkler, s.NaiveScore)
	}
	assert.Equal(t, 3, looked)
}
