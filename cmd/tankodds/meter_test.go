package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testdata/meter-draw.csv is what a meter at the demo's 5,000 L tank shows in m³
// with 0.72 for its runoff coefficient, 0.85 of what is stated, out by some 4
// L/day from reading to reading.
const meterDraw = "testdata/meter-draw.csv"

func TestReplayMeter(t *testing.T) {
	t.Parallel()
	out := done(t, "replay", "--tank", "5000L", "--since", "2019", "--meter", meterDraw, "--of", "draw")
	fits(t, out)
	golden(t, "replay-meter.txt", out)

	us := done(t, "replay", "--tank", "5000L", "--since", "2019", "--meter", meterDraw, "--of", "draw", "--units", "us")
	fits(t, us)
	assert.NotRegexp(t, `\d (L|m³|mm|m²|L/day)\b`, us)
	assert.Contains(t, us, "gal/day are stated there")

	dir := t.TempDir()
	got := object(t, done(t, "replay", "--tank", "5000L", "--meter", meterDraw, "--of", "draw", "--json", "--out", dir))
	m := got["meter"].(map[string]any)
	assert.Equal(t, "draw", m["of"])
	assert.Equal(t, false, m["amounts"])
	assert.Equal(t, true, m["tells"])
	assert.Equal(t, meterDraw, m["file"])
	factor := m["factor"].(map[string]any)
	assert.LessOrEqual(t, factor["low"], 0.85)
	assert.GreaterOrEqual(t, factor["high"], 0.85)
	runoff := m["runoff"].(map[string]any)
	assert.LessOrEqual(t, runoff["low"], 0.72)
	assert.GreaterOrEqual(t, runoff["high"], 0.72)
	assert.InDelta(t, 0.85*factor["estimate"].(float64), runoff["estimate"], 0.01, "but for the first flush")
	assert.Equal(t, []string{"SHA256SUMS", "daily.csv", "meter.csv"}, files(t, dir))

	// The intervals are the days' sums, and the file's differences.
	days := table(t, filepath.Join(dir, "daily.csv"))
	rows := table(t, filepath.Join(dir, "meter.csv"))
	require.Len(t, rows, 19)
	number := func(s string) (x float64) {
		_, err := fmt.Sscan(s, &x)
		require.NoError(t, err)
		return x
	}
	readings := table(t, meterDraw)
	for i, r := range rows {
		sum := 0.0
		for _, d := range days {
			if d["date"] >= r["from"] && d["date"] <= r["to"] {
				sum += number(d["supplied_l"])
			}
		}
		assert.InDelta(t, sum, number(r["modelled_l"]), 1e-6)
		assert.InDelta(t, 1000*(number(readings[i+1]["reading_m3"])-number(readings[i]["reading_m3"])), number(r["metered_l"]), 1e-6)
	}
	_, there := object(t, done(t, "replay", "--tank", "5000L", "--json"))["meter"]
	assert.False(t, there, "none without readings")
}

// meterOf writes readings of the demo's tank of 5,000 L, of which daily.csv is in
// a folder, every so many days.
func meterOf(t *testing.T, dir, head string, step, n int, value func(sum map[string]float64, last map[string]float64) string) string {
	t.Helper()
	rows := table(t, filepath.Join(dir, "daily.csv"))
	var b strings.Builder
	b.WriteString(head + "\n")
	sum := map[string]float64{}
	for i, r := range rows {
		last := map[string]float64{}
		for name, cell := range r {
			if name == "date" {
				continue
			}
			var x float64
			_, err := fmt.Sscan(cell, &x)
			require.NoError(t, err)
			last[name] = x
			sum[name] += x
		}
		if i%step == 0 && i/step <= n {
			fmt.Fprintf(&b, "%s,%s\n", r["date"], value(sum, last))
			if strings.Contains(head, "used") {
				clear(sum)
			}
		}
	}
	path := filepath.Join(t.TempDir(), "meter.csv")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o666))
	return path
}

// The same water is told by each kind of meter, in each of its forms and units:
// the factor is that of the roof that made it.
func TestReplayMetersOfEveryKind(t *testing.T) {
	t.Parallel()
	dir, site := t.TempDir(), t.TempDir()
	done(t, "new", site)
	edit(t, filepath.Join(site, "site.yaml"), "area: 180 m2", "area: 144 m2") // 0.8 of what is stated
	done(t, "replay", filepath.Join(site, "site.yaml"), "--tank", "5000L", "--start", "1000L", "--since", "2010", "--out", dir)
	lacked := func(s map[string]float64) float64 { return s["demand_l"] - s["supplied_l"] }
	whole := func(l map[string]float64) float64 { return l["storage_l"] + 150 } // 3 % are dead
	const gal = 3.785411784
	for head, c := range map[string]struct {
		of    string
		value func(sum, last map[string]float64) string
	}{
		"date,reading_L":          {"draw", func(s, _ map[string]float64) string { return fmt.Sprintf("%.5f", s["supplied_l"]) }},
		"date,used (L)":           {"draw", func(s, _ map[string]float64) string { return fmt.Sprintf("%.5f", s["supplied_l"]) }},
		"date,draw [kL]":          {"draw", func(s, _ map[string]float64) string { return fmt.Sprintf("%.5f", s["supplied_l"]/1000) }},
		"date,meter gal":          {"mains", func(s, _ map[string]float64) string { return fmt.Sprintf("%.5f", lacked(s)/gal) }},
		"date,mains used m3":      {"mains", func(s, _ map[string]float64) string { return fmt.Sprintf("%.5f", lacked(s)/1000) }},
		"date,level_%":            {"level", func(_, l map[string]float64) string { return fmt.Sprint(whole(l) / 50) }},
		"date,held (gal)":         {"level", func(_, l map[string]float64) string { return fmt.Sprint(whole(l) / gal) }},
		"# unit: L\ndate,level":   {"level", func(_, l map[string]float64) string { return fmt.Sprint(whole(l)) }},
		"date,x,level_L,y (note)": {"level", func(_, l map[string]float64) string { return fmt.Sprintf("3,%g,z", whole(l)) }},
	} {
		path := meterOf(t, dir, head, 10, 150, c.value)
		args := []string{"replay", "--tank", "5000L", "--start", "1000L", "--since", "2010", "--meter", path, "--of", c.of, "--json"}
		m := object(t, done(t, args...))["meter"].(map[string]any)
		assert.InDelta(t, 0.8, m["factor"].(map[string]any)["estimate"], 2e-3, head)
		assert.InDelta(t, 150, float64(len(m["intervals"].([]any))), 0, head)
		assert.Equal(t, strings.Contains(head, "used"), m["amounts"], head)
		fits(t, done(t, args[:len(args)-1]...))
	}
}

// Readings of the site as it is stated do not speak against it.
func TestReplayMeterThatAgrees(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	done(t, "replay", "--tank", "5000L", "--start", "1000L", "--since", "2010", "--out", dir)
	path := meterOf(t, dir, "date,used_L", 30, 60, func(s, _ map[string]float64) string {
		return fmt.Sprintf("%.1f", s["supplied_l"]+100*math.Sin(s["rain_mm"]))
	})
	out := strings.Join(strings.Fields(done(t, "replay", "--tank", "5000L", "--start", "1000L", "--since", "2010", "--meter", path, "--of", "draw")), " ")
	assert.Contains(t, out, "1 lies within: the meter does not speak against what is stated.")
	assert.NotContains(t, out, "To size with it")
	assert.Contains(t, out, "Added up by the calendar year in which they end; all 60 intervals are in --json")
	assert.NotContains(t, out, "Set the uses right")
}

// Bad readings get one line that names the file, the line and what to do.
func TestReplayMeterRefuses(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	path := func(text string) string {
		p := filepath.Join(dir, "m.csv")
		require.NoError(t, os.WriteFile(p, []byte(text), 0o666))
		return p
	}
	months := func(head string, values ...any) string {
		out := head + "\n"
		for i, v := range values {
			out += fmt.Sprintf("2020-%02d-01,%v\n", i+1, v)
		}
		return out
	}
	for name, c := range map[string]struct{ of, text, want, hint string }{
		"not a date":       {"draw", "date,reading_L\n2020-01-01,1\nsoon,2\n", `m.csv:3: "soon" is not a date`, "write it as 2021-12-31"},
		"backwards":        {"draw", months("date,reading_m3", 10, 12, 11.5, 13, 14, 15, 16, 17), "m.csv:4: 11.5 is less than 12 on line 3: a counter does not run back", "call the column used"},
		"before":           {"draw", "date,reading_L\n1901-01-01,1\n2020-02-01,2\n", "m.csv:2: the reading of 1901-01-01 is from before the record of rain, which begins on 1965-01-01", "goes back so far"},
		"after":            {"mains", "date,reading_L\n2020-01-01,1\n2035-02-01,2\n", "m.csv:3: the reading of 2035-02-01 is from after the record of rain, which ends on 2024-12-31", "reaches so far"},
		"too few":          {"draw", months("date,reading_L", 1, 2, 3, 4, 5, 6), "m.csv: 5 intervals between readings, with every day in the record of rain; 6 are the fewest", "more readings"},
		"no unit":          {"draw", months("date,reading", 1, 2, 3, 4, 5, 6, 7), `m.csv:1: the column "reading" names no unit`, "reading_L, reading_m3 or reading_gal"},
		"no volume":        {"draw", months("date,reading_mm", 1, 2, 3, 4, 5, 6, 7), `m.csv:1: "reading_mm" is in mm, which is no volume`, "reading_L"},
		"a depth":          {"level", months("date,level_cm", 1, 2, 3, 4, 5, 6, 7), `m.csv:1: "level_cm" is in cm, which is no volume and no share of the tank`, "level_%"},
		"a share":          {"draw", months("date,reading_%", 1, 2, 3, 4, 5, 6, 7), `m.csv:1: "reading_%" is in %, which is no volume`, "reading_L"},
		"ML":               {"draw", months("date,reading_ML", 1, 2, 3, 4, 5, 6, 7), `m.csv:1: "reading_ML" could be in millilitres or in megalitres`, "in L or m3"},
		"below 0":          {"level", months("date,level_L", 1, 2, -3, 4, 5, 6, 7), "m.csv:4: a reading of -3 is below 0", "blank"},
		"too large":        {"draw", months("date,reading_m3", 1, 2, "1e10", 4, 5, 6, 7), "m.csv:4: a reading of 10000000000 is too large to be meant", "unit"},
		"over the tank":    {"level", months("date,level_L", 100, 5400, 5600, 4, 5, 6, 7), "m.csv:4: 5,600 L are held there, and the tank is of 5,000 L", "--tank"},
		"over 100 %":       {"level", months("date,level (%)", 100, 100, 115, 4, 5, 6, 7), "m.csv:4: 5,750 L are held there", "--tank"},
		"twice a day":      {"draw", "date,reading_L\n2020-01-01,1\n2020-02-01,2\n2020-02-01,3\n", "m.csv:4: a second reading on 2020-02-01; the first is on line 3", "keep one"},
		"unsaid and falls": {"draw", months("date,barn_L", 3, 2, 3, 4, 5, 6, 7, 8), `m.csv:1: what the numbers of "barn_L" are is not said, and they fall on some lines`, "reading_L"},
		"used that rises":  {"draw", months("date,used_L", 1, 2, 3, 4, 5, 6, 7, 8, 9, 10), `m.csv:1: the numbers of "used_L" rise on every line`, "call the column reading"},
		"not a number":     {"draw", "date,reading_L\n2020-01-01,1\n2020-02-01,two\n", `m.csv:3: "two" is not a number`, "blank"},
	} {
		stderr := refused(t, exitFailed, "replay", "--tank", "5000L", "--meter", path(c.text), "--of", c.of)
		lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
		require.Len(t, lines, 2, "%s: %s", name, stderr)
		assert.Contains(t, lines[0], c.want, name)
		assert.Contains(t, lines[1], c.hint, name)
		assert.NotContains(t, stderr, "panic")
	}
	site := filepath.Join(dir, "site.yaml")
	done(t, "new", dir)
	edit(t, site, "tank:\n", "tank:\n  mains: none\n")
	good := path(months("date,reading_L", 1, 2, 3, 4, 5, 6, 7))
	for _, c := range []struct {
		args       []string
		want, hint string
	}{
		{[]string{"--meter", good}, "what the meter measures is not said", "--of draw"},
		{[]string{"--of", "draw"}, "--of draw: no meter is named", "--meter readings.csv"},
		{[]string{"--meter", good, "--of", "gas"}, `"gas" is none of draw, mains, level`, ""},
		{[]string{"--meter", "-", "--of", "draw", "--rain", "-", "--roof", "100m2", "--use", "100L/day"}, "standard input can be read only once", "as a file"},
		{[]string{site, "--meter", good, "--of", "mains"}, "the site has no mains", "--mains direct"},
	} {
		stderr := refused(t, exitUsage, append([]string{"replay", "--tank", "5000L"}, c.args...)...)
		assert.Contains(t, stderr, c.want)
		assert.Contains(t, stderr, c.hint)
	}
	assert.Contains(t, refused(t, exitFailed, "replay", "--tank", "5000L", "--meter", filepath.Join(dir, "none.csv"), "--of", "draw"), "none.csv: cannot be read")
}

// Hours of a logger: of a counter and of a level the last of a day counts, of
// amounts their sum.
func TestReplayMeterHours(t *testing.T) {
	t.Parallel()
	for head, want := range map[string]float64{"time,reading_L": 48, "time,used_L": 6} {
		text := head + "\n"
		n := 0
		for day := 1; day <= 9; day++ {
			for hour := 0; hour < 24; hour += 8 {
				x := 2.0
				if n += 16; strings.Contains(head, "reading") {
					x = float64(n)
				}
				text += fmt.Sprintf("2020-03-%02d %02d:00,%g\n", day, hour, x)
			}
		}
		path := filepath.Join(t.TempDir(), "m.csv")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		m := object(t, done(t, "replay", "--tank", "5000L", "--meter", path, "--of", "draw", "--json"))["meter"].(map[string]any)
		rows := m["intervals"].([]any)
		require.Len(t, rows, 8, head)
		for _, r := range rows {
			assert.Equal(t, want, r.(map[string]any)["metered_l"], head)
		}
	}
}

// Readings of the morning that are dated by the day itself: the sheet says so
// first, and tells neither a use nor what to size with.
func TestReplayMeterOfTheMorning(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	done(t, "replay", "--tank", "5000L", "--start", "1000L", "--since", "2010", "--out", dir)
	held := math.NaN()
	path := meterOf(t, dir, "date,level_gal", 1, 500, func(_, l map[string]float64) string {
		was := held
		held = l["storage_l"]
		if math.IsNaN(was) {
			return ""
		}
		return fmt.Sprintf("%.0f", (was+150)/3.785411784)
	})
	text := done(t, "replay", "--tank", "5000L", "--start", "1000L", "--since", "2010", "--meter", path, "--of", "level", "--units", "us")
	fits(t, text)
	out := strings.Join(strings.Fields(text), " ")
	assert.Regexp(t, `Dates Dated a day earlier the readings fit far better: the model is then off by [\d.]+ gal/day`, out)
	assert.NotContains(t, out, "Demand")
	assert.NotContains(t, out, "To size with it")
	m := object(t, done(t, "replay", "--tank", "5000L", "--start", "1000L", "--since", "2010", "--meter", path, "--of", "level", "--json"))["meter"].(map[string]any)
	assert.Equal(t, -1.0, m["shift_days"])
}
