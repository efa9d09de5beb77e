package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/site"
)

// A drier climate asks for a larger tank, and the answer says that it is a
// stress.
func TestStressedSize(t *testing.T) {
	t.Parallel()
	plain := object(t, done(t, quick("size", "--json")...))
	stressed := object(t, done(t, quick("size", "--json", "--rain-scale", "apr-oct=0.8", "--dry-spell-scale", "1.1")...))
	tank := func(o map[string]any) float64 { return o["answer"].(map[string]any)["tank_l"].(float64) }
	assert.Greater(t, tank(stressed), tank(plain))
	assert.Contains(t, site.OneLine(done(t, quick("size", "--rain-scale", "0.9")...)), "under stress: rain × 0.9; what if, not a forecast")
	for _, bad := range [][]string{{"--rain-scale", "9"}, {"--dry-spell-scale", "0.5"}, {"--dry-spell-scale", "0"}, {"--rain-scale", "rain"}} {
		code, _, stderr := typed(t, quick(append([]string{"size"}, bad...)...)...)
		assert.Equal(t, exitUsage, code)
		assert.Contains(t, stderr, "hint: ")
	}
}
