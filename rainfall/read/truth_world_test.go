package read

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Real files, each with what an independent script found in it (means to the
// millimetre over calendar years with at least WholeYearDays valid days). The
// files are the publishers' and no part of the project: ECA&D and Met Éireann
// by their free-use terms, KNMI open data, DWD (CC BY 4.0), NASA POWER,
// Open-Meteo.
func TestKnownTruthsOfTheWorld(t *testing.T) {
	folder := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(folder); folder == "" || err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	for _, c := range []struct {
		path        string
		format      string
		station     string
		place       string
		first, last string
		mean        float64 // mm a year, 0 where no year is whole
		missing     int     // -1 where the script did not count them
		modelled    bool
	}{
		{"ecad/RR_STAID000162.txt", "ECA&D series (RR_STAID, RR_SOUID)", "162", "NETHERLANDS, DE BILT", "1905-12-31", "2017-04-30", 798, 0, false},
		{"knmi/etmgeg_269.txt", "KNMI daily values (etmgeg)", "269", "", "1991-08-13", "2026-06-25", 824, 5, false},
		{"met-eireann/dly532.csv", "Met Éireann daily (dly)", "", "", "1942-01-01", "2025-09-30", 757, 0, false},
		{"dwd/EXCERPT_produkt_nieder_tag_19450701_20251231_01441.txt", "DWD daily observations (RS, RSK)", "1441", "", "1945-07-01", "2015-06-24", 0, -1, false},
		{"nasa-power/POWER_Point_Daily_20000101_20241231_032d93N_072d86E_LST.csv", "NASA POWER daily point (modelled)", "", "grid cell at 32.9348, 72.8576", "2000-01-01", "2024-12-31", 917, 0, true},
		{"open-meteo/open-meteo-52.55N13.41E38m.csv", "Open-Meteo daily (modelled)", "", "grid cell at 52.54833, 13.407822", "2014-10-28", "2024-10-27", 599, 0, true},
	} {
		t.Run(c.path, func(t *testing.T) {
			r, err := File(filepath.Join(folder, filepath.FromSlash(c.path)), Options{})
			require.NoError(t, err)
			assert.Equal(t, c.format, r.Format)
			assert.Equal(t, c.station, r.Station)
			assert.Equal(t, c.place, r.Place)
			assert.Equal(t, c.first, r.First.String())
			assert.Equal(t, c.last, r.Last().String())
			assert.Equal(t, c.modelled, r.Modelled)
			mean, years := r.MeanAnnual()
			if c.mean > 0 {
				assert.Positive(t, years)
				assert.InDelta(t, c.mean, mean, 0.5)
			}
			if c.missing >= 0 {
				assert.Equal(t, c.missing, r.Missing())
			}
			t.Logf("mean %.2f mm over %d years, %d missing, %d trace, %d doubtful; %v", mean, years, r.Missing(), r.Count(rainfall.Trace), r.Count(rainfall.Doubtful), r.Findings)
		})
	}
}

// The excerpt of a DWD file is 41 rows that are not contiguous; counted by
// eye: one row is −999, 25 have quality level 1, of which the −999 one is
// missing; one 0.0 has a form.
func TestDWDExcerpt(t *testing.T) {
	folder := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(folder); folder == "" || err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	r, err := File(filepath.Join(folder, "dwd", "EXCERPT_produkt_nieder_tag_19450701_20251231_01441.txt"), Options{})
	require.NoError(t, err)
	assert.Equal(t, 40, len(r.Depth)-r.Missing())
	assert.Equal(t, 24, r.Count(rainfall.Doubtful))
	assert.Equal(t, 1, r.Count(rainfall.Trace))
	assert.Equal(t, 62.8, r.Depth[rainfall.Day(1946, 6, 13)-r.First])
}
