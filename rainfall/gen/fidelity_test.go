package gen

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

func find(rows []statistic, name, season string) float64 {
	for _, r := range rows {
		if r.name == name && r.season == season {
			return r.value
		}
	}
	return math.NaN()
}

// Two years whose statistics can be counted by hand: from 1 October it rains
// 4 mm on the first two days of every ten, and 10 mm in the last two days of
// the first year.
func TestStatisticsByHand(t *testing.T) {
	y := made(2, func(i, d int) float64 {
		switch {
		case i == 0 && d >= 363:
			return 10
		case d%10 < 2:
			return 4
		}
		return 0.9 // below a wet day
	})
	s := statistics(y)
	// October to December has 92 days: 20 wet of them (0, 1, 10, 11 … 90, 91).
	assert.InDelta(t, 20.0/92, find(s, "wet-day frequency", "Oct-Dec"), 1e-12)
	assert.InDelta(t, 4, find(s, "mean wet-day depth", "Oct-Dec"), 1e-12)
	assert.Zero(t, find(s, "SD of wet-day depth", "Oct-Dec"))
	assert.Zero(t, find(s, "skew of wet-day depth", "Oct-Dec"))
	// After a dry day: days 2..91 follow a day of their year: 10 … 90 wet
	// (9 in each year); 8 of each ten follow dry. The second year's day 0
	// follows a wet one.
	assert.InDelta(t, 18.0/144, find(s, "p01, wet after dry", "Oct-Dec"), 1e-12)
	assert.InDelta(t, 21.0/39, find(s, "p11, wet after wet", "Oct-Dec"), 1e-12)
	// Spells: the first year's last, days 360 to 364, are wet, wet, dry, wet,
	// wet; then the second year's first two days: a spell of four begun in
	// July to September.
	assert.Equal(t, 2.0, find(s, "mean wet spell", "Oct-Dec"))
	assert.Equal(t, 8.0, find(s, "mean dry spell", "Jan-Mar"))
	assert.Equal(t, 8.0, find(s, "90 % dry spell", "Jan-Mar"))
	assert.Equal(t, 8.0, find(s, "longest dry spell", "year"))
	assert.Equal(t, 10.0, find(s, "wettest day", "year"))
	// October: 31 days, 8 wet (0, 1, 10, 11, 20, 21, 30 and, no, 31 is
	// November's): 7 wet.
	assert.InDelta(t, 7*4+24*0.9, find(s, "mean monthly total", "October"), 1e-9)
	first := y.Total(0)
	second := y.Total(1)
	assert.InDelta(t, (first+second)/2, find(s, "mean annual total", "year"), 1e-9)
	assert.InDelta(t, math.Abs(first-second)/math.Sqrt2, find(s, "SD of annual totals", "year"), 1e-9)
	// Two values: each is as far from their mean, on opposite sides.
	assert.InDelta(t, -1, find(s, "lag-1 of annual totals", "year"), 1e-9)
	assert.InDelta(t, first+second, find(s, "driest 24 months", "year"), 1e-9)

	y.Label[1] += 4 // a gap: nothing reaches over it
	s = statistics(y)
	assert.Zero(t, find(s, "lag-1 of annual totals", "year"))
	assert.True(t, math.IsNaN(find(s, "driest 24 months", "year")), "no 24 months in a row")
	assert.InDelta(t, math.Min(first, second), find(s, "driest 12 months", "year"), 1e-9)
}

// scaled spoils a sampler: the wrong generator must fail.
type scaled struct {
	of Sampler
	by float64
}

func (s scaled) Sample(dst []float64, rng *rand.Rand) {
	s.of.Sample(dst, rng)
	for i := range dst {
		dst[i] *= s.by
	}
}

func failures(rows []Row) (failed []string) {
	for _, r := range rows {
		if !r.Pass {
			failed = append(failed, r.Statistic+", "+r.Season)
		}
	}
	return failed
}

func TestFidelity(t *testing.T) {
	y := invented(40)
	s, err := WaterYears().Fit(y)
	require.NoError(t, err)
	rows := Fidelity(y, s, 1, 0)
	assert.Len(t, rows, 4*10+12*2+3+4+2)
	assert.LessOrEqual(t, len(failures(rows)), 3, "years drawn from a record of independent years: %v", failures(rows))
	assert.Equal(t, rows, Fidelity(y, s, 1, 0), "same seed, same rows")
	for _, r := range rows {
		assert.LessOrEqual(t, r.Low, r.High, r.Statistic)
		assert.NotEmpty(t, r.Source)
		assert.Contains(t, r.Rule, "200 synthetic records of 40 years")
	}
	assert.Contains(t, Fidelity(y, s, 1, 10000)[0].Rule, "250 synthetic records")

	failed := failures(Fidelity(y, scaled{s, 1.3}, 1, 0))
	assert.Contains(t, failed, "mean annual total, year")
	assert.Contains(t, failed, "mean monthly total, January")
	assert.Greater(t, len(failed), 20)
}

// Years shuffled day by day keep the depths and lose the spells.
type shuffled struct{ of Sampler }

func (s shuffled) Sample(dst []float64, rng *rand.Rand) {
	s.of.Sample(dst, rng)
	for a := 0; a < len(dst); a += 10 {
		b := min(len(dst), a+10)
		rng.Shuffle(b-a, func(i, j int) { dst[a+i], dst[a+j] = dst[a+j], dst[a+i] })
	}
}

func TestFidelitySeesLostPersistence(t *testing.T) {
	y := invented(60)
	s, err := WaterYears().Fit(y)
	require.NoError(t, err)
	failed := failures(Fidelity(y, shuffled{s}, 1, 0))
	for _, q := range []string{"Oct-Dec", "Jan-Mar", "Apr-Jun", "Jul-Sep"} {
		assert.Contains(t, failed, "p11, wet after wet, "+q)
		assert.Contains(t, failed, "mean wet spell, "+q)
		assert.NotContains(t, failed, "mean wet-day depth, "+q)
	}
}

func TestFidelityOfAwkwardRecords(t *testing.T) {
	for name, y := range awkward() {
		for _, g := range []Generator{Guided(), Chain()} {
			s, err := g.Fit(y)
			require.NoError(t, err)
			rows := Fidelity(y, s, 1, 0)
			_, err = json.Marshal(rows) // fails on NaN and infinities
			assert.NoError(t, err, "%s, %s", name, g.Name)
		}
	}
	assert.Empty(t, Fidelity(&rainfall.Years{Start: 1}, nil, 1, 0))
}

// On real records the default passes more rows than plain blocks and no
// fewer than whole years.
func TestFidelityOfStations(t *testing.T) {
	dir := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(dir); err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run this")
	}
	failed := map[string]int{}
	for _, file := range []string{"ghcn-dly/USW00094728.dly", "ghcn-dly/USC00010008.dly", "ecad/RR_STAID000162.txt", "met-eireann/dly532.csv", "ncei-past-weather/Phoenix_Weather.csv"} {
		r, err := read.File(filepath.Join(dir, file), read.Options{})
		require.NoError(t, err)
		series, err := r.Fill(r.StartMonth())
		require.NoError(t, err)
		for _, g := range All() {
			s, err := g.Fit(series.Years)
			require.NoError(t, err)
			f := failures(Fidelity(series.Years, s, 1, 0))
			failed[g.Name] += len(f)
			t.Logf("%s, %s: %d fail %v", file, g.Name, len(f), f)
		}
	}
	assert.LessOrEqual(t, failed["guided"], failed["years"])
	assert.Less(t, failed["guided"], failed["blocks"])
}
