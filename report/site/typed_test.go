package site

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/units"
	"tankodds/sim"
)

const ft2, gal = 0.09290304, 3.785411784

// Every name of a surface leads to one, whatever its case, and no name to two.
func TestSurfacesByAnyName(t *testing.T) {
	for name, want := range map[string]string{
		"metal": "metal", "Steel": "metal", "TIN": "metal", "standing-seam": "metal", "metal roof": "metal", "Corrugated Iron": "metal",
		"asphalt": "shingle", "Asphalt Shingles": "shingle", "shingle": "shingle",
		"concrete tile": "tile", "clay tiles": "tile", "Tile": "tile",
		"fibre cement": "fibre-cement", "fiber-cement": "fibre-cement",
		"green-extensive": "green-extensive", "Extensive green roof": "green-extensive", "flat roof": "flat", "gravel roofing": "gravel",
	} {
		s, err := findSurface(name)
		if assert.NoError(t, err, name) {
			assert.Equal(t, want, s.Name, name)
		}
	}
	seen := map[string]string{}
	for _, known := range sim.Surfaces() {
		s, err := findSurface(known.Name)
		require.NoError(t, err)
		assert.Equal(t, known, s)
		for name := range strings.SplitSeq(alsoCalled[known.Name], ", ") {
			assert.Equal(t, name, surfaceWords(name), "in the form looked up")
			assert.Empty(t, seen[name], "%s: two meanings", name)
			seen[name] = known.Name
			assert.Empty(t, twoMeanings[name])
		}
	}
	for of := range alsoCalled {
		_, ok := sim.FindSurface(of)
		assert.True(t, ok, of)
	}
	for either, text := range twoMeanings {
		_, err := findSurface(either + " roof")
		assert.EqualError(t, err, `"`+either+` roof" could be `+text+"; write which")
	}
}

func TestRoofsAsTyped(t *testing.T) {
	for text, want := range map[string]sim.Roof{
		"140m2":                      {Area: 140},
		"2,100 sqft asphalt":         {Area: 2100 * ft2, Surface: "shingle"},
		"30 ft x 40 ft STEEL":        {Area: 1200 * ft2, Surface: "metal"},
		"Studio 12m x 10m metal":     {Name: "Studio", Area: 120, Surface: "metal"},
		"barn 30' x 40' metal roof":  {Name: "barn", Area: 1200 * ft2, Surface: "metal"},
		"house 1/2 acre tile":        {Name: "house", Area: 43560 * ft2 / 2, Surface: "tile"},
		"concrete tile 140 m2":       {Area: 140, Surface: "tile"},
		"140 m2 concrete tile roof":  {Area: 140, Surface: "tile"},
		"140 m2 roof":                {Area: 140},
		"1,400 sq ft, metal":         {Area: 1400 * ft2, Surface: "metal"},
		"metal, 1400 sqft":           {Area: 1400 * ft2, Surface: "metal"},
		"1400 sq ft of metal roof":   {Area: 1400 * ft2, Surface: "metal"},
		"140 m2 (clay tile)":         {Area: 140, Surface: "tile"},
		"Shed (old) 140 m2; metal":   {Name: "Shed (old)", Area: 140, Surface: "metal"},
		"Tin shed 40 m2":             {Name: "Tin shed", Area: 40, Surface: "metal"},
		"Tin shed 40 m2 tile":        {Name: "Tin shed", Area: 40, Surface: "tile"},
		"granny flat 60 m2":          {Name: "granny flat", Area: 60},
		"flat roof 60 m2":            {Area: 60, Surface: "flat"},
		"old barn 500sqft Clay Tile": {Name: "old barn", Area: 500 * ft2, Surface: "tile"},
	} {
		got, err := parseRoof(fresh(Size), text)
		if !assert.NoError(t, err, text) {
			continue
		}
		full := sim.NewRoof(want.Area)
		full.Name = want.Name
		if want.Surface != "" {
			s, _ := sim.FindSurface(want.Surface)
			full.Surface, full.Runoff = s.Name, s.Runoff
		}
		assert.InEpsilon(t, full.Area, got.Area, 1e-12, text)
		got.Area = full.Area
		assert.Equal(t, full, got, text)
	}
	for text, want := range map[string]string{
		"140 m2 green":     `"green" could be green-extensive (thin, such as sedum) or green-intensive (deep, such as a garden); write which`,
		"140 m2 metl":      `no surface is called "metl"; there are metal, tile, fibre-cement, shingle, flat, gravel, green-extensive, green-intensive`,
		"1,5 m2":           "1,5 m2: a comma sets thousands apart, as in 1,500; for a decimal write 1.5 m2; a roof is an area such as 140m2 or 1500sqft",
		"30 x 40 metal":    "in \"30 x 40 metal\" 30 has no unit; a roof is an area in m2, ft2 (sqft), ha or acre, such as 140m2 or 1500sqft",
		"barn 2 100 sqft":  "2 100: a space stands within the number; write 2100 or 2,100 and then the unit; a roof is an area such as 140m2 or 1500sqft",
		"140 m2 metal - 3": `no surface is called "metal - 3"; there are metal, tile, fibre-cement, shingle, flat, gravel, green-extensive, green-intensive`,
	} {
		_, err := parseRoof(fresh(Size), text)
		assert.EqualError(t, err, want, text)
	}
}

func TestUsesAsTyped(t *testing.T) {
	for text, want := range map[string]sim.Use{
		"300 L a day":                      {Daily: 300},
		"house 300 litres per day":         {Name: "house", Daily: 300},
		"40 gpd":                           {Daily: 40 * gal},
		"toilets 1,400 L weekly weekdays":  {Name: "toilets", Daily: 200, Days: sim.Weekdays{1: true, 2: true, 3: true, 4: true, 5: true}},
		"300 L daily":                      {Daily: 300},
		"300 L/day, sat, sun":              {Daily: 300, Days: sim.Weekdays{0: true, 6: true}},
		"wash 300 L a day Sat":             {Name: "wash", Daily: 300, Days: sim.Weekdays{6: true}},
		"garden 1/2 m3 every day weekends": {Name: "garden", Daily: 500, Days: sim.Weekdays{0: true, 6: true}},
	} {
		got, err := parseUse(fresh(Size), text)
		if assert.NoError(t, err, text) {
			assert.InEpsilon(t, want.Daily, got.Daily, 1e-12, text)
			got.Daily = want.Daily
			assert.Equal(t, want, got, text)
		}
	}
}

// planned is the plan of flags and a site file.
func planned(t *testing.T, file string, args ...string) (*Plan, error) {
	t.Helper()
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	a := Flags(fs, Size)
	require.NoError(t, fs.Parse(args))
	p := NewPlan(Size)
	if file != "" {
		require.NoError(t, p.decode("site.yaml", []byte(file)))
	}
	return p, a.over(p)
}

const bareSite = "rain: {file: a.csv}\nroofs: [{area: 140 m2}]\nuses: [{daily: 300 L}]\n"

// What is for sale is what is asked about, unless other sizes are; prices typed
// take the place of the site's.
func TestPricesAsTyped(t *testing.T) {
	buy := []string{"--price", "10,000 L=$2,400", "--price", "5000L = 1600", "--water-price", "$3.20 per m3"}
	p, err := planned(t, bareSite, buy...)
	require.NoError(t, err)
	want := sim.Costs{Sizes: []float64{5000, 10000}, Prices: []float64{1600, 2400}, Water: 3.2, Life: sim.DefaultLife, Discount: sim.DefaultDiscount, Currency: "$"}
	assert.Equal(t, want, *p.Study.Costs)
	assert.Equal(t, want.Sizes, p.Study.Sizes)

	other := bareSite + "tank: {sizes: [700 L, 900 L], prices: {2000 L: 900, 3000 L: 950}, water_price: 2 per m3, life: 30, currency: $}\n"
	p, err = planned(t, other)
	require.NoError(t, err)
	assert.Equal(t, []float64{700, 900}, p.Study.Sizes)
	p, err = planned(t, other, buy...)
	require.NoError(t, err)
	want.Life = 30
	assert.Equal(t, want, *p.Study.Costs)
	assert.Equal(t, want.Sizes, p.Study.Sizes)
	p, err = planned(t, other, append(buy, "--tanks", "1000L,2000L")...)
	require.NoError(t, err)
	assert.Equal(t, []float64{1000, 2000}, p.Study.Sizes)
	p, err = planned(t, strings.Replace(other, "sizes: [700 L, 900 L], ", "", 1))
	require.NoError(t, err)
	assert.Equal(t, []float64{2000, 3000}, p.Study.Sizes)
	p, err = planned(t, bareSite+"tank: {prices: {1500 gal: $900, 3000 gal: \"$1,400\"}}\n", "--water-price", "$12/1000 gal")
	require.NoError(t, err)
	assert.Equal(t, []float64{900, 1400}, p.Study.Costs.Prices)
	assert.InEpsilon(t, 12/gal, p.Study.Costs.Water, 1e-12)
	assert.Equal(t, "$", p.Study.Costs.Currency)
	assert.Equal(t, units.US, p.Units)
	p, err = planned(t, bareSite+"tank: {life: 30}\n")
	require.NoError(t, err)
	assert.Nil(t, p.Study.Costs)

	for _, c := range []struct {
		want string
		args []string
	}{
		{`--price: "5000L" is not a size and its price, as in 5000L=1600`, []string{"--price", "5000L", "--price", "9000L=1"}},
		{`--price: "5000L=,400" has lost the beginning of its price; the shell takes a $ for its own, so write it in single quotes, as in '5000L=$1,400'`, []string{"--price", "5000L=,400", "--price", "9000L=1"}},
		{`--price: "5000L=00" has lost the beginning of its price; the shell takes a $ for its own, so write it in single quotes, as in '5000L=$1,400'`, []string{"--price", "5000L=00", "--price", "9000L=1"}},
		{`--price: "5000L=" has lost the beginning of its price; the shell takes a $ for its own, so write it in single quotes, as in '5000L=$1,400'`, []string{"--price", "5000L=", "--price", "9000L=1"}},
		{`the prices of tanks need that of water too, as in --water-price "12 per 1000 gal"`, []string{"--units", "us", "--price", "5000L=1600", "--price", "9000L=2000"}},
		{"--price: one size has two prices", []string{"--price", "5000L=1600", "--price", "5 m3=1"}},
		{"--price: a price: 1,5: a comma sets thousands apart, as in 1,500; for a decimal write 1.5", []string{"--price", "5000L=1,5", "--price", "9000L=1"}},
		{"--price: a price in € stands beside one in $; write both in one currency, or without a sign", []string{"--price", "5000L=$1", "--price", "9000L=€2"}},
		{"--price: a tank size is above 0", []string{"--price", "0L=1", "--price", "9000L=2"}},
		{"--water-price: 3 has no unit; a water price is a price per volume in per m3, per kL, per gal or per ft3, such as 3.20 per m3 or 0.012 per gal", []string{"--water-price", "3"}},
		{`the prices of tanks need that of water too, as in --water-price "3.20 per m3"`, []string{"--price", "5000L=1600", "--price", "9000L=2000"}},
		{"the price of water needs those of tanks, as in --price 5000L=1600 --price 10000L=2400", []string{"--water-price", "3 per m3"}},
	} {
		_, err := planned(t, "", append([]string{"--rain", "a.csv", "--roof", "9m2", "--use", "9L/day"}, c.args...)...)
		assert.EqualError(t, err, c.want)
	}
	_, err = planned(t, bareSite+"tank: {prices: {2000 L: 900, 3 m3: 950}}\n")
	assert.EqualError(t, err, `site.yaml:4: the prices of tanks need that of water too, as in water_price: 3.20 per m3`)
}

// Whole numbers may have their thousands set apart, as they are printed.
func TestWholeNumbersAsTyped(t *testing.T) {
	for text, want := range map[string]int{"10,000": 10000, "10000": 10000, "1,000,000": 1000000, "2e3": 2000} {
		p, err := asked(t, Size, "--years", text)
		require.NoError(t, err)
		assert.Equal(t, want, p.Study.Years)
	}
	for _, text := range []string{"10,00", "99.5", "½", "-100", "100 years", "1e30"} {
		_, err := asked(t, Size, "--years", text)
		assert.ErrorContains(t, err, "is not a whole number from 50 to 10,000,000", text)
	}
	p, err := asked(t, Size, "--unit", "Inches")
	require.NoError(t, err)
	assert.Equal(t, "in", p.Record.Unit)
	p, err = asked(t, Size, "--unit", "millimetres")
	require.NoError(t, err)
	assert.Equal(t, "mm", p.Record.Unit)
}

func TestNamesAsTyped(t *testing.T) {
	p, err := planned(t, "name: a\nclient: b\n"+bareSite, "--name", "Tarn Lane", "--client", "Ash & Fell")
	require.NoError(t, err)
	assert.Equal(t, "Tarn Lane", p.Name)
	assert.Equal(t, "Ash & Fell", p.Cover.Client)
}

// What must be given and is not is named in one line, in the units typed.
func TestWhatIsMissingIsNamedOnce(t *testing.T) {
	for _, c := range []struct {
		want string
		args []string
	}{
		{`no roof; give it, as in --roof "140m2 metal"`, []string{"--rain", "a.csv", "--use", "300L/day"}},
		{`no roof; give it, as in --roof "1500sqft metal"`, []string{"--rain", "a.csv", "--use", "40gpd"}},
		{`no use of water; give it, as in --use 80gal/day`, []string{"--rain", "a.csv", "--roof", "2,100 sqft"}},
		{`no roof and no use of water; give them, as in --roof "140m2 metal" --use 300L/day`, []string{"--rain", "a.csv"}},
		{`no roof; give it, as in --roof "1500sqft metal"`, []string{"--rain", "a.csv", "--use", "300L/day", "--units", "us"}},
		{`no rain record; give it, as in --rain FILE`, []string{"--roof", "140m2", "--use", "300L/day"}},
		{`no rain record, no roof and no use of water; give them, as in --rain FILE --roof "140m2 metal" --use 300L/day`, []string{"--seed", "3"}},
	} {
		_, err := planned(t, "", c.args...)
		var m *Misuse
		require.ErrorAs(t, err, &m)
		assert.Equal(t, c.want, m.Text)
		assert.Empty(t, m.Hint)
	}
}

// Whatever is typed for a roof, a use or a price, it is read as something that can
// be simulated or refused in one line; so is the same with a name before it.
func FuzzTyped(f *testing.F) {
	for _, s := range []string{"2,100 sqft asphalt", "barn 30' x 40' metal roof", "granny flat 60 m2", "140 m2 green", "1,5 m2", "barn 2 100 sqft",
		"300 L daily", "toilets 1,400 L weekly mon,wed", "5000L=$1,400", "5 m3==", "½ m2 tile", "- m2", "\x00=\x00", "30 x 40", "metal roof roof 9m2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		oneLine := func(err error) {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("%q: %v", s, err)
			}
		}
		for _, text := range []string{s, "barn " + s} {
			if r, err := parseRoof(fresh(Size), text); err != nil {
				oneLine(err)
			} else if err := r.Check(); err != nil || !utf8.ValidString(r.Surface) {
				t.Fatalf("%q: %v, %v", text, r, err)
			}
			if u, err := parseUse(fresh(Size), text); err != nil {
				oneLine(err)
			} else if err := u.Check(); err != nil || !(u.Daily > 0) {
				t.Fatalf("%q: %v, %v", text, u, err)
			}
		}
		a := fresh(Size)
		if err := readPrices(a, given{texts: []string{s, "7000L=3"}}); err != nil {
			oneLine(err)
			return
		}
		if err := a.Study.Costs.Check(); err != nil {
			t.Fatalf("%q: %v", s, err)
		}
	})
}

// Days run from one to another, over the weekend too.
func TestRangesOfDays(t *testing.T) {
	for text, want := range map[string]string{"mon-fri": "Mon Tue Wed Thu Fri", "fri-mon": "Sun Mon Fri Sat", "sat-sun, wed": "Sun Wed Sat", "tue": "Tue", "wed-wed": "Wed"} {
		days, err := parseDays(text)
		require.NoError(t, err)
		assert.Equal(t, want, strings.Join(days.Texts(), " "), text)
	}
	for _, bad := range []string{"mon-", "-fri", "mon-someday", "may-sep", "mon-tue-wed"} {
		_, err := parseDays(bad)
		assert.Error(t, err, bad)
	}
}

// What people, months and parts of the year may be typed as, and what not.
func TestDatesAsTyped(t *testing.T) {
	use := func(line string) (*Plan, error) {
		p := NewPlan(Size)
		return p, p.decode("s.yaml", []byte("uses:\n- {daily: 9 L, "+line+"}\n"))
	}
	p, err := use("people: 3..6, each: 20 L, months: nov-feb, except: [27 jun..29 aug, dec 22..jan 5, 29 feb]")
	require.NoError(t, err)
	u := p.Study.Uses[0]
	assert.Equal(t, []float64{4.5, 1.5, 20, 99}, []float64{u.People, u.Spread, u.Each, u.OnItsDays()})
	assert.Equal(t, []string{"Jan", "Feb", "Nov", "Dec"}, u.Months.Texts())
	assert.Equal(t, []sim.Span{{FromMonth: 6, FromDay: 27, ToMonth: 8, ToDay: 29}, {FromMonth: 12, FromDay: 22, ToMonth: 1, ToDay: 5}, {FromMonth: 2, FromDay: 29, ToMonth: 2, ToDay: 29}}, u.Except)
	for line, want := range map[string]string{
		"people: some":        `people: "some" is no number of people; write one such as 4, or the fewest and the most as 3..6`,
		"people: 6..3":        "is no number of people",
		"people: NaN":         "is no number of people",
		"months: [summer]":    `"summer" is no month`,
		"except: 31 jun":      "June has no day 31",
		"except: [soon..jan]": "is no part of the year; write its first and last day as in 27 jun..29 aug",
	} {
		_, err := use(line)
		if assert.Error(t, err, line) {
			assert.Contains(t, err.Error(), want)
		}
	}
}

// Offers are prices given in another way.
func TestOffersAsTyped(t *testing.T) {
	tank := func(line string) (*Plan, error) {
		p := NewPlan(Size)
		return p, p.decode("s.yaml", []byte("tank:\n  "+line+"\n"))
	}
	p, err := tank("offers: [{size: 9000 L, price: $2400, install: $1500}, {size: 2000 L, price: $950}]")
	require.NoError(t, err)
	assert.Equal(t, []float64{2000, 9000}, p.Study.Costs.Sizes)
	assert.Equal(t, []float64{950, 3900}, p.Study.Costs.Prices)
	assert.Equal(t, "$", p.Study.Costs.Currency)
	for line, want := range map[string]string{
		"offers: {2000 L: 9}": "it takes a list",
		"offers: []":          "offers has no value",
		"offers: [{size: 9 L}, {size: 8 L, price: 4}]":            "an offer has a size and a price",
		"offers: [{size: 9 L, cost: 4}]":                          `"cost" is not known; an offer has size, price and install`,
		"offers: [{size: 9 L, price: 4}, {size: 9 L, price: 40}]": "one size has two prices",
		"dead: lots": "a volume such as 150 L",
	} {
		_, err := tank(line)
		if assert.Error(t, err, line) {
			assert.Contains(t, err.Error(), want)
		}
	}
	p, err = tank("dead: 150 L")
	require.NoError(t, err)
	assert.Equal(t, sim.Under{Dead: 150}, p.Study.Under)
	assert.Zero(t, p.Study.Dead)
}

// Who begins in gallons meets no litre to type.
func TestNewSiteSpeaksItsUnits(t *testing.T) {
	for line := range strings.Lines(File(units.US)) {
		typed, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(line), "# "), " #")
		if key, value, ok := strings.Cut(typed, ": "); ok && !strings.Contains(key, " ") && key != "energy" {
			assert.NotRegexp(t, `\d (L|m2|m3|mm)\b|per m3`, value, key)
		}
	}
}

// Beside mains 80 % of the water is wanted, unless another target is stated, in a
// file or by a flag; a sole source and a site that says nothing keep their own.
func TestTargetFollowsTheMains(t *testing.T) {
	for line, want := range map[string]sim.Study{
		"":                                {Measure: sim.Annual, Target: 0.9},
		"--mains none":                    {Measure: sim.Annual, Target: 0.9},
		"--mains direct":                  {Measure: sim.Volume, Target: 0.8},
		"--mains direct --target 0.9":     {Measure: sim.Volume, Target: 0.9},
		"--mains direct --measure annual": {Measure: sim.Annual, Target: 0.9},
		"--target 0.7 --mains direct":     {Measure: sim.Volume, Target: 0.7},
		"--measure time --mains direct":   {Measure: sim.Time, Target: 0.9},
	} {
		p, err := planned(t, "", append([]string{"--rain", "a.csv", "--roof", "9m2", "--use", "9L/day"}, strings.Fields(line)...)...)
		require.NoError(t, err, line)
		assert.Equal(t, []any{want.Measure, want.Target}, []any{p.Study.Measure, p.Study.Target}, line)
	}
}

// A level is below the whole of the tank.
func TestLevelOfTheWholeTank(t *testing.T) {
	for text, ok := range map[string]bool{"99 %": true, "0.5": true, "100 %": false, "1": false, "500 L": true} {
		err := NewPlan(Size).decode("a.yaml", []byte("uses: [{daily: 9 L, keep: "+text+"}]\n"))
		if ok {
			assert.NoError(t, err, text)
			continue
		}
		assert.ErrorContains(t, err, "is the whole tank; write less than 100 %", text)
	}
}

// What evaporation is multiplied by lies from a half to two.
func TestET0ScaleLimits(t *testing.T) {
	for text, ok := range map[string]bool{"0.5": true, "2": true, "0.4": false, "2.5": false, "-1": false} {
		err := NewPlan(Size).decode("a.yaml", []byte("rain: {et0_scale: "+text+"}\n"))
		assert.Equal(t, ok, err == nil, text)
	}
}

// A reserve is said as it was given: a share of the tank, or a volume.
func TestReserveIsSaid(t *testing.T) {
	for text, want := range map[string]string{"20 %": "20 % of the nominal size", "500 L": "500 L"} {
		p := NewPlan(Size)
		require.NoError(t, p.decode("a.yaml", []byte("tank: {reserve: "+text+"}\n")))
		said := ""
		for _, row := range Table {
			if row.Key == "tank.reserve" {
				said = row.say(At{Plan: p}, units.SI)
			}
		}
		assert.Equal(t, want, said)
	}
}
