package main

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// The page is dated where that is asked for, and the same bytes where not;
// recheck knows the date and does not mind it.
func TestSheetDate(t *testing.T) {
	t.Parallel()
	page := func(more ...string) (dir, html string) {
		dir = t.TempDir()
		done(t, quick(append([]string{"size", "--out", dir}, more...)...)...)
		return dir, content(t, filepath.Join(dir, "report.html"))
	}
	once := t.TempDir()
	typedOut(t, once, quick("size")...)
	none := content(t, filepath.Join(once, "report.html"))
	_, again := page()
	assert.Equal(t, none, again)
	assert.NotContains(t, none, "<dt>Date</dt>")

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
