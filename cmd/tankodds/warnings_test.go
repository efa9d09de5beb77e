package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
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

// Who reads in gallons and inches meets no litre and no millimetre, neither in the
// terminal nor on the page, but for the unit that the record's file is in.
func TestUSAnswersSpeakUS(t *testing.T) {
	t.Parallel()
	bad := badRecord(t, "bad.csv", 24)
	site := []string{"--roof", "30 ft x 40 ft asphalt", "--use", "toilets 40 gpd", "--first-flush", `1/32 in`}
	record := []string{"--rain", "../../testdata/new-york.dly.gz"}
	stress := []string{"--rain-scale", "0.8", "--dry-spell-scale", "1.2"}
	offers := []string{"--price", "500gal=$700", "--price", "1,500 gal = $1,400", "--water-price", "$12 per 1000 gal", "--name", "Elm Street", "--client", "A & B"}
	metric := regexp.MustCompile(`\b(mm|mL|L|m|m²|m³|kL|kg|kPa|cm|[Ll]it(re|er)s?|[Mm]et(re|er)s?|[Mm]illimet\w+|[Tt]onnes?)([^\pL]|$)`)
	own := regexp.MustCompile(`unit (0\.1 )?mm;|read as mm: the values are hundredths of an inch turned into mm|read as mm: in inches`)
	tags := regexp.MustCompile(`(?s)<style.*?</style>|<script.*?</script>|<[^>]*>`)
	check := func(what, text string) {
		text = own.ReplaceAllString(strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " "), "")
		at := metric.FindStringIndex(text)
		if at != nil {
			t.Errorf("%s: …%s…", what, text[max(0, at[0]-80):min(len(text), at[1]+40)])
		}
	}
	for name, args := range map[string][]string{
		"size":     quick(slices.Concat([]string{"size"}, record, site, stress)...),
		"offers":   quick(slices.Concat([]string{"size"}, record, site, offers)...),
		"bad":      quick(slices.Concat([]string{"size", "--rain", bad}, site)...),
		"too much": quick(slices.Concat([]string{"size"}, record, site, []string{"--use", "4000gal/day"})...),
		"short":    {"size", "--rain", "../../testdata/seattle-weather.csv", "--roof", "1500sqft", "--use", "40gpd", "--years", "200"},
		"replay":   slices.Concat([]string{"replay", "--tank", "1,500 gal"}, record, site),
	} {
		dir := t.TempDir()
		_, text, _ := typedOut(t, dir, args...)
		assert.Contains(t, text, " gal", name)
		check(name, text)
		if name != "replay" {
			page := tags.ReplaceAllString(content(t, filepath.Join(dir, "report.html")), " ")
			assert.Contains(t, page, "gal")
			check(name+", page", page)
		}
	}
	for _, args := range [][]string{
		{"record", "--units", "us", bad, "../../testdata/new-york.dly.gz"},
		quick(slices.Concat([]string{"compare", bad, "../../testdata/new-york.dly.gz"}, site)...),
		{"synth", "--units", "us", "--years", "60", bad},
	} {
		check(args[0], done(t, args...))
	}
	for _, use := range []string{"0.001gal/day", "1e9gal/day"} {
		code, _, stderr := typed(t, slices.Concat([]string{"size"}, record, []string{"--roof", "9 sqft", "--use", use})...)
		assert.Equal(t, exitUsage, code)
		assert.Regexp(t, `^tankodds: the uses want [\d.,]+ gal/day; from 0.264 gal/day to [\d,]+ gal/day can be reckoned with\n$`, stderr)
	}
	_, _, stderr := typed(t, slices.Concat([]string{"size"}, record, site, []string{"--tanks", "1e10gal"})...)
	assert.Regexp(t, `^tankodds: a tank of 10,000,000,000 gal is asked about; below [\d,]+ gal can be reckoned with\n$`, stderr)
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
