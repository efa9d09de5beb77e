package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/site"
	"tankodds/report/units"
)

// A line of progress that is shorter than the one before it leaves nothing of it.
func TestShorterProgress(t *testing.T) {
	var b bytes.Buffer
	p := &progress{w: &b, what: "rows", last: -1}
	p.show(100, 100)
	p.show(7, 100)
	p.clear()
	lines := strings.Split(b.String(), "\r")
	assert.Equal(t, []string{"", "rows 100 %", "rows 7 %  ", "        ", ""}, lines)
}

// A block of text with an indented line, wherever in it, is set as it stands; a line
// alone that ends in no stop is a heading; other lines are filled.
func TestManualBlocks(t *testing.T) {
	set := func(text string) string {
		var b bytes.Buffer
		(&manual{w: &b}).text(text)
		return b.String()
	}
	for _, kept := range []string{"  one\ntwo", "one\n  two", "one\n  two\nthree"} {
		assert.Contains(t, set(kept), ".nf\n", kept)
	}
	assert.Equal(t, ".PP\none two.\n", set("one\ntwo."))
	assert.Equal(t, ".SS \"One two\"\n", set("One two"))
	assert.Equal(t, ".PP\nOne two.\n", set("One two."))
	assert.Equal(t, ".SS \"One\"\n.PP\nTwo.\n", set("One\n\nTwo."))
}

// A record is looked for beside the evidence, where it was, in its folder as seen from
// there, and a folder above; each as it was named and then packed or unpacked.
func TestRecordPlaces(t *testing.T) {
	join := filepath.Join
	evidence := join("study", "out", "evidence.json")
	assert.Equal(t, []string{
		join("study", "out", "r.csv"), join("rain", "r.csv"), join("study", "out", "rain", "r.csv"), join("study", "r.csv"),
		join("study", "out", "r.csv.gz"), join("rain", "r.csv.gz"), join("study", "out", "rain", "r.csv.gz"), join("study", "r.csv.gz"),
	}, recordPlaces(evidence, join("rain", "r.csv")))
	assert.Equal(t, []string{join("study", "out", "r.dly.gz"), "r.dly.gz", join("study", "r.dly.gz"), join("study", "out", "r.dly"), "r.dly", join("study", "r.dly")},
		recordPlaces(evidence, "r.dly.gz"), "each once")
}

// The page has no folders: two records of one name are refused unless they are one.
func TestPageOfTwoRecordsOfOneName(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	put := func(name, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	put("a/gauge.csv", "date,rain_mm\n2001-01-01,1.0\n")
	put("b/gauge.csv", "date,rain_mm\n2001-01-01,2.0\n")
	put("c/gauge.csv", "date,rain_mm\n2001-01-01,1.0\n")
	start := func(second string) (map[string][]byte, error) {
		put("site.yaml", "rain: {file: a/gauge.csv, fill_from: "+second+"}\nroofs: [{area: 90 m2}]\nuses: [{daily: 100 L}]\n")
		out, err := (&call{plan: site.NewPlan(site.Page), args: []string{filepath.Join(dir, "site.yaml")}}).pageStart()
		if err != nil {
			return nil, err
		}
		return out.Files, nil
	}
	_, err := start("b/gauge.csv")
	assert.ErrorContains(t, err, "two records are called gauge.csv")
	files, err := start("c/gauge.csv")
	require.NoError(t, err)
	assert.Len(t, files, 1)
}

// A record is told of in the units asked for, else in the file's own.
func TestUnitsOfARecord(t *testing.T) {
	for _, c := range []struct {
		asked units.System
		file  string
		want  units.System
	}{{units.Unstated, "in", units.US}, {units.Unstated, "mm", units.SI}, {units.Unstated, "0.1 mm", units.SI}, {units.SI, "in", units.SI}, {units.US, "mm", units.US}} {
		assert.Equal(t, c.want, printed(c.asked, c.file))
	}
}

// Evidence whose record has since lost all but a few days says what is wrong with it.
func TestRecheckOfARecordCutShort(t *testing.T) {
	evidenceOf(t)
	require.NoError(t, os.WriteFile(demoRainName, []byte("date,rain_mm\n2001-01-01,1.0\n2001-01-02,2.0\n2001-01-03,0.0\n"), 0o666))
	code, _, stderr := typed(t, "recheck", "out/evidence.json")
	assert.Equal(t, exitDisagrees, code)
	assert.Contains(t, stderr, "the record was changed, and as it is now: carrow-hill.csv: no usable water year: a year counts if no month of it misses 11 days")
}
