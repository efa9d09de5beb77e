package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A replay runs the tank by the rule asked for, and counts a year as good by
// the allowance of the site.
func TestReplayRunsTheTankAsked(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	done(t, "new", dir)
	site := filepath.Join(dir, "site.yaml")
	got := func(args ...string) map[string]any {
		return object(t, done(t, append([]string{"replay", site, "--tank", "12000L", "--json"}, args...)...))
	}
	yas, ybs := got("--rule", "yas"), got("--rule", "ybs")
	assert.Equal(t, "yas", yas["rule"])
	assert.Equal(t, "ybs", ybs["rule"])
	assert.Greater(t, ybs["supplied_l"], yas["supplied_l"])

	strict := yas["annual"].(float64)
	edit(t, site, "target:\n", "target:\n  allow: 20\n")
	lenient := got()
	good := 0.0
	for _, y := range lenient["years"].([]any) {
		if y := y.(map[string]any); y["whole"] == true && y["short_days"].(float64) <= 20 {
			good++
		}
	}
	assert.Greater(t, lenient["annual"], strict)
	assert.InDelta(t, good/lenient["whole_years"].(float64), lenient["annual"], 1e-12)
}

// What size says of the real years at a tank is what replay says of that tank:
// the same years, begun alike, and the same short days and water in each.
func TestReplayAgreesWithSize(t *testing.T) {
	t.Parallel()
	type year struct {
		Start     string  `json:"start"`
		Whole     bool    `json:"whole"`
		ShortDays int     `json:"short_days"`
		Supplied  float64 `json:"supplied_l"`
		Spilled   float64 `json:"spill_l"`
		Needs     float64 `json:"needs_l"`
	}
	dry, short := map[string]int{}, map[string]int{}
	for _, args := range [][]string{
		nil, {"--water-year", "jan"}, {"--water-year", "jan", "--start", "0L"}, {"--start", "9000L"}, {"--rule", "ybs"}, {"--since", "1990"}, {"--dead", "5%"},
	} {
		var sized struct {
			Answer struct {
				Tank float64 `json:"lead_l"`
			} `json:"answer"`
			Real []year `json:"real_years"`
		}
		var replayed struct {
			Whole int    `json:"whole_years"`
			Years []year `json:"years"`
		}
		out := done(t, append([]string{"size", "--years", "50", "--record-error", "off", "--target", "0.15", "--json"}, args...)...)
		require.NoError(t, json.Unmarshal([]byte(out), &sized))
		tank := []string{"replay", "--tank", fmt.Sprint(sized.Answer.Tank, "L")}
		require.NoError(t, json.Unmarshal([]byte(done(t, append(append(tank, "--json"), args...)...)), &replayed))
		years := slices.DeleteFunc(replayed.Years, func(y year) bool { return !y.Whole })
		require.Equal(t, sized.Real, years, "%v", args)
		require.Len(t, years, replayed.Whole)
		for _, y := range years {
			short[strings.Join(args, " ")] += y.ShortDays
			if y.ShortDays > 0 {
				dry[strings.Join(args, " ")]++
			}
		}
		assert.Contains(t, done(t, append(tank, args...)...), fmt.Sprintf("%d of %d whole water years had no short day", len(years)-dry[strings.Join(args, " ")], len(years)))
	}
	assert.Greater(t, short["--water-year jan --start 0L"], short["--water-year jan"], "an empty tank falls short at first")
	assert.Greater(t, dry[""], 0)
}
