package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// badRecord writes a record of so many years that repeats a depth for half of
// each month: hundreds of suspicious places.
func badRecord(t *testing.T, name string, years int) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("date,rain_mm\n")
	day := time.Date(1991, 1, 1, 0, 0, 0, 0, time.UTC)
	for ; day.Year() < 1991+years; day = day.AddDate(0, 0, 1) {
		x := float64(day.Day()*7%23) / 10 * float64(day.Day()%3)
		if d := day.Day() % 9; d < 5 {
			x = 2.5 + float64(day.Month())/10
		}
		fmt.Fprintf(&b, "%s,%.1f\n", day.Format("2006-01-02"), x)
	}
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o666))
	return path
}

// However many warnings a record gives, people read three of a kind and how
// many more there are; in --json all of them stand, each with its gravity.
func TestWarningsArePeoplesSize(t *testing.T) {
	t.Parallel()
	bad := badRecord(t, "bad.csv", 24)
	study := []string{"--roof", "90m2", "--use", "100L/day", "--tanks", "2000L,6000L"}
	more := regexp.MustCompile(`and [\d,]+ more \(in --json\)`)
	for name, args := range map[string][]string{
		"record":  {"record", bad},
		"size":    quick(append([]string{"size", "--rain", bad}, study...)...),
		"compare": quick(append([]string{"compare", bad, bad}, study...)...),
		"replay":  {"replay", "--rain", bad, "--roof", "90m2", "--use", "100L/day", "--tank", "2000L"},
	} {
		for _, system := range []string{"si", "us"} {
			text := done(t, append(append([]string{}, args...), "--units", system)...)
			words := strings.Join(strings.Fields(text), " ")
			assert.Regexp(t, more, words, name)
			assert.Less(t, strings.Count(text, "on each of"), 8, "%s: three a record", name)
			if system == "us" {
				assert.NotRegexp(t, `\d mm on each`, words, name)
				assert.Regexp(t, `0\.1\d in on each of`, words, name)
			}
		}
	}
	var got struct {
		Warnings []struct{ Code, Gravity, Text string }
		Checks   []struct {
			Code  string
			Found []struct {
				From, Text string
				MM         float64
				Values     []struct{ Name, Dimension string }
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(done(t, "record", "--json", "--units", "us", bad)), &got))
	repeated := 0
	for _, w := range got.Warnings {
		assert.Contains(t, []string{"grave", "mind", "note"}, w.Gravity)
		if w.Code == "repeated" {
			repeated++
			assert.Equal(t, "grave", w.Gravity)
			assert.Regexp(t, `^suspicious: \d\.\d mm on each of \d days from \d{4}-`, w.Text, "SI in --json")
		}
	}
	assert.Greater(t, repeated, 400)
	for _, c := range got.Checks {
		if c.Code == "repeated" {
			assert.Len(t, c.Found, repeated)
			assert.Positive(t, c.Found[0].MM)
			assert.Equal(t, "mm", c.Found[0].Values[0].Dimension)
		}
	}
}

// The page says where the rest is, and names no flag; a backtest of many short
// records says so of three.
func TestWarningsOnThePageAndInABacktest(t *testing.T) {
	t.Parallel()
	bad := badRecord(t, "bad.csv", 24)
	dir := filepath.Join(t.TempDir(), "out")
	done(t, quick("size", "--rain", bad, "--roof", "90m2", "--use", "100L/day", "--tanks", "2000L,6000L", "--out", dir)...)
	b, err := os.ReadFile(filepath.Join(dir, "report.html"))
	require.NoError(t, err)
	page := strings.ReplaceAll(string(b), "\u00a0", " ")
	assert.Regexp(t, `And [\d,]+ more \(in evidence\.json\)\.`, page)
	assert.Len(t, regexp.MustCompile(`Suspicious: [^<]* on each of`).FindAllString(page, -1), 3)
	assert.NotContains(t, page, "(in --json)")

	args := []string{"backtest", "--roof", "90m2", "--use", "100L/day", "--years", "100", "--generators", "years"}
	for k := range 5 {
		args = append(args, badRecord(t, fmt.Sprintf("short%d.csv", k), 4))
	}
	text := done(t, args...)
	assert.Equal(t, 4, strings.Count(text, "Mind:  "))
	assert.Contains(t, text, "Mind:  and 2 more (in --json).")
}
