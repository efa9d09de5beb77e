package read

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// dataFile is a station record below the folder TANKODDS_DATA.
func dataFile(t *testing.T, name string) string {
	t.Helper()
	dir := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(dir); err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	return filepath.Join(dir, filepath.FromSlash(name))
}

// COMP: what an independent script found in real files; means to the
// millimetre over calendar years with at least WholeYearDays valid days. The
// files are the publishers' and no part of the project: NOAA NCEI, ECA&D and
// Met Éireann by their free-use terms, KNMI open data, DWD (CC BY 4.0), NASA
// POWER, Open-Meteo.
func TestTruths(t *testing.T) {
	const untold = -1 // by the script
	inch := Options{Unit: "in"}
	for _, c := range []struct {
		file           string
		opt            Options
		format, unit   string
		station, place string
		first, last    string
		mean           float64 // mm a year
		missing        int
		gap            rainfall.Run // the longest; zero where untold
		traces, totals int
		modelled       bool
	}{
		{"ghcn-dly/USW00094728.dly", Options{}, ghcnDaily().name, "0.1 mm", "USW00094728", "", "1869-01-01", "2020-01-03", 1155, 0, rainfall.Run{}, 4643, 0, false},
		{"ghcn-dly/USC00010008.dly", Options{}, ghcnDaily().name, "0.1 mm", "USC00010008", "", "1948-07-01", "2013-01-18", 1404, 1846, rainfall.Run{From: rainfall.Day(1951, 10, 1), Days: 1035}, untold, 15, false},
		{"ncei-access/USW00053908.csv", Options{}, ncei().name, "0.1 mm", "USW00053908", "TULSA RICHARD L JONES JR AIRPORT, OK US", "1998-04-01", "2022-10-01", 1051, 22, rainfall.Run{}, 911, 0, false},
		{"ncei-past-weather/Phoenix_Weather.csv", Options{}, nceiPastWeather().name, "in", "USW00023183", "PHOENIX AIRPORT, AZ US", "1933-07-01", "2025-12-13", 185, 1914, rainfall.Run{From: rainfall.Day(1935, 6, 1), Days: 611}, 0, 0, false},
		{"cdo-export/death_valley_2021_full.csv", inch, ncei().name, "in", "USC00042319", "DEATH VALLEY NATIONAL PARK, CA US", "2021-01-01", "2021-12-31", 55, 0, rainfall.Run{}, 0, 0, false},
		{"cdo-export/sitka_weather_2021_full.csv", inch, ncei().name, "in", "USW00025333", "SITKA AIRPORT, AK US", "2021-01-01", "2021-12-31", 2208, 0, rainfall.Run{}, 0, 0, false},
		{"ecad/RR_STAID000162.txt", Options{}, ecad().name, "0.1 mm", "162", "NETHERLANDS, DE BILT", "1905-12-31", "2017-04-30", 798, 0, rainfall.Run{}, untold, 0, false},
		{"knmi/etmgeg_269.txt", Options{}, knmi().name, "0.1 mm", "269", "", "1991-08-13", "2026-06-25", 824, 5, rainfall.Run{}, untold, 0, false},
		{"met-eireann/dly532.csv", Options{}, metEireann().name, "mm", "", "", "1942-01-01", "2025-09-30", 757, 0, rainfall.Run{}, untold, 0, false},
		{"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv", Options{}, nasaPower().name, "mm", "", "grid cell at 32.9348, 72.8576", "2000-01-01", "2024-12-31", 917, 0, rainfall.Run{}, untold, 0, true},
		{"open-meteo/open-meteo-52.55N13.41E38m.csv", Options{}, openMeteo().name, "in", "", "grid cell at 52.54833, 13.407822", "2014-10-28", "2024-10-27", 599, 0, rainfall.Run{}, untold, 0, true},
	} {
		t.Run(c.file, func(t *testing.T) {
			r, err := File(dataFile(t, c.file), c.opt)
			require.NoError(t, err)
			assert.Equal(t, []string{c.format, c.unit, c.station, c.place}, []string{r.Format, r.Unit, r.Station, r.Place})
			assert.Equal(t, []string{c.first, c.last}, []string{r.First.String(), r.Last().String()})
			assert.Equal(t, c.modelled, r.Modelled)
			mean, years := r.MeanAnnual()
			assert.Positive(t, years)
			assert.InDelta(t, c.mean, mean, 0.5)
			assert.Equal(t, c.missing, r.Missing())
			if c.gap.Days > 0 {
				assert.Equal(t, c.gap, r.LongestGap())
			}
			if c.traces != untold {
				assert.Equal(t, c.traces, r.Count(rainfall.Trace))
			}
			assert.Len(t, r.Totals, c.totals)
		})
	}
}

// The two orders are in inches, and the reader must say so while it asks.
func TestTruthOrderGuess(t *testing.T) {
	for _, f := range []string{"death_valley_2021_full.csv", "sitka_weather_2021_full.csv"} {
		_, err := File(dataFile(t, "cdo-export/"+f), Options{})
		require.Error(t, err)
		assert.Contains(t, err.Error(), "inches are very likely")
		assert.Contains(t, err.(*Error).Hint, "--unit in")
	}
}

// The excerpt of a DWD file is 41 rows that are not contiguous; counted by
// eye: one row is −999, 25 have quality level 1, of which the −999 one is
// missing; one 0.0 has a form.
func TestDWDExcerpt(t *testing.T) {
	r, err := File(dataFile(t, "dwd/EXCERPT_produkt_nieder_tag_19450701_20251231_01441.txt"), Options{})
	require.NoError(t, err)
	assert.Equal(t, []string{dwd().name, "1441", "", "1945-07-01", "2015-06-24"}, []string{r.Format, r.Station, r.Place, r.First.String(), r.Last().String()})
	assert.Equal(t, 40, len(r.Depth)-r.Missing())
	assert.Equal(t, 24, r.Count(rainfall.Doubtful))
	assert.Equal(t, 1, r.Count(rainfall.Trace))
	assert.Equal(t, 62.8, r.Depth[rainfall.Day(1946, 6, 13)-r.First])
}
