package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quickBacktest is the demo record, a few windows, few synthetic years.
var quickBacktest = []string{"backtest", "--demo", "--quiet", "--years", "100", "--step", "20", "--learn", "20,30", "--generators", "years,guided"}

// The sums printed are those of the cases printed, and the table holds the
// cases again.
func TestBacktestJSONAddsUp(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "out")
	stdout := done(t, append(quickBacktest, "--json", "--out", dir)...)
	written, err := os.ReadFile(filepath.Join(dir, "backtest.json"))
	require.NoError(t, err)
	assert.Equal(t, stdout, string(written))

	var got struct {
		Schema string
		Scores []struct {
			Generator string
			Measure   string
			Tanks     string
			Target    *float64
			Cases     int
			Unmet     int
			Inside90  float64 `json:"inside_90"`
			Stated    float64
			Realised  float64
			Bias      float64
			Winkler   float64  `json:"interval_score_90"`
			Brier     float64  `json:"brier_no_short_year"`
			SafeMet   *float64 `json:"safe_met"`
			SafeCases int      `json:"safe_sizes"`
		}
		Cases []struct {
			Generator string
			Measure   string
			Target    *float64
			Claim     struct{ Estimate, Low, High float64 }
			Low90     float64 `json:"low_90"`
			High90    float64 `json:"high_90"`
			None      float64 `json:"no_short_year"`
			Seen      int     `json:"short_years"`
			Failed    float64
			Safe      *float64 `json:"safe_tank_l"`
			SafeMet   bool     `json:"safe_met"`
			PIT       float64
			Inside90  bool `json:"inside_90"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.Equal(t, "tankodds/backtest/1", got.Schema)
	require.Len(t, got.Scores, 2*(5+4+4))
	for _, s := range got.Scores {
		n, in, stated, realised, score, brier, safe, met := 0, 0.0, 0.0, 0.0, 0.0, 0.0, 0, 0.0
		for _, c := range got.Cases {
			switch {
			case c.Generator != s.Generator, c.Measure != s.Measure, (s.Tanks == "given") != (c.Target == nil),
				s.Target != nil && c.Target != nil && *s.Target != *c.Target:
				continue
			}
			n++
			assert.Equal(t, c.PIT >= 0.05 && c.PIT <= 0.95, c.Inside90)
			if c.Inside90 {
				in++
			}
			bad, low, high := c.Failed, c.Low90, c.High90
			if c.Safe != nil {
				safe++
				if c.SafeMet {
					met++
				}
			}
			stated += c.Claim.Estimate
			realised += 1 - bad
			score += high - low + 20*max(0, low-bad) + 20*max(0, bad-high)
			none := 0.0
			if c.Seen == 0 {
				none = 1
			}
			brier += (c.None - none) * (c.None - none)
		}
		require.Equal(t, s.Cases, n)
		if n == 0 {
			continue
		}
		k := float64(n)
		assert.InDelta(t, in/k, s.Inside90, 1e-9)
		assert.InDelta(t, stated/k, s.Stated, 1e-9)
		assert.InDelta(t, realised/k, s.Realised, 1e-9)
		assert.InDelta(t, (stated-realised)/k, s.Bias, 1e-9)
		assert.InDelta(t, score/k, s.Winkler, 1e-9)
		assert.InDelta(t, brier/k, s.Brier, 1e-9)
		require.Equal(t, s.SafeCases, safe)
		if safe > 0 {
			assert.InDelta(t, met/float64(safe), *s.SafeMet, 1e-9)
		}
	}

	file, err := os.Open(filepath.Join(dir, "cases.csv"))
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, len(got.Cases)+1)
}

func TestBacktestText(t *testing.T) {
	t.Parallel()
	stdout := done(t, quickBacktest...)
	for asked, want := range map[string]string{"": `"water_year_starts": "March"`, "oct": `"water_year_starts": "October"`} {
		args := quickBacktest
		if asked != "" {
			args = append(slices.Clone(args), "--water-year", asked)
		}
		assert.Contains(t, done(t, append(slices.Clone(args), "--json")...), want)
	}
	assert.Contains(t, stdout, "Carrow Hill (invented)")
	assert.Contains(t, stdout, "in the intervals that\nclaimed 90 %")
	assert.Contains(t, stdout, "too few to")
	fits(t, stdout)
	code, again, _ := typed(t, append(quickBacktest, "--workers", "3")...)
	assert.Equal(t, exitDone, code)
	assert.Equal(t, stdout, again)
}

// A record too short to be tested on is an answer that says so.
func TestBacktestOfAShortRecord(t *testing.T) {
	code, stdout, stderr := typed(t, "backtest", "../../testdata/seattle-weather.csv")
	assert.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "No window could be judged.")
}

func TestBacktestMisuse(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"", "no rain record is named"},
		{"--demo --learn 1", "--learn: \"1\" is not a whole number of years, 2 or more"},
		{"--demo --learn 0.5", "--learn"},
		{"--demo --targets 0.9,1", "--targets: a target of 1 cannot be shown"},
		{"--demo --demands lots", "--demands"},
		{"--demo --generators nobody", `no generator is named "nobody"`},
		{"--demo --years 10", "--years: 10 is not a whole number from 50"},
		{"--demo --workers=-1", "--workers: -1 is not a whole number from 0 to "},
		{"--demo --judge 5", "--judge-least: 10 years at least are more than the 5 at most of --judge"},
		{"--demo --step 0", "--step: 0 is not a whole number from 1 to "},
	} {
		stderr := refused(t, exitUsage, append([]string{"backtest"}, strings.Fields(c.args)...)...)
		assert.Contains(t, stderr, c.want)
	}
}
