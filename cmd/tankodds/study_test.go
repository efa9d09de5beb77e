package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/read"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

// With nothing typed the plan is the demo: the site file of new.
func TestPlanDemo(t *testing.T) {
	p := planned(t)
	assert.True(t, p.Record.Embedded)
	assert.Equal(t, "Tarn Lane pottery studio", p.Name)
	assert.Equal(t, units.SI, p.Units)
	s := p.Study
	require.Len(t, s.Roofs, 1)
	assert.Equal(t, sim.Roof{Name: "studio", Area: 180, Surface: "metal", Runoff: 0.85, FirstFlush: 0.5, Filter: 1, Drains: 1}, s.Roofs[0])
	assert.Equal(t, []float64{180}, s.Areas)
	assert.Equal(t, 0.9, s.Target)
	assert.Equal(t, sim.Annual, s.Measure)
	assert.True(t, s.RecordError)
	assert.Equal(t, sim.DefaultYears, s.Years)
	assert.Equal(t, 18.0, s.Costs.Water)
	assert.Equal(t, 25.0, s.Costs.Life)

	rec, series, err := new(call).series(p.Record, p.Study.StorageYear)
	require.NoError(t, err)
	assert.Equal(t, demoName, rec.Name())
	assert.Greater(t, series.Years.Len(), 40)

	// A flag about something else is about the demo too.
	assert.True(t, planned(t, "--target", "95%", "--roofs", "50m2..400m2/8").Record.Embedded)
}

// Everything by flags, in US units.
func TestPlanByFlags(t *testing.T) {
	p := planned(t, "--rain", "gauge.csv", "--unit", "in", "--station", "A1", "--column", "rain", "--dates", "dmy",
		"--water-year", "October", "--since", "1980",
		"--roof", "1500 sq ft metal", "--roof", "old barn 500sqft tile", "--first-flush", "0.02in", "--runoff", "80%",
		"--use", "toilets 45 gal/day weekdays", "--use", "wash 100gal/week sat", "--tanks", "500gal..8000gal/5",
		"--start", "0", "--dead", "3%", "--target", "0.95", "--measure", "time", "--rule", "ybs", "--generator", "years",
		"--years", "500", "--seed", "7", "--record-error", "off", "--horizon", "10", "--workers", "2")
	assert.False(t, p.Record.Embedded)
	assert.Equal(t, site.Source{Options: read.Options{Unit: "in", Station: "A1", Dates: "dmy", Column: "rain"},
		File: "gauge.csv", WaterYear: 10, Since: 1980}, p.Record)
	assert.Equal(t, units.US, p.Units)
	assert.Equal(t, "years", p.Generator.Name)

	s := p.Study
	require.Len(t, s.Roofs, 2)
	assert.Equal(t, "roof 1", s.Roofs[0].Name)
	assert.Equal(t, "old barn", s.Roofs[1].Name)
	assert.Equal(t, "tile", s.Roofs[1].Surface)
	for i, ft2 := range []float64{1500, 500} {
		assert.InDelta(t, ft2*0.09290304, s.Roofs[i].Area, 1e-9)
		assert.Equal(t, 0.8, s.Roofs[i].Runoff)
		assert.InDelta(t, 0.508, s.Roofs[i].FirstFlush, 1e-12)
	}
	require.Len(t, s.Uses, 2)
	assert.InDelta(t, 45*3.785411784, s.Uses[0].Daily, 1e-9)
	assert.Equal(t, sim.Weekdays{false, true, true, true, true, true, false}, s.Uses[0].Days)
	assert.InDelta(t, 100*3.785411784/7, s.Uses[1].Daily, 1e-9)
	assert.Equal(t, sim.Weekdays{6: true}, s.Uses[1].Days)
	gal := make([]float64, len(s.Sizes))
	for i, x := range s.Sizes {
		gal[i] = x / 3.785411784
	}
	assert.InDeltaSlice(t, []float64{500, 1000, 2000, 4000, 8000}, gal, 1e-8)
	assert.Equal(t, 0.03, s.Dead)
	assert.Equal(t, 0.95, s.Target)
	assert.Equal(t, sim.Time, s.Measure)
	assert.Equal(t, sim.YBS, s.Rule)
	assert.Equal(t, 500, s.Years)
	assert.Equal(t, uint64(7), s.Seed)
	assert.False(t, s.RecordError)
	assert.Equal(t, 10, s.Horizon)
	assert.Equal(t, 2, s.Workers)
}

// Flags override the site file; what it says of reading its own record is not
// carried over to another.
func TestPlanOverridesSite(t *testing.T) {
	file := writeSite(t, `
rain: {file: gauge.csv, unit: in, water_year: 10, since: 1970}
roofs: [{area: 100 m2}]
uses: [{daily: 100 L}]
tank: {sizes: 500L..2000L/3, dead: 5 %, start: 100 L}
target: {reliability: 80 %, measure: volume, allow: 3}
simulation: {years: 200, seed: 9, generator: years, rule: ybs}
`)
	p := planned(t, file)
	assert.Equal(t, filepath.Join(filepath.Dir(file), "gauge.csv"), p.Record.File)
	assert.Equal(t, "in", p.Record.Unit)
	assert.Equal(t, []float64{500, 1000, 2000}, p.Study.Sizes)
	assert.Equal(t, uint64(9), p.Study.Seed)
	assert.Equal(t, 3, p.Study.Allow)
	assert.Equal(t, 100.0, *p.Study.Start)

	p = planned(t, file, "--rain", "other.csv", "--use", "5gal/day", "--tank", "900L", "--seed", "0", "--dead", "0", "--generator", "guided", "--units", "us", "--roofs", "50m2, 150m2")
	assert.Equal(t, site.Source{File: "other.csv", WaterYear: 10, Since: 1970}, p.Record)
	assert.Equal(t, []float64{900}, p.Study.Sizes)
	assert.Equal(t, []float64{50, 150}, p.Study.Areas)
	assert.Equal(t, 100.0, p.Study.Roofs[0].Area, "the grid does not replace the site's own roof")
	assert.Equal(t, uint64(0), p.Study.Seed)
	assert.Equal(t, 0.0, p.Study.Dead)
	assert.Equal(t, "guided", p.Generator.Name)
	assert.Equal(t, sim.YBS, p.Study.Rule)
	assert.Equal(t, units.US, p.Units)
	require.Len(t, p.Study.Uses, 1)
	assert.InDelta(t, 5*3.785411784, p.Study.Uses[0].Daily, 1e-12)
}

// Where only areas to try are given the middle one stands for the site.
func TestPlanRoofGridAlone(t *testing.T) {
	p := planned(t, "--rain", "x.csv", "--use", "300L/day", "--roofs", "50m2..150m2/3")
	assert.Equal(t, []float64{50, 100, 150}, p.Study.Areas)
	require.Len(t, p.Study.Roofs, 1)
	want := sim.NewRoof(100)
	want.Name = "roof 1"
	assert.Equal(t, want, p.Study.Roofs[0])
}

// What is typed wrongly is refused with exit 2 before anything is read.
func TestWrongFlags(t *testing.T) {
	withCommand(t, func(_ context.Context, c *call) error {
		_, err := c.asked.Plan(c.site(), "")
		return err
	})
	good := []string{"--rain", "x.csv", "--roof", "140m2", "--use", "300L/day"}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--tanks", "1200sqft"}, "tankodds: --tanks: 1200sqft is an area; a tank size is a volume such as 5000L or 1500gal"},
		{[]string{"--tanks", "5000"}, "tankodds: --tanks: 5000 has no unit; a tank size is a volume in L, kL, m3, gal or ft3, such as 5000L or 1500gal"},
		{[]string{"--tanks", "0L,500L"}, "tankodds: --tanks: a tank size is above 0, such as 5000L or 1500gal"},
		{[]string{"--tank", "0L"}, "tankodds: --tank: a tank size is above 0, such as 5000L or 1500gal"},
		{[]string{"--tank", "-5000L"}, "tankodds: --tank: -5000L is below 0; a tank size is a volume such as 5000L or 1500gal"},
		{[]string{"--roof", "140"}, "tankodds: --roof: 140 has no unit; a roof is an area in m2, ft2 (sqft), ha or acre, such as 140m2 or 1500sqft"},
		{[]string{"--roof", "0m2"}, "tankodds: --roof: \"0m2\" has no area; a roof is above 0, such as 140m2 or 1500sqft"},
		{[]string{"--roof", "big"}, "tankodds: --roof: \"big\" has no quantity; a roof is an area such as 140m2 or 1500sqft"},
		{[]string{"--roof", "140 m2 thatch"}, "tankodds: --roof: no surface is called \"thatch\"; there are metal, tile, fibre-cement, shingle, flat, gravel, green-extensive, green-intensive"},
		{[]string{"--roof", "140 L metal"}, "tankodds: --roof: 140 L is a volume; a roof is an area such as 140m2 or 1500sqft"},
		{[]string{"--roofs", "400m2..50m2/5"}, "tankodds: --roofs: 400m2..50m2/5 does not rise; write from..to/how many, as in 50m2..400m2/20"},
		{[]string{"--use", "120L"}, "tankodds: --use: 120L is a volume; a use is a volume per time such as 300L/day or 80gal/day"},
		{[]string{"--use", "120L/day someday"}, "tankodds: --use: \"someday\" is no day; write weekdays, weekends or days such as mon,wed or mon-fri"},
		{[]string{"--use", "0L/day"}, "tankodds: --use: \"0L/day\" wants no water; a use is above 0"},
		{[]string{"--first-flush", "0.5"}, "tankodds: --first-flush: 0.5 has no unit; a first flush is a depth in mm, cm or in, such as 0.5mm or 0.02in"},
		{[]string{"--runoff", "0"}, "tankodds: --runoff: a runoff coefficient is above 0, such as 0.9 or 90%"},
		{[]string{"--runoff", "1.2"}, "tankodds: --runoff: 1.2 is above 1; a runoff coefficient is a share such as 0.9 or 90%"},
		{[]string{"--dead", "100%"}, "tankodds: --dead: dead storage of 100 % leaves nothing usable; write less than 100 %"},
		{[]string{"--target", "90"}, "tankodds: --target: 90 is above 1; a target is a share such as 0.9 or 90%"},
		{[]string{"--target", "1"}, "tankodds: --target: a target of 1 cannot be shown; write a share between 0 and 1 such as 0.9 or 99%"},
		{[]string{"--target", "0"}, "tankodds: --target: a target of 0 cannot be shown; write a share between 0 and 1 such as 0.9 or 99%"},
		{[]string{"--measure", "weekly"}, "tankodds: --measure: \"weekly\" is none of annual, time, volume"},
		{[]string{"--rule", "fifo"}, "tankodds: --rule: \"fifo\" is neither yas nor ybs"},
		{[]string{"--years", "3"}, "tankodds: --years: 3 is not a whole number from 50 to 10,000,000"},
		{[]string{"--horizon", "0"}, "tankodds: --horizon: 0 is not a whole number from 1 to 50"},
		{[]string{"--workers", "-2"}, "tankodds: --workers: -2 is not a whole number from 0 to 1,048,576"},
		{[]string{"--record-error", "maybe"}, "tankodds: --record-error: \"maybe\" is neither on nor off"},
		{[]string{"--units", "imperial"}, "tankodds: --units: \"imperial\" is neither si nor us"},
		{[]string{"--unit", "cm"}, "tankodds: --unit: \"cm\" is none of mm, in, 0.1mm"},
		{[]string{"--dates", "ymd"}, "tankodds: --dates: \"ymd\" is neither dmy nor mdy"},
		{[]string{"--water-year", "13"}, "tankodds: --water-year: \"13\" is no month; write a name such as oct or a number from 1 to 12"},
		{[]string{"--since", "0"}, "tankodds: --since: 0 is not a whole number from 1600 to 2200\nhint: as in --since 1980"},
		{[]string{"rain.csv"}, "tankodds: rain.csv is not a site file, whose name ends in .yaml\nhint: a rain file is given with --rain rain.csv"},
	} {
		stderr := refused(t, exitUsage, append(append([]string{"probe"}, good...), c.args...)...)
		assert.Equal(t, c.want+"\n", stderr, c.args)
	}
	for missing, want := range map[int]string{
		0: "tankodds: no rain record; give it, as in --rain FILE\n",
		2: "tankodds: no roof; give it, as in --roof \"140m2 metal\"\n",
		4: "tankodds: no use of water; give it, as in --use 300L/day\n",
	} {
		args := append([]string{"probe"}, good[:missing]...)
		code, _, stderr := typed(t, append(args, good[missing+2:]...)...)
		assert.Equal(t, exitUsage, code)
		assert.Equal(t, want, stderr)
	}
	_, _, stderr := typed(t, append([]string{"probe", "--generator", "dice"}, good...)...)
	assert.Contains(t, stderr, "tankodds: --generator: no generator is named \"dice\"; there are guided, ")
}

// A record from standard input, and one from a year on.
func TestRainFromStdin(t *testing.T) {
	csv := "date,rain_mm\n2019-12-31,1.5\n2020-01-01,2.5\n2020-01-02,0\n"
	rec, err := site.Source{File: "-"}.Read(disk{strings.NewReader(csv)})
	require.NoError(t, err)
	assert.Equal(t, "2019-12-31", rec.First.String())
	c := &call{stdin: strings.NewReader(csv)}
	m, s, err := c.series(site.Source{File: "-", Since: 2020}, nil)
	require.NoError(t, err)
	assert.Equal(t, "2020-01-01", m.First.String())
	assert.Equal(t, []float64{2.5, 0}, s.Depth)
}

// writeSite writes a site file and returns its path.
func writeSite(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "site.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	return path
}
