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
// records: 90 % intervals that hold 87 to 95 % of outcomes, 50 % intervals
// that hold 42 to 60 %, a bias of at most 0.02 and an interval score no worse
// than that of plain water years. Nothing in the claim is fitted to them.
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
		records = append(records, Record{file, s.Years})
	}
	r := runBacktest(t, b, []gen.Generator{gen.All()[0], gen.WaterYears()}, records...)
	plain := r.Scores[len(b.Targets)+1].Winkler
	require.Equal(t, "years", r.Scores[len(b.Targets)+1].Generator)
	for _, s := range r.Scores[:len(b.Targets)+1] {
		t.Logf("target %.2f: %d cases, inside %.3f, score %.3f (years %.3f), bias %+.4f", s.Target, s.Cases, s.Inside90, s.Winkler, plain, s.Bias)
		assert.GreaterOrEqual(t, s.Cases, 150)
		assert.GreaterOrEqual(t, s.Inside90, 0.87)
		assert.LessOrEqual(t, s.Inside90, 0.95)
		assert.GreaterOrEqual(t, s.Inside50, 0.42)
		assert.LessOrEqual(t, s.Inside50, 0.60)
		assert.LessOrEqual(t, math.Abs(s.Bias), 0.02)
	}
	assert.LessOrEqual(t, r.Scores[0].Winkler, plain)
}
