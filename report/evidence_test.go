package report

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
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
	rec, err := rainfall.Read("invented.csv", []byte(b.String()), rainfall.ReadOptions{Unit: "mm"})
	require.NoError(t, err)
	series, err := rec.Fill(rec.StartMonth())
	require.NoError(t, err)
	elevation := 12.5
	study := smallStudy()
	gen, err := rainfall.FindGenerator("years")
	require.NoError(t, err)
	r, err := sim.Size(t.Context(), series, gen, study)
	require.NoError(t, err)
	return &Sizing{Version: "0", Title: "Invented", Record: rec, Series: series, Result: r, Units: units.SI,
		Cover:  Cover{Client: "A & B", Author: "C", Location: "D", Note: "E", Date: "1 May 2012", Elevation: &elevation},
		Source: RecordInput{File: "invented.csv", Unit: "mm", Unpacked: rec.SHA256}}
}

func smallStudy() *sim.Study {
	return &sim.Study{
		Roofs: []sim.Roof{sim.NewRoof(60)}, Areas: []float64{40, 60}, Uses: []sim.Use{{Name: "taps", Daily: 50}},
		Sizes: []float64{500, 5000, 15000}, Target: 0.8, Years: 100, Seed: 7, RecordError: true, Replicates: 3,
		Horizon: 10, Level: 0.9, GainStep: 1000, GainStop: 0.01,
		Stress: rainfall.Stress{Rain: [12]float64{1, 1, 1, 1, 1, 0.9, 0.8, 0.9, 1, 1, 1, 1}, DrySpell: 1.25},
		Costs:  &sim.Costs{Sizes: []float64{500, 15000}, Prices: []float64{100, 2000}, Water: 3, Life: 20, Discount: 0.03, Currency: "$"},
	}
}

// alterAll changes every number, text and truth in v that evidence must hold
// and returns how many there are.
func alterAll(v reflect.Value) (n int) {
	if leftOut[v.Type()] {
		return 0
	}
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
			if v.Type().Field(i).IsExported() {
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
	before, err := z.values()
	require.NoError(t, err)
	n := alterAll(reflect.ValueOf(z.Result).Elem())
	assert.Greater(t, n, 3000)
	after := valuesOf(reflect.ValueOf(*z.Result))
	rows := compareTrees(before.without("inputs", "words", "warnings", "record", "sheet"), after.without("warnings"), "", "")
	assert.Equal(t, n-2*len(z.Result.Warnings), len(rows))
	for _, r := range rows {
		assert.Equal(t, differs, r.status, r.Path)
	}
}

// No two fields of one type share a key.
func TestEvidenceKeys(t *testing.T) {
	for k := range keyOf {
		typ, field, _ := strings.Cut(k, ".")
		types := map[string]reflect.Type{"Result": reflect.TypeFor[sim.Result](), "Cell": reflect.TypeFor[sim.Cell](), "Answer": reflect.TypeFor[sim.Answer](),
			"Stop": reflect.TypeFor[sim.Stop](), "Season": reflect.TypeFor[sim.Season](), "RealYear": reflect.TypeFor[sim.RealYear](), "ShortDay": reflect.TypeFor[sim.ShortDay](),
			"Month": reflect.TypeFor[sim.Month](), "PeakSpill": reflect.TypeFor[sim.PeakSpill](), "Thumb": reflect.TypeFor[sim.Thumb](), "Outlook": reflect.TypeFor[sim.Outlook]()}
		require.Contains(t, types, typ)
		_, ok := types[typ].FieldByName(field)
		assert.True(t, ok, "%s has no field %s", typ, field)
	}
	assert.Equal(t, "longest_dry", keyFor(reflect.TypeFor[sim.RealYear](), "LongestDry"))
}

// What is read back is the study that was written, whatever its fields hold;
// a field that evidence forgot would come back empty.
func TestEvidenceStudyRoundTrip(t *testing.T) {
	want := *smallSizing(t).Result.Study
	// Every field another value than nothing, each its own.
	want.Roofs = []sim.Roof{{Name: "a", Area: 1.1, Surface: "tile", Runoff: 0.1 + 0.2, Wetting: 0.25, FirstFlush: 1.0 / 3, Filter: 0.95, Drains: 2}}
	want.Uses = []sim.Use{{Name: "b", Daily: 12.5, Days: [7]bool{true, false, true}, Monthly: [12]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12.75}}}
	want.Dead, want.Start, want.Rule, want.Measure, want.Allow, want.Seed = 0.031, 77, sim.YBS, sim.Volume, 3, math.MaxUint64
	want.Workers, want.Progress = 0, nil
	v := reflect.ValueOf(want)
	for i := range v.NumField() {
		if name := v.Type().Field(i).Name; name != "Workers" && name != "Progress" {
			assert.False(t, v.Field(i).IsZero(), "the test leaves %s empty", name)
		}
	}
	b, err := marshal(studyAsJSON(&want))
	require.NoError(t, err)
	var j studyJSON
	require.NoError(t, json.Unmarshal(b, &j))
	got, err := j.Sim()
	require.NoError(t, err)
	assert.Equal(t, &want, got)
}

func TestReadEvidence(t *testing.T) {
	z := smallSizing(t)
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	e, err := ReadEvidence("e.json", b)
	require.NoError(t, err)
	assert.Equal(t, "0", e.Version)
	assert.Equal(t, units.SI, e.Units)
	assert.Equal(t, z.inputs(), e.Inputs)

	swap := func(from, to string) string {
		require.Contains(t, string(b), from)
		return strings.Replace(string(b), from, to, 1)
	}
	for _, c := range []struct{ text, want string }{
		{"", "e.json:1: not evidence: the JSON value is cut short"},
		{"{", "e.json:1: not evidence: the JSON value is cut short"},
		{"[]", "e.json: not evidence: the key schema does not say tankodds/evidence/1"},
		{string(b) + "{}", "something follows the end of the JSON value"},
		{strings.Repeat("[", 40), "e.json:1: not evidence: values nest deeper than 32"},
		{swap(EvidenceSchema, "tankodds/evidence/9"), "e.json: the evidence is of the schema tankodds/evidence/9; this version reads tankodds/evidence/1"},
		{swap("\n \"results\"", "\n \"found\""), "e.json: the evidence has no key results"},
		{swap("\"version\": \"0\",", "\"version\": \"0\", \"extra\": 1,"), "e.json: the evidence has a key that it does not know, \"extra\""},
		{swap("\"version\": \"0\",", "\"version\": \"0\",\n \"version\": \"0\","), "e.json:4: not evidence: \"version\" stands twice in one object"},
		{swap("\"seed\": 7", "\"seed\": -7"), "e.json: inputs.study.seed cannot be number -7"},
		{swap("\"seed\": 7", "\"Seed\": 7"), "e.json: inputs.study.seed is missing"},
		{swap("\"seed\": 7", "\"seed\": 7, \"speed\": 1"), "e.json: inputs.study.speed is no input known here"},
		{swap("\"seed\": 7,", ""), "e.json: inputs.study.seed is missing"},
		{swap("\"level\": 0.9", "\"level\": 5"), "e.json: inputs.study: level 5 of the intervals is not between 0 and 1"},
		{swap("\"level\": 0.9", "\"level\": null"), "e.json: inputs.study.level cannot be null"},
		{swap("\"rule\": \"yas\"", "\"rule\": \"yes\""), "e.json: inputs.study: rule \"yes\" is neither yas nor ybs"},
		{swap("\"units\": \"si\"", "\"units\": \"cgs\""), "e.json: inputs.units: "},
		{swap("\"prices\": [100, 2000]", "\"prices\": [100]"), "e.json: inputs.study: prices of at least two tank sizes are needed"},
		{swap("\"target\": 0.8", "\"target\": 1.5"), "e.json: inputs.study: target 1.5 is not between 0 and 1"},
	} {
		_, err := ReadEvidence("e.json", []byte(c.text))
		var read *rainfall.ReadError
		require.ErrorAs(t, err, &read, c.want)
		assert.Contains(t, err.Error(), c.want)
		assert.NotEmpty(t, read.Hint)
	}
}

// Whatever stands in a file, reading it ends in evidence that can be written
// again or in an error of one line.
func FuzzEvidence(f *testing.F) {
	inputs, err := treeOf(Inputs{Title: "Invented", Units: "si", Generator: "years", Study: studyAsJSON(smallStudy())})
	require.NoError(f, err)
	whole := &node{kind: jsonObject}
	whole.add("schema", &node{kind: jsonText, text: EvidenceSchema})
	whole.add("version", &node{kind: jsonText, text: "0"})
	whole.add("inputs", inputs)
	whole.add("results", &node{kind: jsonObject})
	_, err = ReadEvidence("seed.json", whole.bytes())
	require.NoError(f, err)
	f.Add(whole.bytes())
	f.Add([]byte(`{"schema":"tankodds/evidence/1","version":"0","inputs":{},"results":{}}`))
	f.Add([]byte(`{"a":[1,"\u00e9",null,true,{"b":-0.5e3}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		if doc, err := parseTree(b); err == nil {
			again, err := parseTree(doc.bytes())
			require.NoError(t, err)
			require.Equal(t, doc, again)
		}
		e, err := ReadEvidence("fuzz.json", b)
		if err != nil {
			require.NotContains(t, strings.TrimSpace(oneLine(err.Error())), "\n")
			return
		}
		require.NoError(t, e.Study.Check())
		again, err := treeOf(e.Inputs)
		require.NoError(t, err)
		require.NotNil(t, again)
	})
}
