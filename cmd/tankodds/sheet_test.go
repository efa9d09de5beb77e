package main

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// The page is dated where that is asked for, and only there; recheck knows the date and does not mind it.
func TestSheetDate(t *testing.T) {
	t.Parallel()
	page := func(more ...string) (dir, html string) {
		dir = t.TempDir()
		done(t, quick(append([]string{"size", "--out", dir}, more...)...)...)
		return dir, content(t, filepath.Join(dir, "report.html"))
	}
	none := t.TempDir()
	typedOut(t, none, quick("size")...)
	assert.NotContains(t, content(t, filepath.Join(none, "report.html")), "<dt>Date</dt>")

	dir, dated := page("--date", "3 May\n2031")
	assert.Contains(t, dated, "<dt>Date</dt><dd>3 May 2031</dd>")
	code, stdout, stderr := typed(t, "recheck", filepath.Join(dir, "evidence.json"))
	assert.Equal(t, exitDone, code, "%s%s", stdout, stderr)

	before := time.Now()
	_, today := page("--date", "today")
	if now := time.Now(); now.Day() == before.Day() { // else midnight has passed
		assert.Contains(t, today, "<dd>"+now.Format(time.DateOnly)+"</dd>")
	}
}
