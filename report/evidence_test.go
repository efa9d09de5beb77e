package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/codec"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

// smallSizing answers a small study of an invented record: eleven wet
// seasons, each a little different.
func smallSizing(t testing.TB) *Sizing {
	t.Helper()
	var b strings.Builder
	b.WriteString("date,rain_mm\n")
	first, _ := rainfall.MakeDate(2001, 1, 1)
	last, _ := rainfall.MakeDate(2011, 12, 31)
	for d := first; d <= last; d++ {
		y, m, day := d.YMD()
		mm := 0.0
		if m <= 4 && (day+y)%3 == 0 {
			mm = float64((day*7+y*3+int(m))%23) + 0.5
		}
		fmt.Fprintf(&b, "%v,%g\n", d, mm)
	}
	rec, err := read.Bytes("invented.csv", []byte(b.String()), read.Options{Unit: "mm"})
	require.NoError(t, err)
	elevation := 12.5
	z := &Sizing{Version: "0", Title: "Invented", Units: units.SI,
		Cover:  Cover{Client: "A & B", Author: "C", Location: "D", Note: "E", Date: "1 May 2012", Elevation: &elevation},
		Source: RecordInput{File: "invented.csv", Options: read.Options{Unit: "mm"}, Unpacked: rec.SHA256}}
	require.NoError(t, z.answer(rec, smallStudy()))
	return z
}

func smallStudy() *sim.Study {
	return &sim.Study{
		Roofs: []sim.Roof{sim.NewRoof(60)}, Areas: []float64{40, 60}, Uses: []sim.Use{{Name: "taps", Daily: 50}},
		Sizes: []float64{500, 5000, 15000}, Target: 0.8, ForSale: true, Years: 100, Seed: 7, RecordError: true,
		Horizon: 10, Level: 0.9, Unit: 1, AreaUnit: 1,
		Stress: gen.Stress{Rain: [12]float64{1, 1, 1, 1, 1, 0.9, 0.8, 0.9, 1, 1, 1, 1}, DrySpell: 1.25},
		Costs:  &sim.Costs{Sizes: []float64{500, 15000}, Prices: []float64{100, 2000}, Water: 3, Life: 20, Discount: 0.03, Currency: "$"},
	}
}

// alterAll changes every number, text and truth in v that evidence must hold
// and returns how many there are.
func alterAll(v reflect.Value) (n int) {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) {
			v.SetFloat(1.5)
		} else {
			v.SetFloat(x + 1 + math.Abs(x)/8)
		}
		return 1
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(v.Int() + 1)
		return 1
	case reflect.Uint8: // what has a word
		v.SetUint((v.Uint() + 1) % 3)
		return 1
	case reflect.String:
		v.SetString(v.String() + "x")
		return 1
	case reflect.Bool:
		v.SetBool(!v.Bool())
		return 1
	case reflect.Pointer:
		if !v.IsNil() {
			n = alterAll(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			n += alterAll(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Tag.Get("key") != "-" {
				n += alterAll(v.Field(i))
			}
		}
	}
	return n
}

// Whatever a result holds is in the evidence: with all of it altered, as many
// values differ as there are.
func TestEvidenceHoldsEveryValueOfTheResult(t *testing.T) {
	z := smallSizing(t)
	z.Result.Turned = &sim.Turned{Roof: 1, Use: 2, Tank: 3, Map: []sim.Spot{{Roof: 1}}} // which an answer within reach lacks
	for k := range z.Result.Months {                                                    // and what a tank alone lacks
		m := &z.Result.Months[k].Water
		m.LetIn, m.Fell, m.Dried, m.Pumped = 1, 2, 3, 4
	}
	for k := range z.Result.Real {
		y := &z.Result.Real[k].Water
		y.LetIn, y.Fell, y.Dried, y.Pumped = 1, 2, 3, 4
	}
	z.Result.Ways, z.Result.Season.Uses = []sim.Way{{What: "as-is"}}, []sim.UseShare{{Name: "a"}}
	before := codec.Encode(*z.Result)
	rows := compareTrees(before, z.values(), "", "")
	for _, r := range rows {
		assert.Contains(t, []status{agrees, missing}, r.Status, r.Path)
	}
	n := alterAll(reflect.ValueOf(z.Result).Elem())
	assert.Greater(t, n, 3000)
	rows = compareTrees(before, codec.Encode(*z.Result), "", "")
	assert.Equal(t, n, len(rows))
	for _, r := range rows {
		assert.Equal(t, differs, r.Status, r.Path)
	}
}

// What is read back is what was written, whatever its fields hold; a field that
// evidence forgot would come back empty.
func TestEvidenceThereAndBack(t *testing.T) {
	z := smallSizing(t)
	want := z.Result.Study
	// Every field another value than nothing, each its own.
	want.Roofs = []sim.Roof{{Name: "a", Area: 1.1, Surface: "tile", Runoff: 0.1 + 0.2, Wetting: 0.25, FirstFlush: 1.0 / 3, Filter: 0.95, Drains: 2}}
	want.Uses = []sim.Use{{Name: "b", Daily: 12.5, People: 3, Spread: 1, Each: 7.25, Months: sim.Months{true}, Except: []sim.Span{{FromMonth: 6, FromDay: 27, ToMonth: 8, ToDay: 29}}, Days: [7]bool{true, false, true}, Monthly: [12]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12.75}, Keep: sim.Level{Litres: 12}}, {Name: "c", Daily: 1, Keep: sim.Level{Share: 0.25}, Bed: sim.Bed{Area: 2.5, Factor: 0.3, Holds: 61, Refill: true, Efficiency: 0.75, Mean: [12]float64{1, 2.5}}}}
	want.Dead, want.Start, want.Rule, want.Measure, want.Allow, want.Seed = 0.031, new(77.0), sim.YBS, sim.Volume, 3, math.MaxUint64
	want.Under, want.Mains, want.Explain, want.Detain = sim.Under{Dead: 11, Reserve: 22, Share: 0.1}, sim.None, true, 250.5
	want.Roofs[0].Surge, want.Roofs[0].Pump = 1000, 20
	want.Fitted = sim.Fittings{TopUp: sim.TopUp{Below: sim.Level{Share: 0.2}, To: sim.Level{Litres: 500}, Rate: 2}, Pumping: sim.Pumping{Storm: 4, Hours: 9, Days: sim.Weekdays{true}, Lift: 12.5, Sizes: []float64{250, 500}}, Open: 3.5, Above: 14, Of: "c"}
	want.Joined, want.Begins = []sim.Part{{Area: 1, Base: 0.5, Height: 2, Outlet: 0.25}}, 4
	want.Uses[1].Needs = 100
	want.Air = sim.Air{Monthly: [12]float64{1.5, 2, 3}, Scale: 1.25}
	latitude := -33.5
	z.Source.Weather, z.Source.Latitude = true, &latitude
	z.Source.Second, z.Record.Second, z.Record.SecondSHA256 = "second.csv", "second.csv", "77"
	z.Source.Near = []site.Neighbour{{File: "hill.csv", SHA256: "88"}, {File: "mill.csv", SHA256: "99"}}
	z.Result.Near = &sim.Near{
		Lending: rainfall.Lending{Gain: 1.75, H: -0.5, From: []rainfall.Neighbour{
			{File: "hill.csv", SHA256: "88", Name: "Hill", Usable: 60, Common: 20, Years: 0.75, Months: 0.625, Shifted: 0.03, Wet: 1.125, Spread: -0.25, CV: 0.125, D: 0.5, Factor: 0.875},
			{File: "mill.csv", SHA256: "99", Name: "Mill", Usable: 12, Common: 4, Years: math.NaN(), Months: math.NaN(), Shifted: 0.02, Wet: 1, Spread: math.NaN(), CV: 0.25, Factor: math.NaN(), Why: rainfall.FewCommonYears},
		}},
		Within: sim.Interval{Estimate: 0.9, Low: 0.8, High: 0.95},
		Alone:  &sim.Alone{Grade: sim.Indicated, Tank: 7000, Low: 5000, High: math.NaN(), Safe: math.NaN(), Within: sim.Interval{Estimate: 0.85, Low: 0.7, High: 0.96}},
	}
	want.Sought = sim.ForRoof
	v := reflect.ValueOf(*want)
	for i := range v.NumField() {
		if name := v.Type().Field(i).Name; name != "Workers" && name != "Progress" {
			assert.False(t, v.Field(i).IsZero(), "the test leaves %s empty", name)
		}
	}
	e, err := ReadEvidence("e.json", []byte(evidenceText(t, z)))
	require.NoError(t, err)
	assert.Equal(t, z.inputs(), e.Inputs)
	back, err := e.Sizing("e.json", "0")
	require.NoError(t, err)
	assert.Equal(t, evidenceText(t, z), evidenceText(t, back))
	assert.Equal(t, z.Sheet(), back.Sheet())
	assert.Equal(t, codec.Encode(*z.Record), codec.Encode(*back.Record))
	back, err = e.Sizing("e.json", "1")
	require.NoError(t, err)
	assert.Equal(t, "0, shown by 1", back.Version)
}

// Evidence that was altered is not shown.
func TestAlteredEvidenceIsNotShown(t *testing.T) {
	text := evidenceText(t, smallSizing(t))
	for from, to := range map[string]string{
		"\"seed\": 7":         "\"seed\": 8",
		"\"listed_tank_l\": ": "\"listed_tank_l\": 0.5, \"x\": ",
		"\"column\": \"\",":   "",
		"\"cells\": [":        "\"cells\": [{},",
	} {
		require.Contains(t, text, from)
		altered := strings.Replace(text, from, to, 1)
		for _, x := range []string{altered, redigested(t, altered)} {
			e, err := ReadEvidence("e.json", []byte(x))
			require.NoError(t, err)
			_, err = e.Sizing("e.json", "0")
			var no *Refusal
			assert.ErrorAs(t, err, &no, from)
		}
	}
}

func TestReadEvidence(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	text := evidenceText(t, z)
	e, err := ReadEvidence("e.json", []byte(text))
	require.NoError(t, err)
	assert.Equal(t, "0", e.Version)
	assert.Equal(t, units.SI, e.Inputs.Units)
	assert.Equal(t, z.inputs(), e.Inputs)
	assert.Empty(t, e.Faults())
	assert.Empty(t, e.odd)
	digest := z.EvidenceDigest()
	assert.Equal(t, digest, e.Digest)

	swap := func(from, to string) string {
		require.Contains(t, text, from)
		return strings.Replace(text, from, to, 1)
	}
	// What is no evidence cannot be read; evidence that cannot be run is refused.
	for _, c := range []struct{ text, want string }{
		{"", "e.json:1: not evidence: the file is empty"},
		{"{", "e.json:1: not evidence: the file is cut short"},
		{text[:len(text)/2], "not evidence: "},
		{text[:len(text)-2], "not evidence: the file is cut short"},
		{"[]", "e.json:1: not evidence: the key schema does not say tankodds/evidence/2"},
		{"{}", "e.json:1: not evidence: the key schema does not say tankodds/evidence/2"},
		{`{"schema": "tankodds/size/1"}`, "e.json:1: not evidence: the key schema does not say tankodds/evidence/2"},
		{text + "{}", "something stands behind its end"},
		{text + "x", "not evidence: "},
		{strings.Repeat("[", 40), "e.json:1: not evidence: values nest deeper than 32"},
		{swap("\"version\": \"0\",", "\"version\": \"0\",\n \"version\": \"0\","), "e.json:4: not evidence: \"version\" stands twice"},
		{swap("\"seed\": 7", "\"seed\": 7, \"s\\u0065ed\": 7"), "not evidence: \"seed\" stands twice"},
	} {
		_, err := ReadEvidence("e.json", []byte(c.text))
		var read *read.Error
		require.ErrorAs(t, err, &read, c.want)
		assert.Contains(t, err.Error(), c.want)
		assert.NotEmpty(t, read.Hint)
	}
	for _, c := range []struct{ text, want string }{
		{swap(EvidenceSchema, "tankodds/evidence/9"), "e.json:2: the evidence is of the schema tankodds/evidence/9; this version reads tankodds/evidence/2"},
		{swap(EvidenceSchema, "tankodds/size/1"), "e.json:2: the evidence is of the schema tankodds/size/1; this version reads tankodds/evidence/2"},
		{swap("\n \"schema\"", "\n \"scheme\""), "e.json: it has no key schema"},
		{swap("\n \"version\"", "\n \"vision\""), "e.json: it has no key version"},
		{swap("\n \"results\"", "\n \"found\""), "e.json: it has no key results"},
		{swap("\"version\": \"0\"", "\"version\": 0"), "e.json:3: the version is no text"},
		{swap("\"seed\": 7", "\"seed\": -7"), "e.json:77: inputs.study.seed is -7, and not a whole number of 0 or more"},
		{swap("\"level\": 0.9,", ""), "e.json:33: inputs.study.level is missing; inputs.study.level: level 0 of the intervals is not between 0 and 1"},
		{swap("\"level\": 0.9,", `"\u001b[2J\u202e": 1,`), "e.json:33: inputs.study.level is missing; "},
		{swap("\"rule\": \"yas\"", `"rule": "\u009b\u202e"`), "neither yas nor ybs"},
		{swap("\"level\": 0.9", "\"level\": 5"), "e.json:80: inputs.study.level: level 5 of the intervals is not between 0 and 1"},
		{swap("\"level\": 0.9", "\"level\": null"), "e.json:80: inputs.study.level: level NaN of the intervals is not between 0 and 1"},
		{swap("\"rule\": \"yas\"", "\"rule\": \"yes\""), "e.json:69: inputs.study.rule: rule \"yes\" is neither yas nor ybs"},
		{swap("\"units\": \"si\"", "\"units\": \"cgs\""), "e.json:6: inputs.units: unit system cgs is neither si nor us"},
		{swap("\"prices\": [100, 2000]", "\"prices\": [100]"), "e.json:85: inputs.study.costs: a price of each size for sale is needed"},
		{swap("\"target\": 0.8", "\"target\": 1.5"), "e.json:73: inputs.study.target: target 1.5 is not between 0 and 1"},
	} {
		_, err := ReadEvidence("e.json", []byte(c.text))
		var no *Refusal
		require.ErrorAs(t, err, &no, c.want)
		assert.Contains(t, err.Error(), c.want)
		assert.NotEmpty(t, no.Reason.Hint)
		assert.False(t, strings.ContainsFunc(err.Error(), func(r rune) bool { return !unicode.IsGraphic(r) }), "%q", err.Error())
	}
	// What it says of itself counts where it is a digest at all.
	other := strings.Repeat("0123456789abcdef", 4)
	for said, want := range map[string]string{
		digest: digest, other: other, // as its page and sheet would print it
		other + "0": digest, other[1:]: digest, strings.ToUpper(other): digest, "g" + other[1:]: digest, "": digest,
	} {
		e, err := ReadEvidence("e.json", []byte(strings.Replace(text, digest, said, 1)))
		require.NoError(t, err)
		assert.Equal(t, []string{want, digest}, []string{e.Stated, e.Digest}, said)
		assert.Equal(t, said == digest, len(e.Faults()) == 0, said)
	}
	// The rest is run again, and not confirmed.
	const altered = "altered after they were written"
	for _, c := range []struct{ text, want string }{
		{swap("\"seed\": 7", "\"seed\": 7, \"speed\": 1"), "1 value is in it that its inputs do not come to"},
		{swap("\"seed\": 7", "\"seed\": 7, \"speed\": {}"), "1 value is in it that its inputs do not come to"},
		{swap("\"column\": \"\",", ""), "1 value is missing from it"}, // as an older program left out what it did not know
		{swap("\"seed\": 7", "\"Seed\": 7"), "1 value is missing from it\n1 value is in it"},
		{swap("\"version\": \"0\",", "\"version\": \"0\", \"extra\": 1,"), `it has a key that is not known, "extra"`},
		{swap("\"version\": \"0\",", "\"version\": \"0\", \"version inputs\": 1,"), `it has a key that is not known, "version inputs"`},
		{swap("\"digest\": \"", "\"digest\": \"0"), altered},
		{swap("\"digest\": \"", "\"digest\": 1, \"digested\": \""), altered},
		{strings.Replace(text, "\"digest\": \""+digest+"\",", "", 1), "the evidence has no digest of its inputs and results"},
		{strings.Replace(text, digest, strings.ToUpper(digest), 1), altered},
		{text + "\n", "spaces, line ends or letters of it are not as they were written"},
		{strings.ReplaceAll(text, "\n", "\r\n"), "spaces, line ends or letters of it are not as they were written"},
		{swap("\"title\": \"Inv", "\"title\": \"\\u0049nv"), "spaces, line ends or letters of it are not as they were written"},
	} {
		r := rechecked(t, c.text, z)
		assert.False(t, r.Agrees, c.want)
		assert.Contains(t, reasons(r), c.want)
	}
}

// The list of files is held to its form and to what is written; a name with a
// folder is never looked for.
func TestEvidenceListOfFiles(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	text := evidenceText(t, z)
	list := text[strings.Index(text, "\"files\": ["):]
	entry := list[strings.Index(list, "{") : strings.Index(list, "}")+1] // that of curves.csv
	for _, c := range []struct{ from, to, want string }{
		{list, "\"files\": []\n}\n", "the evidence lists no files, so none was compared"},
		{",\n " + list, "\n}\n", "the evidence lists no files, so none was compared"},
		{list, "\"files\": {}\n}\n", "the evidence lists no files, so none was compared"},
		{entry + ",", "", "its list of files lacks curves.csv"},
		{entry + ",", entry + "," + entry + ",", "in its list of files curves.csv stands twice"},
		{entry, "7", "in its list of files no. 1 is not a name and a SHA-256\nits list of files lacks curves.csv"},
		{entry, strings.Replace(entry, "{", `{"more": 1,`, 1), "in its list of files no. 1 is not a name and a SHA-256"},
		{"curves.csv", "../curves.csv", `in its list of files "../curves.csv" is not the name of a file beside it` + "\nits list of files lacks curves.csv"},
		{"curves.csv", "/etc/passwd", `in its list of files "/etc/passwd" is not the name of a file beside it`},
		{"curves.csv", `sub\\curves.csv`, "is not the name of a file beside it"},
		{"curves.csv", "C:curves.csv", "is not the name of a file beside it"},
		{"curves.csv", "..", "is not the name of a file beside it"},
		{"curves.csv", "", "is not the name of a file beside it"},
		{"curves.csv", `a\u0000b`, "is not the name of a file beside it"},
		{"curves.csv", "other.csv", "its list of files lacks curves.csv\nits list of files holds other.csv, which is not written with evidence"},
		{"curves.csv", "Curves.csv", "its list of files lacks curves.csv"},
		{strings.Repeat("0", 64), strings.Repeat("0", 63), "in its list of files curves.csv has no SHA-256 of 64 digits and small letters"},
		{strings.Repeat("0", 64), strings.Repeat("A", 64), "in its list of files curves.csv has no SHA-256 of 64 digits and small letters"},
	} {
		require.Contains(t, text, c.from)
		at := strings.LastIndex(text, c.from)
		r := rechecked(t, text[:at]+c.to+text[at+len(c.from):], z)
		assert.False(t, r.Agrees, c.want)
		assert.Contains(t, reasons(r), c.want)
		for _, f := range r.Evidence.Files {
			assert.True(t, plainName(f.Name))
		}
		assert.Equal(t, len(r.Rows), r.Agree, "the list is not digested with the values")
	}
	c := rechecked(t, text, z)
	for _, x := range []struct {
		states [2]State
		want   string
	}{
		{[2]State{Same, Same}, ""},
		{[2]State{Same, Changed}, "report.html is not the file that was written with this evidence"},
		{[2]State{Changed, Changed}, "curves.csv and report.html are not the files that were written with this evidence"},
		{[2]State{Same, Other}, "report.html prints the digest of other evidence"},
		{[2]State{Missing, Same}, "not found beside it, so not compared: curves.csv"},
		{[2]State{Missing, Missing}, "not found beside it, so not compared: curves.csv and report.html"},
		{[2]State{Unread, Same}, "curves.csv cannot be compared: it is a folder"},
	} {
		for i := range c.Files {
			c.Files[i].State, c.Files[i].Why = x.states[i], "it is a folder"
		}
		c.judge()
		assert.Equal(t, x.want, reasons(c))
	}
	c.Files = c.Files[:1] // one not looked for is not a success either
	c.Files[0].State = Same
	c.judge()
	assert.Equal(t, "not compared: report.html", reasons(c))
	assert.Equal(t, "a, b, c and 2 more", someOf([]string{"a", "b", "c", "d", "e"}))
	assert.Equal(t, "a, b, c and d", someOf([]string{"a", "b", "c", "d"}))
}

// Any byte of evidence altered, and any digit of any value, is not confirmed:
// by the values, or by the digest where the last digit of a number is too
// small a change for them.
func TestEvidenceEveryByteCounts(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	text := evidenceText(t, z)
	rng := rand.New(rand.NewPCG(1, 2))
	digits := regexp.MustCompile("[0-9]").FindAllStringIndex(text, -1)
	require.Greater(t, len(digits), 10000)
	whole, seen := rechecked(t, text, z), map[string]int{}
	for i := range 240 {
		at, by := rng.IntN(len(text)), byte(rng.IntN(255))
		if i%2 == 0 {
			at, by = digits[rng.IntN(len(digits))][0], byte('0'+rng.IntN(10))
		}
		if by == text[at] {
			continue
		}
		b := []byte(text)
		b[at] = by
		e, err := ReadEvidence("e.json", b)
		if err != nil {
			seen["refused"]++
			continue
		}
		if !slices.Equal(e.Files, whole.Evidence.Files) { // which the files themselves show
			seen["files"]++
			continue
		}
		seen["run"]++
		require.NotEmpty(t, e.Faults(), "byte %d, %q", at, text[max(0, at-40):at+20])
		if i%20 == 0 {
			require.False(t, rechecked(t, string(b), z).Agrees)
		}
	}
	assert.Greater(t, seen["run"], 120, seen)
	assert.Greater(t, seen["refused"], 3, seen)
}

// Words that are no UTF-8 are in the evidence as they are read back.
func TestEvidenceOfBrokenLetters(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	z.Title, z.Cover.Note = "caf\xe9\xe9", "\xff"
	z.Result.Study.Uses[0].Name = "b\xe4d\u2028"
	text := evidenceText(t, z)
	e, err := ReadEvidence("e.json", []byte(text))
	require.NoError(t, err)
	z.Title, z.Cover, z.Result.Study = e.Inputs.Title, e.Inputs.Cover, e.Inputs.Study
	assert.Empty(t, reasons(rechecked(t, text, z)))
}

// The digest is printed on the sheet, and is of what does not hold it.
func TestEvidenceDigestOnTheSheet(t *testing.T) {
	z := smallSizing(t)
	digest := z.EvidenceDigest()
	require.Regexp(t, wholeDigest, digest)
	bare := evidenceText(t, z)
	z.Digest = digest
	assert.Equal(t, bare, evidenceText(t, z))
	assert.Equal(t, digest, z.EvidenceDigest())

	short := digest[:4] + " " + digest[4:8] + " " + digest[8:12] + " " + digest[12:16]
	s := z.Sheet()
	assert.Contains(t, s.Foot, "tankodds 0, evidence "+short+", seed 7; record ")
	html, err := s.HTML(nil)
	require.NoError(t, err)
	assert.Contains(t, string(html), short)
	assert.Contains(t, string(html), "SHA-256 of its inputs and results "+digest)

	x := &z.Result.Curve[30].Supplied
	*x = math.Nextafter(*x, 0) // which a tolerance would let pass
	assert.NotEqual(t, digest, z.EvidenceDigest())

	pages := poppler(t, "pdftotext", pdfOf(t, &Sizing{Version: z.Version, Title: z.Title, Record: z.Record, Result: z.Result, Units: z.Units, Digest: digest}))
	assert.Contains(t, pages, "evidence "+short)
	assert.Contains(t, strings.Join(strings.Fields(pages), ""), digest, "broken over two lines")
}

// Whatever stands in a file, reading it ends in evidence that can be written
// again or in an error of one line.
func FuzzEvidence(f *testing.F) {
	inputs := codec.Encode(Inputs{Title: "Invented", Units: units.SI, Generator: "years", Study: smallStudy()})
	whole := &codec.Node{Kind: codec.Object}
	whole.Add("schema", &codec.Node{Kind: codec.Text, Text: EvidenceSchema})
	whole.Add("version", &codec.Node{Kind: codec.Text, Text: "0"})
	whole.Add("inputs", inputs)
	whole.Add("results", &codec.Node{Kind: codec.Object})
	_, err := ReadEvidence("seed.json", whole.Bytes())
	require.NoError(f, err)
	f.Add(whole.Bytes())
	f.Add([]byte(`{"schema":"tankodds/evidence/2","version":"0","inputs":{},"results":{}}`))
	f.Add([]byte(`{"a":[1,"\u00e9",null,true,{"b":-0.5e3}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		if doc, err := codec.Parse(b); err == nil {
			again, err := codec.Parse(doc.Bytes())
			require.NoError(t, err)
			require.Equal(t, doc, again)
		}
		e, err := ReadEvidence("fuzz.json", b)
		if err != nil {
			require.NotContains(t, strings.TrimSpace(oneLine(err.Error())), "\n")
			return
		}
		require.NoError(t, e.Inputs.Study.Check())
		if z, err := e.Sizing("fuzz.json", "0"); err == nil {
			require.NotEmpty(t, z.Sheet().Sections)
		}
	})
}
