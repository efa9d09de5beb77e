package main

import (
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

// All that a site can have at once, in metric units and in those of the United
// States.
const (
	wholeSI = `name: All of it
rain: {et0: [20 mm, 30 mm, 60 mm, 90 mm, 120 mm, 150 mm, 160 mm, 140 mm, 100 mm, 60 mm, 30 mm, 20 mm], et0_scale: 1.1}
roofs:
  - {name: house, area: 100 m2, surface: metal, surge: 1000 L, pump: 20 L/min}
  - {name: shed, area: 40 m2, surface: metal}
uses:
  - {name: house, people: 3, each: 50 L, needs: 50 kPa}
  - {name: yard, daily: 40 L, keep: 30 %, except: [1 jul..15 jul, 3 may 2010..9 may 2010]}
  - {name: beds, area: 12 m2, plants: low, holds: 50 mm, water: refill, months: apr-sep, keep: 500 L}
pumping: {storm: 3 h, hours: 20 h, days: weekdays, lift: 9 m}
tank: {mains: tank, mains_below: 15 %, mains_to: 20 %, mains_rate: 1 L/min, sizes: [3000 L, 8000 L], dead: 10 cm of 2 m, open: 1 m2, above_outlets: 4 m, installed: oct}
target: {reliability: 0.7, measure: volume, of: house}
`
	wholeUS = `name: All of it
rain: {et0: [0.8 in, 1.2 in, 2.4 in, 3.5 in, 4.7 in, 5.9 in, 6.3 in, 5.5 in, 3.9 in, 2.4 in, 1.2 in, 0.8 in]}
roofs:
  - {name: house, area: 1100 sqft, surface: metal, surge: 250 gal, pump: 5 gpm}
  - {name: shed, area: 430 sqft, surface: metal}
uses:
  - {name: house, people: 3, each: 13 gal, needs: 15 psi}
  - {name: yard, daily: 10 gal, keep: 30 %}
  - {name: beds, area: 130 sqft, plants: low, holds: 2 in, months: apr-sep, keep: 130 gal}
pumping: {lift: 30 ft}
tank: {mains: tank, mains_to: 50 %, sizes: [800 gal, 2000 gal], open: 10 sqft, above_outlets: 13 ft, reserve: 50 gal}
`
)

// The whole site is answered, written, run again to the last digit, replayed with
// a balance that closes, and told in the units that it is given in.
func TestTheWholeSite(t *testing.T) {
	t.Parallel()
	metric := regexp.MustCompile(`\b(mm|mL|L|m|m²|m³|kL|kPa|cm|[Ll]it(re|er)s?|[Mm]et(re|er)s?|[Mm]illimet\w+)([^\pL]|$)`)
	tags := regexp.MustCompile(`(?s)<style.*?</style>|<script.*?</script>|<[^>]*>`)
	for name, text := range map[string]string{"si": wholeSI, "us": wholeUS} {
		dir := t.TempDir()
		file := filepath.Join(dir, "site.yaml")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		record := "../../testdata/new-york.dly.gz"
		out := filepath.Join(dir, "out")
		code, stdout, stderr := typed(t, "size", file, "--rain", record, "--out", out, "--years", "200", "--quiet")
		require.Equal(t, exitDone, code, stderr)
		for _, want := range []string{"What each use gets", "mains straight to the use", "no open water", "The pumps move"} {
			assert.Contains(t, strings.Join(strings.Fields(stdout), " "), want)
		}
		page := strings.Join(strings.Fields(strings.ReplaceAll(tags.ReplaceAllString(content(t, filepath.Join(out, "report.html")), " "), "\u00a0", " ")), " ")
		assert.Contains(t, page, "air gap")
		assert.Contains(t, page, "FAO Irrigation and Drainage Paper 56")
		if name == "us" {
			text := strings.ReplaceAll(page, "unit 0.1 mm;", "")
			if at := metric.FindStringIndex(text); at != nil {
				t.Errorf("…%s…", text[max(0, at[0]-80):min(len(text), at[1]+40)])
			}
		}
		code, stdout, stderr = typed(t, "recheck", filepath.Join(out, "evidence.json"), "--rain", record)
		require.Equal(t, exitDone, code, stdout+stderr)
		replay := object(t, done(t, "replay", file, "--rain", record, "--tank", "3000 L", "--json"))
		of := func(key string) float64 { return replay[key].(float64) }
		assert.InDelta(t, of("start_l")+of("inflow_l")+of("mains_in_l")+of("open_rain_l"), of("supplied_l")+of("spill_l")+of("evaporated_l")+of("end_l"), 1e-6)
	}
}

// What hangs in the air is refused in one line that says what to write.
func TestPartsThatHangInTheAir(t *testing.T) {
	t.Parallel()
	const site = "roofs: [{name: house, area: 100 m2}]\nuses: [{name: all, daily: 100 L}]\n"
	for text, want := range map[string]string{
		site + "pumping: {storm: 4 h}\n":                                                             `pumping: storm is of surge tanks; give a roof one, as in surge: 1000 L and pump: 20 L/min`,
		site + "tank: {mains_to: 50 %}\n":                                                            `mains_to is of mains that are let into the tank; say mains: tank too, or leave it out`,
		site + "tank: {open: 4 m2}\n":                                                                `open water evaporates; give rain: et0: with twelve monthly depths, or et0: temperatures`,
		site + "target: {of: garden}\n":                                                              `the target is of "garden", which is no use; the uses are all`,
		site + "tank: {dead: 2 m of 1.8 m}\n":                                                        `dead: "2 m of 1.8 m" is no depth of the tank's height; write 10 cm of 1.8 m, or 4 in of 6 ft`,
		"roofs: [{area: 1 m2, surge: 9 L}]\nuses: [{daily: 9 L}]\n":                                  `its surge tank has no pump; give the roof one, as in pump: 20 L/min`,
		"roofs: [{area: 1 m2}]\nuses: [{area: 9 m2}]\n":                                              `a bed dries by evaporation; give rain: et0: with twelve monthly depths, or et0: temperatures`,
		"roofs: [{area: 1 m2}]\nuses: [{daily: 9 L, plants: low}]\n":                                 `plants, holds, water and efficiency are of a bed; give the use its area, as in area: 100 m2`,
		site + "rain: {et0: temperatures}\n":                                                         `has temperatures on 0 % of its days; et0: temperatures wants 90 %`,
		site + "tank: {joined: [{area: 1 m2, height: 1 m}, {area: 1 m2, base: 2 m, height: 1 m}]}\n": `the lowest overflow of the joined tanks lies below the highest outlet: nothing can be drawn`,
	} {
		file := filepath.Join(t.TempDir(), "site.yaml")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		if strings.Contains(text, "temperatures}") {
			text = strings.ReplaceAll(text, "et0: temperatures", "et0: temperatures, latitude: 40")
			require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		}
		code, _, stderr := typed(t, "size", file, "--rain", "../../testdata/new-york.dly.gz")
		assert.NotEqual(t, exitDone, code, text)
		assert.Contains(t, stderr, want)
		assert.LessOrEqual(t, strings.Count(stderr, "\n"), 2, stderr)
	}
}

// Missing days are taken from a second gauge, which the answer names and which is
// looked for when it is run again.
func TestASecondGauge(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	var first, second strings.Builder
	first.WriteString("date,rain_mm\n")
	second.WriteString("date,rain_mm\n")
	for day := time.Date(1991, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() < 2011; day = day.AddDate(0, 0, 1) {
		x := float64(day.YearDay()*7919%101) / 10 * float64(day.Day()%4/3)
		if day.Year()%4 == 1 && day.Month() == time.May {
			fmt.Fprintf(&first, "%s,\n", day.Format(time.DateOnly))
		} else {
			fmt.Fprintf(&first, "%s,%.1f\n", day.Format(time.DateOnly), x)
		}
		fmt.Fprintf(&second, "%s,%.1f\n", day.Format(time.DateOnly), x/2)
	}
	files := map[string]string{"first.csv": first.String(), "second.csv": second.String(),
		"site.yaml":  "rain: {file: first.csv, fill_from: second.csv}\nroofs: [{area: 90 m2}]\nuses: [{daily: 100 L}]\ntank: {sizes: [1000 L, 4000 L]}\n",
		"plain.yaml": "rain: {file: first.csv}\nroofs: [{area: 90 m2}]\nuses: [{daily: 100 L}]\ntank: {sizes: [1000 L, 4000 L]}\n"}
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	plain := done(t, quick("size", filepath.Join(dir, "plain.yaml"))...)
	out := filepath.Join(dir, "out")
	text := strings.Join(strings.Fields(done(t, quick("size", filepath.Join(dir, "site.yaml"), "--out", out)...)), " ")
	assert.Contains(t, strings.Join(strings.Fields(plain), " "), "14 usable water years")
	assert.Contains(t, text, "19 usable water years")
	assert.Regexp(t, `155 missing days were taken from the second gauge second, times (2|1\.99\d?|2\.0\d*):`, strings.ReplaceAll(text, "second.csv", "second"))
	evidence := filepath.Join(out, "evidence.json")
	done(t, "recheck", evidence)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "second.csv"), []byte(second.String()+"2011-01-01,3\n"), 0o666))
	code, _, stderr := typed(t, "recheck", evidence)
	assert.NotEqual(t, exitDone, code)
	assert.Contains(t, stderr, "the record of the second gauge, second.csv, was changed")
	require.NoError(t, os.Remove(filepath.Join(dir, "second.csv")))
	_, _, stderr = typed(t, "recheck", evidence)
	assert.Contains(t, stderr, "the record of the second gauge, second.csv, is missing")
	_, _, stderr = typed(t, "size", filepath.Join(dir, "site.yaml"))
	assert.Contains(t, stderr, "second.csv: cannot be read")
	// Beside the evidence it is found as well as where it was.
	require.NoError(t, os.WriteFile(filepath.Join(out, "second.csv"), []byte(second.String()), 0o666))
	done(t, "recheck", evidence)
}
