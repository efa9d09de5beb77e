package read

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// truth is what an independent script found in a station record.
type truth struct {
	file        string // below the folder TANKODDS_DATA
	opt         Options
	format      string
	unit        string
	first, last string
	mean        float64      // mm a year, whole, over years of 360 valid days or more
	missing     int          // days; −1 where the script did not say
	gap         rainfall.Run // the longest; zero where the script did not say
	traces      int          // days; −1 where the script did not say
	totals      int
}

// checkTruths reads each record; mean is Record.MeanAnnual, missing is
// Record.Missing.
func checkTruths(t *testing.T, truths []truth) {
	dir := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(dir); err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	for _, c := range truths {
		t.Run(filepath.Base(c.file), func(t *testing.T) {
			r, err := File(filepath.Join(dir, c.file), c.opt)
			require.NoError(t, err)
			assert.Equal(t, c.format, r.Format)
			assert.Equal(t, c.unit, r.Unit)
			assert.Equal(t, c.first, r.First.String())
			assert.Equal(t, c.last, r.Last().String())
			mean, _ := r.MeanAnnual()
			assert.InDelta(t, c.mean, mean, 0.5)
			if c.missing >= 0 {
				assert.Equal(t, c.missing, r.Missing())
			}
			if c.gap != (rainfall.Run{}) {
				assert.Equal(t, c.gap, r.LongestGap())
			}
			if c.traces >= 0 {
				assert.Equal(t, c.traces, r.Count(rainfall.Trace))
			}
			assert.Len(t, r.Totals, c.totals)
		})
	}
}

// COMP: the values are those of an independent script over the same files.
func TestTruthsNCEI(t *testing.T) {
	checkTruths(t, []truth{
		{file: "ghcn-dly/USW00094728.dly", format: ghcnDaily().name, unit: "0.1 mm", first: "1869-01-01", last: "2020-01-03",
			mean: 1155, missing: 0, traces: 4643},
		{file: "ghcn-dly/USC00010008.dly", format: ghcnDaily().name, unit: "0.1 mm", first: "1948-07-01", last: "2013-01-18",
			mean: 1404, missing: 1846, gap: rainfall.Run{From: rainfall.Day(1951, 10, 1), Days: 1035}, traces: -1, totals: 15},
		{file: "ncei-access/USW00053908.csv", format: ncei().name, unit: "0.1 mm", first: "1998-04-01", last: "2022-10-01",
			mean: 1051, missing: 22, traces: 911},
		{file: "ncei-past-weather/Phoenix_Weather.csv", format: nceiPastWeather().name, unit: "in", first: "1933-07-01", last: "2025-12-13",
			mean: 185, missing: 1914, gap: rainfall.Run{From: rainfall.Day(1935, 6, 1), Days: 611}},
		{file: "cdo-export/death_valley_2021_full.csv", opt: Options{Unit: "in"}, format: ncei().name, unit: "in", first: "2021-01-01", last: "2021-12-31",
			mean: 55},
		{file: "cdo-export/sitka_weather_2021_full.csv", opt: Options{Unit: "in"}, format: ncei().name, unit: "in", first: "2021-01-01", last: "2021-12-31",
			mean: 2208},
	})
}

// The two orders are in inches, and the reader must say so while it asks.
func TestTruthOrderGuess(t *testing.T) {
	dir := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(dir); err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	for _, f := range []string{"death_valley_2021_full.csv", "sitka_weather_2021_full.csv"} {
		_, err := File(filepath.Join(dir, "cdo-export", f), Options{})
		require.Error(t, err)
		assert.Contains(t, err.Error(), "inches are very likely")
		assert.Contains(t, err.(*Error).Hint, "--unit in")
	}
}
