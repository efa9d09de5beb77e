package site

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/sim"
)

// decoded reads a site file that must be right.
func decoded(t *testing.T, text string) *Plan {
	t.Helper()
	p := NewPlan(Size)
	require.NoError(t, p.decode("site.yaml", []byte(text)))
	return p
}

func TestSiteEveryKey(t *testing.T) {
	p := decoded(t, `
name: Tarn Lane
client: Ash & Fell
author: me
note: "a: note"
location: Carrow
elevation: 400 ft
rain: {file: sub/gauge.csv, unit: 0.1 mm, water_year: oct, since: 1980, station: A1, column: rain, dates: mdy}
roofs:
  - {name: a, area: 2000 sqft, surface: tile, runoff: 75 %, wetting: 0.01 in, first_flush: 1 mm, filter: 95%, drains: 3}
  - &b {name: b, area: "1,000 sqft", runoff: 0.6, surface: flat}
  - *b
uses:
  - {name: toilets, daily: 30 gal, days: [mon, Wednesday]}
  - {daily: 100 L, days: weekends}
  - {monthly: [1 gal, 2 gal, 3 gal, 4 gal, 5 gal, 6 gal, 7 gal, 8 gal, 9 gal, 10 gal, 11 gal, 12 gal]}
tank:
  sizes: [2000 gal, 500 gal, 500 gal]
  dead: 3 %
  start: 100 gal
  prices: {5000 gal: "4,000", 500 gal: 900.50}
  water_price: 4 per 1000 gal
  life: 30
  discount: 2.5 %
  currency: $
target: {reliability: 95 %, measure: Time, allow: 2}
simulation: {years: 500, seed: 18446744073709551615, generator: years, rule: YBS}
`)
	const gal, ft2 = 3.785411784, 0.09290304
	assert.Equal(t, [5]string{"Tarn Lane", "Ash & Fell", "me", "a: note", "Carrow"}, [5]string{p.Name, p.Cover.Client, p.Cover.Author, p.Cover.Note, p.Cover.Location})
	assert.InDelta(t, 121.92, *p.Cover.Elevation, 1e-9)
	assert.Equal(t, Source{Options: read.Options{Unit: "0.1mm", Station: "A1", Column: "rain", Dates: "mdy"},
		File: "sub/gauge.csv", WaterYear: 10, Since: 1980}, p.Record)
	s := p.Study
	require.Len(t, s.Roofs, 3)
	assert.Equal(t, sim.Roof{Name: "a", Area: 2000 * ft2, Surface: "tile", Runoff: 0.75, Wetting: 0.254, FirstFlush: 1, Filter: 0.95, Drains: 3}, s.Roofs[0])
	assert.Equal(t, 0.6, s.Roofs[1].Runoff, "a stated coefficient outranks the surface, whatever the order")
	assert.Equal(t, s.Roofs[1], s.Roofs[2])
	require.Len(t, s.Uses, 3)
	assert.Equal(t, sim.Use{Name: "toilets", Daily: 30 * gal, Days: [7]bool{1: true, 3: true}}, s.Uses[0])
	assert.Equal(t, sim.Use{Daily: 100, Days: [7]bool{0: true, 6: true}}, s.Uses[1])
	assert.InDelta(t, 12*gal, s.Uses[2].Monthly[11], 1e-12)
	assert.InDeltaSlice(t, []float64{500 * gal, 2000 * gal}, s.Sizes, 1e-9)
	assert.Equal(t, 0.03, s.Dead)
	assert.InDelta(t, 100*gal, *s.Start, 1e-12)
	assert.InDeltaSlice(t, []float64{500 * gal, 5000 * gal}, s.Costs.Sizes, 1e-9)
	assert.Equal(t, []float64{900.5, 4000}, s.Costs.Prices)
	assert.InDelta(t, 4/gal, s.Costs.Water, 1e-12)
	assert.Equal(t, 30.0, s.Costs.Life)
	assert.Equal(t, 0.025, s.Costs.Discount)
	assert.Equal(t, "$", s.Costs.Currency)
	assert.Equal(t, 0.95, s.Target)
	assert.Equal(t, sim.Time, s.Measure)
	assert.Equal(t, 2, s.Allow)
	assert.Equal(t, 500, s.Years)
	assert.Equal(t, uint64(math.MaxUint64), s.Seed)
	assert.Equal(t, "years", p.Generator.Name)
	assert.Equal(t, sim.YBS, s.Rule)
	assert.Equal(t, units.US, p.votes.system())
}

// What is left out is taken from one place.
func TestSiteDefaults(t *testing.T) {
	p := decoded(t, "\ufeffroofs: [{area: 140 m2}]\nuses: [{daily: 300 L}]\ntank: {sizes: 500L..2000L/3}\n")
	assert.Equal(t, []sim.Roof{sim.NewRoof(140)}, p.Study.Roofs)
	assert.Equal(t, []sim.Use{{Daily: 300}}, p.Study.Uses)
	assert.Equal(t, []float64{500, 1000, 2000}, p.Study.Sizes)
	assert.Nil(t, p.Study.Costs)
	assert.Nil(t, p.Cover.Elevation)
	assert.Equal(t, units.SI, p.votes.system())
}

const keysAtTop = "name, client, author, note, location, elevation, rain, roofs, uses, tank, pumping, costs, target, simulation"

// Every mistake is named with its line and what to write.
func TestSiteRefuses(t *testing.T) {
	for _, c := range []struct{ text, want, hint string }{
		{"", "site.yaml: the site file is empty", "tankodds new writes one to start from"},
		{"# nothing but a comment\n", "site.yaml: the site file is empty", "tankodds new writes one to start from"},
		{"hello", "site.yaml:1: a site file is written as keys and values: " + keysAtTop, ""},
		{"roofs:\n  - area: 180 m2\n    areaa: 3\n", `site.yaml:3: unknown key "areaa"; keys here are ` + strings.Join(findSection("roofs").keys(), ", "), "did you mean area"},
		{"name: a\nname: b\n", "site.yaml:2: name stands twice, first on line 1", "keep one of the two"},
		{"name: a\n---\nname: b\n", "site.yaml:2: a second document begins here; a site file holds one", "take out the line ---, or give the other a file of its own"},
		{"roofs:\n\t- area: 1 m2\n", "site.yaml:2: a value or a line begins with a character that has no place there, such as a tab, @ or %", "set lines in with blanks, not tabs, and put such a value in quotation marks"},
		{"roofs: {area: 1 m2}\n", "site.yaml:1: roofs: it takes a list; begin each entry with \"- \" or write [one, two]", ""},
		{"roofs:\nuses: []\n", "site.yaml:1: roofs has no value; give one or leave the key out", ""},
		{"name: [a, b]\n", "site.yaml:1: name: it takes one value, not a list or keys", ""},
		{"roofs: [{area: 180}]\n", "site.yaml:1: area: 180 has no unit; a roof area is an area in m2, ft2 (sqft), ha or acre, such as 140m2 or 1500sqft", ""},
		{"roofs:\n- area: 5000 L\n", "site.yaml:2: area: 5000 L is a volume; a roof area is an area such as 140m2 or 1500sqft", ""},
		{"roofs:\n- area: 0 m2\n", `site.yaml:2: area: a roof area is above 0, such as 140m2 or 1500sqft`, ""},
		{"roofs:\n- name: shed\n", `site.yaml:2: this roof has no area; give it, as in area: 140 m2`, ""},
		{"roofs:\n- {area: 9 m2, surface: thatch}\n", `site.yaml:2: surface: no surface is called "thatch"; there are metal, tile, fibre-cement, shingle, flat, gravel, green-extensive, green-intensive`, ""},
		{"roofs:\n- {area: 9 m2, runoff: 0}\n", `site.yaml:2: runoff: a runoff coefficient is above 0, such as 0.9 or 90%`, ""},
		{"roofs:\n- {area: 9 m2, drains: 0}\n", `site.yaml:2: drains: 0 is not a whole number from 1 to 365`, ""},
		{"roofs:\n- {area: 9 m2, first_flush: \"0,5 mm\"}\n", "site.yaml:2: first_flush: 0,5 mm: a comma sets thousands apart, as in 1,500; for a decimal write 0.5 mm; a first flush is a depth such as 0.5mm or 0.02in", ""},
		{"uses:\n- {daily: 120}\n", "site.yaml:2: daily: 120 has no unit; a daily use is a volume in L, kL, m3, gal or ft3, such as 5000L or 1500gal", ""},
		{"uses:\n- {name: idle}\n", "site.yaml:2: this use wants no water; give daily:, or people: and each:, or monthly:, or area: of a bed", ""},
		{"uses:\n- {daily: 9 L, days: someday}\n", `site.yaml:2: days: "someday" is no day; write weekdays, weekends or days such as mon,wed or mon-fri`, ""},
		{"uses:\n- {monthly: [1 L, 2 L]}\n", "site.yaml:2: monthly: it takes twelve volumes, January first, and 2 are given", ""},
		{"tank: {reserve: plenty}\n", "site.yaml:1: reserve: \"plenty\" is no reserve; write a volume such as 10000 L, a share such as 20 %, or a depth of the tank's height such as 40 cm of 1.8 m", ""},
		{"uses:\n- {daily: 700 L/week, days: weekends}\n", "site.yaml:2: daily: 700 L/week is spread over all days, and days: names some; give what is drawn on each of them, as in daily: 50 L", ""},
		{"uses:\n- {area: 90 m2, plants: thirsty}\n", "site.yaml:2: plants: \"thirsty\" is no plant factor; write low, moderate, high, lawn, or a number up to 2 such as 0.3", ""},
		{"uses:\n- {daily: 9 L, keep: 120 %}\n", "site.yaml:2: keep: \"120 %\" is neither a share of the tank, such as 30 %, nor a volume, such as 500 L", ""},
		{"roofs:\n- {area: 9 m2, surge: 1000 L, pump: 20 L}\n", "site.yaml:2: pump: \"20 L\" is no volume a minute; write one such as 20 L/min or 5 gal/min", ""},
		{"pumping: {storm: 30 h}\n", "site.yaml:1: storm: \"30 h\" is no part of a day; write hours from 0 to 24, such as 4 h", ""},
		{"rain: {et0: [1 mm, 2 mm]}\n", "site.yaml:1: et0: it takes twelve depths, January first, and 2 are given", ""},
		{"rain: {latitude: 133}\n", "site.yaml:1: latitude: \"133\" is no latitude; write degrees from -90 to 90, such as 33.43 or 33.43 S", ""},
		{"tank: {sizes: [5000]}\n", "site.yaml:1: sizes: 5000 has no unit; a tank size is a volume in L, kL, m3, gal or ft3, such as 5000L or 1500gal", ""},
		{"tank: {sizes: [0 L]}\n", "site.yaml:1: sizes: a tank size is above 0, such as 5000L or 1500gal", ""},
		{"tank: {sizes: 500L..20000L}\n", "site.yaml:1: sizes: 500L..20000L does not say how many values; write from..to/how many, as in 500L..20000L/50", ""},
		{"tank: {dead: 100 %}\n", "site.yaml:1: dead: dead storage of 100 % leaves nothing usable; write less than 100 %", ""},
		{"tank:\n  prices: [9]\n", "site.yaml:2: prices: they are sizes, each with its price, as in {2000 L: 900, 10000 L: 2600}", ""},
		{"tank:\n  prices: {2000 L: 900, 2 m3: 950}\n", "site.yaml:2: prices: one size has two prices", ""},
		{"tank:\n  prices: {2000 L: 900, 3 m3: lots}\n", "site.yaml:2: prices: a price: lots does not begin with a number", "write each size with its price, as in {2000 L: 900, 10000 L: 2600}"},
		{"target: {reliability: 90}\n", "site.yaml:1: reliability: 90 is above 1; a target is a share such as 0.9 or 90%", ""},
		{"target: {reliability: 1}\n", "site.yaml:1: reliability: a target of 1 cannot be shown; write a share between 0 and 1 such as 0.9 or 99%", ""},
		{"target: {measure: often}\n", `site.yaml:1: measure: "often" is none of annual, time, volume`, ""},
		{"simulation: {years: 10}\n", `site.yaml:1: years: 10 is not a whole number from 50 to 10,000,000`, ""},
		{"simulation: {seed: -1}\n", `site.yaml:1: seed: "-1" is not a whole number from 0 to 18,446,744,073,709,551,615`, ""},
		{"rain: {file: a.csv, unit: cm}\n", `site.yaml:1: unit: "cm" is none of mm, in, 0.1mm`, ""},
		{"rain: {water_year: frost}\n", `site.yaml:1: water_year: "frost" is no month; write a name such as oct or a number from 1 to 12`, ""},
		{"rain: {dates: ymd}\n", `site.yaml:1: dates: "ymd" is neither dmy nor mdy`, ""},
		{"a: &a [*a]\nroofs: *a\n", `site.yaml:1: unknown key "a"; keys here are ` + keysAtTop, ""},
	} {
		err := NewPlan(Size).decode("site.yaml", []byte(c.text))
		var e *read.Error
		if assert.True(t, errors.As(err, &e), "%q: %v", c.text, err) {
			assert.Equal(t, c.want, e.Error(), c.text)
			assert.Equal(t, c.hint, e.Hint, c.text)
		}
	}
}

// Whatever a site file holds, it is read or refused with one line.
func FuzzSite(f *testing.F) {
	f.Add(File(units.SI))
	f.Add(File(units.US))
	f.Add("roofs: [{area: 140 m2}]\nuses: [{daily: 300 L, days: [mon]}]\n")
	f.Add("a: &a [*a]\nroofs: *a\n<<: {x: y}\n? [1]\n: 2\n")
	f.Fuzz(func(t *testing.T, text string) {
		p := NewPlan(Size)
		if err := p.decode("site.yaml", []byte(text)); err != nil {
			var e *read.Error
			require.True(t, errors.As(err, &e), "%v", err)
			require.NotContains(t, OneLine(err.Error()), "\n")
			return
		}
		for _, r := range p.Study.Roofs {
			require.NoError(t, r.Check())
		}
		require.False(t, fmt.Sprint(p.Study.Sizes) == "[NaN]")
	})
}

// A water year begins when it is asked to, else when the site's stores are
// fullest, else as the rain alone tells.
func TestWaterYearStarts(t *testing.T) {
	r := &rainfall.Record{First: rainfall.Day(2001, time.January, 1), Depth: make([]float64, 400)}
	r.Depth[40] = 9
	knows := func(ok bool) func(*rainfall.Record) (time.Month, bool) {
		return func(got *rainfall.Record) (time.Month, bool) { return time.July, ok && got == r }
	}
	for _, c := range []struct {
		asked   int
		fullest func(*rainfall.Record) (time.Month, bool)
		start   time.Month
		by      rainfall.StartBy
	}{
		{10, knows(true), time.October, rainfall.ByAsking},
		{0, knows(true), time.July, rainfall.ByStores},
		{0, knows(false), time.March, rainfall.ByRain},
		{0, nil, time.March, rainfall.ByRain},
	} {
		start, by := Source{WaterYear: c.asked}.Start(r, c.fullest)
		assert.Equal(t, c.start, start)
		assert.Equal(t, c.by, by)
	}
}
