package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

// --since YEAR begins on 1 January of that year, in every command that takes
// it and from the site file as well; the first water year counted is the first
// that begins after that.
func TestSinceBeginsOnNewYear(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	done(t, "new", dir)
	site := filepath.Join(dir, "site.yaml")
	edit(t, site, "\n  file:", "\n  since: 2001\n  file:")
	rain := filepath.Join(dir, "carrow-hill.csv")
	record := func(args ...string) map[string]any {
		return object(t, done(t, args...))["record"].(map[string]any)
	}
	for name, got := range map[string]map[string]any{
		"size":          record(quick("size", "--json", "--since", "2001")...),
		"size, site":    record(quick("size", "--json", site)...),
		"replay":        record("replay", "--json", "--tank", "5000L", "--since", "2001"),
		"replay, site":  record("replay", "--json", "--tank", "5000L", site),
		"record":        object(t, done(t, "record", "--json", "--demo", "--since", "2001")),
		"synth":         record("synth", "--json", "--demo", "--years", "5", "--quiet", "--since", "2001"),
		"compare":       object(t, done(t, quick("compare", "--json", "--since", "2001", "--roof", "140m2", "--use", "200L/day", rain)...))["stations"].([]any)[0].(map[string]any),
		"compare, site": object(t, done(t, quick("compare", "--json", site, rain)...))["stations"].([]any)[0].(map[string]any),
	} {
		assert.Equal(t, "2001-01-01", got["first"], name)
		assert.Equal(t, "2024-12-31", got["last"], name)
	}
	real := object(t, done(t, quick("size", "--json", "--since", "2001", "--water-year", "oct")...))["real_years"].([]any)
	assert.Equal(t, 2001.0, real[0].(map[string]any)["year"])
	real = object(t, done(t, quick("size", "--json", "--since", "2001", "--water-year", "jan")...))["real_years"].([]any)
	assert.Equal(t, 2001.0, real[0].(map[string]any)["year"])
}
