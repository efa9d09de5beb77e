package report

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rechecked lays a file's bytes beside a sizing.
func rechecked(t *testing.T, b []byte, z *Sizing) *Recheck {
	t.Helper()
	e, err := ReadEvidence("e.json", b)
	require.NoError(t, err)
	c, err := NewRecheck("e.json", e, z, RecordSame, RecordInput{File: "invented.csv", SHA256: z.Record.SHA256})
	require.NoError(t, err)
	return c
}

func TestRecheckAgreesWithItself(t *testing.T) {
	z := smallSizing(t)
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	c := rechecked(t, b, z)
	assert.True(t, c.Agrees())
	assert.Zero(t, c.inexact())
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
	c.Text(&b, all)
	return b.String()
}

// Any single value altered in the file is caught, a number by a hundred
// millionth already.
func TestRecheckCatchesEachValue(t *testing.T) {
	z := smallSizing(t)
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	c := rechecked(t, b, z)
	altered := func(n *node) *node {
		switch n.kind {
		case jsonNull:
			return &node{kind: jsonNumber, text: "0"}
		case jsonTruth:
			return &node{kind: jsonTruth, text: map[string]string{"true": "false", "false": "true"}[n.text]}
		case jsonText:
			return &node{kind: jsonText, text: n.text + "."}
		}
		x, err := strconv.ParseFloat(n.text, 64)
		require.NoError(t, err)
		if x == 0 {
			x = 1e-8
		}
		return &node{kind: jsonNumber, text: strconv.FormatFloat(x*(1+1e-8), 'g', -1, 64)}
	}
	for i := range c.Rows {
		r := Rechecked{file: altered(c.Rows[i].file), again: c.Rows[i].again}
		r.judge()
		assert.Equal(t, differs, r.status, "%s: %s", c.Rows[i].Path, c.Rows[i].file.text)
	}
	// Through the file: one figure in the middle of the curve.
	cell := c.Evidence.values.at("curve").item(30).at("annual")
	cell.items[0] = altered(cell.items[0])
	again, err := NewRecheck("e.json", c.Evidence, z, RecordSame, c.Found)
	require.NoError(t, err)
	require.Equal(t, 1, again.count(differs))
	assert.False(t, again.Agrees())
	for _, r := range again.Rows {
		assert.Equal(t, r.status == differs, r.Path == "results.curve[30].annual.estimate")
	}
}

// A value taken out or put in is a difference, but for one that a newer
// version added.
func TestRecheckMissingAndAdded(t *testing.T) {
	z := smallSizing(t)
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	less := strings.Replace(string(b), "\"usable_years\": ", "\"unstable_years\": ", 1)
	c := rechecked(t, []byte(less), z)
	assert.Equal(t, 2, c.count(differs))

	z.Version = "0-old"
	old, err := z.EvidenceJSON()
	require.NoError(t, err)
	z.Version = "0"
	older := strings.Replace(string(old), "\"usable_years\": ", "\"unstable_years\": ", 1)
	c = rechecked(t, []byte(older), z)
	assert.Equal(t, 1, c.count(differs))
	assert.Equal(t, 1, c.count(added))
	assert.False(t, c.Agrees())

	c = rechecked(t, old, z)
	assert.True(t, c.Agrees())
	assert.Contains(t, shown(c, false), "0; 0-old wrote the evidence. Both come to the same.")

	// Another version's words may differ without its numbers; said, not excused.
	c = rechecked(t, []byte(strings.Replace(string(old), "a short day", "a dry day", 1)), z)
	assert.False(t, c.Agrees())
	assert.Contains(t, strings.Join(strings.Fields(shown(c, false)), " "), "1 differing value is words, which another version may put otherwise.")

	// A version altered by itself stands against the words that name it.
	c = rechecked(t, []byte(strings.Replace(string(b), "\"version\": \"0\"", "\"version\": \"9\"", 1)), z)
	assert.False(t, c.Agrees())
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
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	names := map[string]string{}
	for _, r := range rechecked(t, b, z).Rows {
		names[r.Path] = r.Name
	}
	for path, want := range map[string]string{
		"results.answer.tank_l":                       "answer · tank, L",
		"results.answer.safe_tank_l":                  "answer · safe tank, L",
		"results.cells[0][1].annual.low":              "cells · roof 40 m², tank 5000 L · annual · low",
		"results.cells[1][2].monte_carlo.volume.high": "cells · roof 60 m², tank 15000 L · monte carlo · volume · high",
		"results.stops[0].low_l":                      "stops · net present value · low, L",
		"results.season.median_l[364]":                "season · median, L · day 365",
		"results.real_years[3].short_days":            "real years · 2004 · short days",
		"results.record.monthly_mean_mm[1]":           "record · monthly mean, mm · February",
		"results.outlook.high_years":                  "outlook · high years",
		"results.words[1].text":                       "words · Size · text",
		"results.answer_by_roof[0].cell.annual.high":  "answer by roof · roof 40 m² · cell · annual · high",
	} {
		assert.Equal(t, want, names[path], path)
	}
}

func TestRecheckText(t *testing.T) {
	z := smallSizing(t)
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	text := strings.Replace(string(b), "\"trace_days\": 0", "\"trace_days\": 12", 1)
	text = strings.Replace(text, "no short", "no dry", 1)
	text = strings.Replace(text, "\"label\": \"Size\",\n    \"text\": \"", "\"label\": \"Size\",\n    \"text\": \"About ", 1)
	c := rechecked(t, []byte(text), z)
	for _, all := range []bool{false, true} {
		out := shown(c, all)
		for line := range strings.Lines(out) {
			assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), 80, line)
		}
		assert.Contains(t, out, "record · trace days")
		assert.Equal(t, all, strings.Contains(out, "agrees\n"))
	}
	assert.Contains(t, shown(c, false), "value                                          in the file            run again\n"+strings.Repeat("-", 79)+"\n")
	assert.Contains(t, shown(c, false), "record · trace days                                     12                    0\n")
	assert.Contains(t, shown(c, false), "words · Size · text\n  in the file About ")

	// Another record changes nearly everything: the list is cut, and says so.
	seen := *c
	seen.Record = RecordChanged
	for i := range seen.Rows {
		seen.Rows[i].status = differs
	}
	out := shown(&seen, false)
	assert.Contains(t, out, ", but the record was changed.")
	assert.Contains(t, out, " differing values more; --all lists every value.")
	assert.Less(t, strings.Count(out, "\n"), 100)
}

func TestRecheckJSON(t *testing.T) {
	z := smallSizing(t)
	b, err := z.EvidenceJSON()
	require.NoError(t, err)
	c := rechecked(t, []byte(strings.Replace(string(b), "\"trace_days\": 0", "\"trace_days\": 12", 1)), z)
	out, err := c.JSON(false)
	require.NoError(t, err)
	var got struct {
		Schema         string
		Agrees         bool
		Values, Differ int
		Rows           []struct {
			Path, Name, Result string
			File               float64
			Again              float64 `json:"run_again"`
		}
	}
	require.NoError(t, json.Unmarshal(out, &got))
	assert.Equal(t, RecheckSchema, got.Schema)
	assert.False(t, got.Agrees)
	assert.Equal(t, 1, got.Differ)
	require.Len(t, got.Rows, 1)
	assert.Equal(t, "results.record.trace_days", got.Rows[0].Path)
	assert.Equal(t, 12.0, got.Rows[0].File)
	assert.Zero(t, got.Rows[0].Again)
	out, err = c.JSON(true)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(out, new(any)))
	assert.Equal(t, got.Values, strings.Count(string(out), "\"path\": "))
}
