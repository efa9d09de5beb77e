package report

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/codec"
)

// writtenNames are the files that the tests say were written with evidence.
var writtenNames = []string{"curves.csv", "report.html"}

// evidenceText is evidence that lists them.
func evidenceText(t testing.TB, z *Sizing) string {
	t.Helper()
	var files []FileDigest
	for i, name := range writtenNames {
		files = append(files, FileDigest{name, strings.Repeat(fmt.Sprint(i), 64)})
	}
	return string(z.EvidenceJSON(files...))
}

// rechecked lays a file's bytes beside a sizing; the files that it lists are
// there as they were.
func rechecked(t *testing.T, text string, z *Sizing) *Recheck {
	t.Helper()
	e, err := ReadEvidence("e.json", []byte(text))
	require.NoError(t, err)
	beside := Beside{Record: RecordFound{State: Same, File: "invented.csv", SHA256: z.Record.SHA256}, Written: writtenNames}
	for _, f := range e.FilesToCheck(writtenNames) {
		beside.Files = append(beside.Files, FileCheck{Name: f.Name, State: Same, Found: f.SHA256, Wanted: f.SHA256})
	}
	return NewRecheck("e.json", e, z, beside)
}

// reasons are those of a recheck, a line each.
func reasons(c *Recheck) string {
	var out []string
	for _, r := range c.Reasons {
		out = append(out, r.Text)
	}
	return strings.Join(out, "\n")
}

// redigested gives an altered text the digest that it comes to.
func redigested(t *testing.T, text string) string {
	t.Helper()
	doc, err := codec.Parse([]byte(text))
	require.NoError(t, err)
	doc.At("digest").Text = digestOf(doc)
	return string(doc.Bytes())
}

func TestRecheckAgreesWithItself(t *testing.T) {
	z := smallSizing(t)
	c := rechecked(t, evidenceText(t, z), z)
	assert.Empty(t, reasons(c))
	assert.True(t, c.Agrees)
	assert.Zero(t, c.Inexact)
	assert.Equal(t, "e.json: "+c.summary()+".", strings.SplitN(shown(c, false), "\n", 2)[0])
	names := map[string]bool{}
	for _, r := range c.Rows {
		assert.False(t, names[r.Path], r.Path)
		names[r.Path] = true
		assert.NotEmpty(t, r.Name)
	}
}

func shown(c *Recheck, all bool) string {
	var b bytes.Buffer
	c.Sheet(all).Text(&b)
	return b.String()
}

// Any single value altered in the file is caught, a number by a hundred
// millionth already.
func TestRecheckCatchesEachValue(t *testing.T) {
	z := smallSizing(t)
	c := rechecked(t, evidenceText(t, z), z)
	altered := func(n *codec.Node) *codec.Node {
		switch n.Kind {
		case codec.Null:
			return &codec.Node{Kind: codec.Number, Text: "0"}
		case codec.Truth:
			return &codec.Node{Kind: codec.Truth, Text: map[string]string{"true": "false", "false": "true"}[n.Text]}
		case codec.Text:
			return &codec.Node{Kind: codec.Text, Text: n.Text + "."}
		}
		x, err := strconv.ParseFloat(n.Text, 64)
		require.NoError(t, err)
		if math.Abs(x) < 0.01 { // where the absolute tolerance counts
			x += 1e-8
		}
		return &codec.Node{Kind: codec.Number, Text: strconv.FormatFloat(x*(1+1e-8), 'g', -1, 64)}
	}
	for i := range c.Rows {
		r := Rechecked{File: altered(c.Rows[i].File), Again: c.Rows[i].Again}
		r.judge()
		assert.Equal(t, differs, r.Status, "%s: %s", c.Rows[i].Path, c.Rows[i].File.Text)
	}
	// Through the file: one figure in the middle of the curve.
	cell := c.Evidence.values.At("curve").Item(30).At("annual")
	cell.Items[0] = altered(cell.Items[0])
	again := NewRecheck("e.json", c.Evidence, z, c.Beside)
	require.Equal(t, 1, again.Differ)
	assert.False(t, again.Agrees)
	for _, r := range again.Rows {
		assert.Equal(t, r.Status == differs, r.Path == "results.curve[30].annual.estimate")
	}
}

// A value taken out or put in is not confirmed, whichever version wrote it:
// once, all values deleted and another version's name passed as "0 of 0 agree".
func TestRecheckMissingExtraAndVersion(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	text := evidenceText(t, z)
	const altered = "\nits inputs and results were altered after they were written: their SHA-256 is "
	replaced := func(from, to string) string {
		require.Contains(t, text, from)
		return strings.Replace(text, from, to, 1)
	}
	look := func(c *Recheck, miss, more, differ int, why string) {
		t.Helper()
		assert.Equal(t, []int{miss, more, differ}, []int{c.Missing, c.Extra, c.Differ})
		assert.False(t, c.Agrees)
		assert.Contains(t, reasons(c), why)
	}
	c := rechecked(t, replaced("\"usable_years\": ", "\"unstable_years\": "), z)
	look(c, 1, 1, 0, "1 value is missing from it\n1 value is in it that its inputs do not come to"+altered)
	look(rechecked(t, replaced("\"trace_days\": 0,", ""), z), 1, 0, 0, "1 value is missing from it"+altered)
	for _, more := range []string{"1", "[]", "{}", "[[]]"} {
		look(rechecked(t, replaced("\"trace_days\": 0,", "\"trace_days\": 0, \"more\": "+more+","), z), 0, 1, 0, "1 value is in it that its inputs do not come to"+altered)
	}
	emptied := text[:strings.Index(text, " \"results\": {")+12] + "{}" + text[strings.Index(text, ",\n \"digest\""):]
	c = rechecked(t, emptied, z)
	all := len(c.Rows)
	require.Greater(t, all, 4000)
	look(c, all, 0, 0, "values are missing from it\nno value of it agrees"+altered)
	look(rechecked(t, redigested(t, emptied), z), all, 0, 0, "values are missing from it\nno value of it agrees")
	assert.Contains(t, shown(c, false), "not confirmed; ")
	forged := redigested(t, strings.ReplaceAll(emptied, "\"version\": \"0\"", "\"version\": \"9\""))
	c = rechecked(t, forged, z)
	look(c, all, 0, 0, "9 wrote it; 0 cannot confirm what another version wrote\n")
	assert.Contains(t, shown(c, false), "not confirmed; 0 of ")

	// Another version that comes to the same values says so, and is not confirmed.
	z.Version = "0-old"
	old := evidenceText(t, z)
	z.Version = "0"
	c = rechecked(t, old, z)
	look(c, 0, 0, 0, "0-old wrote it; 0 cannot confirm what another version wrote")
	assert.Len(t, c.Reasons, 1)
	assert.Equal(t, len(c.Rows), c.Agree)
	assert.Contains(t, shown(c, false), "0; 0-old wrote the evidence.")
	c = rechecked(t, strings.Replace(old, "a short day", "a dry day", 1), z)
	assert.Contains(t, strings.Join(strings.Fields(shown(c, false)), " "), "1 differing value is words, which another version may put otherwise.")

	// A version altered by itself stands against its digest and the words that name it.
	c = rechecked(t, replaced("\"version\": \"0\"", "\"version\": \"9\""), z)
	assert.Contains(t, reasons(c), "9 wrote it")
	assert.Contains(t, reasons(c), altered)
	assert.NotZero(t, c.Differ)
}

// What a terminal would obey is not printed.
func TestRecheckPrintsNoControls(t *testing.T) {
	z := smallSizing(t)
	text := strings.Replace(evidenceText(t, z), "\"version\": \"0\"", `"version": "\u001b[31m9\u202e\u0007"`, 1)
	text = strings.Replace(text, "\"trace_days\": 0,", `"trace_days": 0, "\u001b[2J": "\u009b1m",`, 1)
	c := rechecked(t, text, z)
	for _, s := range []string{shown(c, false), shown(c, true), reasons(c)} {
		for _, r := range s {
			assert.True(t, r == '\n' || unicode.IsGraphic(r), "%U", r)
		}
	}
	assert.Contains(t, reasons(c), `\u001b[31m9\u202e\u0007 wrote it`)
}

func TestNear(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"1", "1", true}, {"1", "1.0000000009", true}, {"1", "1.0000000011", false},
		{"-1", "1", false}, {"12345678.9", "12345678.901", true}, {"12345678.9", "12345678.92", false},
		{"0", "5e-13", true}, {"0", "2e-12", false}, {"0", "-0", true},
		{"18446744073709551615", "18446744073709551615", true},
	} {
		assert.Equal(t, c.want, near(c.a, c.b), "%s %s", c.a, c.b)
	}
}

func TestRecheckNames(t *testing.T) {
	z := smallSizing(t)
	names := map[string]string{}
	for _, r := range rechecked(t, evidenceText(t, z), z).Rows {
		names[r.Path] = r.Name
	}
	for path, want := range map[string]string{
		"results.answer.tank_l":                        "answer · tank, L",
		"results.answer.safe_tank_l":                   "answer · safe tank, L",
		"results.cells[1].annual.low":                  "cells · roof 40 m², tank 5000 L · annual · low",
		"results.cells[5].monte_carlo.volumetric.high": "cells · roof 60 m², tank 15000 L · monte carlo · volumetric · high",
		"results.stop.low_l":                           "stop · low, L",
		"results.season.median_l[364]":                 "season · median, L · day 365",
		"results.real_years[3].short_days":             "real years · 2004 · short days",
		"results.record.monthly_mean_mm[1]":            "record · monthly mean, mm · February",
		"results.outlook.high":                         "outlook · high",
		"results.sheet.answer[0]":                      "sheet · answer · no. 1",
		"results.answers[0].cell.annual.high":          "answers · roof 40 m² · cell · annual · high",
	} {
		assert.Equal(t, want, names[path], path)
	}
}

func TestRecheckText(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	text := strings.Replace(evidenceText(t, z), "\"trace_days\": 0", "\"trace_days\": 12", 1)
	text = strings.Replace(text, "no short", "no dry", 1)
	c := rechecked(t, text, z)
	for _, all := range []bool{false, true} {
		out := shown(c, all)
		for line := range strings.Lines(out) {
			assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), 80, line)
		}
		assert.Contains(t, out, "record · trace days")
		assert.Equal(t, all, strings.Contains(out, "agrees\n"))
	}
	assert.Contains(t, shown(c, false), "\nValue ")
	assert.Regexp(t, `\nrecord · trace days +12 +0\n`, shown(c, false))
	assert.Contains(t, shown(c, false), " · text\n  in the file  A day is short ")

	// Another record changes nearly everything: the list is cut, and says so.
	seen := *c
	seen.Record.State = Changed
	for i := range seen.Rows {
		seen.Rows[i].Status = differs
	}
	seen.judge()
	out := shown(&seen, false)
	assert.Contains(t, out, "not confirmed; 0 of ")
	assert.Contains(t, out, "Because   the record was changed since: invented.csv is not the file that the\n")
	assert.Contains(t, out, " differing values more; --all lists every value.")
	assert.Less(t, strings.Count(out, "\n"), 100)
}

func TestRecheckJSON(t *testing.T) {
	z := smallSizing(t)
	c := rechecked(t, strings.Replace(evidenceText(t, z), "\"trace_days\": 0", "\"trace_days\": 12", 1), z)
	c.Files[1].State, c.Files[1].Found = Changed, "f"
	c.judge()
	n, err := codec.Parse(c.JSON(false))
	require.NoError(t, err)
	var got Recheck
	require.NoError(t, codec.Decode(n.Without("reasons"), &got))
	assert.Equal(t, RecheckSchema, got.Schema)
	assert.False(t, got.Agrees)
	var why []string
	require.NoError(t, codec.Decode(n.At("reasons"), &why))
	assert.Equal(t, strings.Split(reasons(c), "\n"), why)
	assert.Len(t, why, 3) // the value, the digest, the file
	assert.Equal(t, []int{len(c.Rows), len(c.Rows) - 1, 1, 0, 0}, []int{got.Values, got.Agree, got.Differ, got.Missing, got.Extra})
	assert.Equal(t, []int{2, 1}, []int{got.Expected, got.Same})
	assert.Equal(t, []FileCheck{{Name: "curves.csv", State: Same, Found: strings.Repeat("0", 64), Wanted: strings.Repeat("0", 64)},
		{Name: "report.html", State: Changed, Found: "f", Wanted: strings.Repeat("1", 64)}}, got.Files)
	assert.Equal(t, c.Evidence.Digest, got.Digest)
	require.Len(t, got.Rows, 1)
	assert.Equal(t, "results.record.trace_days", got.Rows[0].Path)
	assert.Equal(t, differs, got.Rows[0].Status)
	assert.Equal(t, "12", got.Rows[0].File.Text)
	assert.Equal(t, "0", got.Rows[0].Again.Text)
	assert.Equal(t, got.Values, strings.Count(string(c.JSON(true)), "\"path\": "))
}
