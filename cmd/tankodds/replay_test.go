package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
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
