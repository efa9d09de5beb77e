package report

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/codec"
	"tankodds/report/words"
	"tankodds/sim"
)

// A key is a promise: whoever reads it must find the same number there
// tomorrow. The golden holds every key of what is printed as JSON or kept as
// evidence, and its unit; each has a meaning.
func TestKeys(t *testing.T) {
	var all []string
	for _, d := range append(Documents(),
		Document{Schema: EvidenceSchema, Keys: codec.Dictionary(resultsDoc{})},
		Document{Schema: "daily.csv", Keys: codec.Dictionary(sim.Day{})}) {
		for _, e := range d.Keys {
			assert.NotEmpty(t, e.Doc, "%s %s has no meaning", d.Schema, e.Path)
			all = append(all, strings.TrimSpace(strings.Join([]string{d.Schema, e.Path, e.Unit, e.Like}, " ")))
		}
	}
	const golden = "testdata/keys.txt"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(strings.Join(all, "\n")+"\n"), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	require.Greater(t, len(all), 400)
	assert.Equal(t, strings.Split(strings.TrimSpace(string(want)), "\n"), all)
}

// Every number of a size object can be found as it is read by others: under
// its key in the JSON and in its column of the table.
func TestSizeAsOthersReadIt(t *testing.T) {
	z := smallSizing(t)
	z.Result.Answers[1].Grade = sim.Indicated // each has its own
	text, err := z.JSON()
	require.NoError(t, err)
	var doc struct {
		Schema  string
		Answer  struct{ Reason string }
		Answers []struct{ Reason string }
		Cells   []struct {
			Tank   float64 `json:"tank_l"`
			Annual struct{ Estimate, Low, High float64 }
		}
		Stop struct{ Detail string }
	}
	require.NoError(t, json.Unmarshal(text, &doc))
	assert.Equal(t, SizeSchema, doc.Schema)
	assert.Equal(t, words.Reason(z.Result.Main), doc.Answer.Reason)
	require.Len(t, doc.Answers, len(z.Result.Answers))
	for i, a := range z.Result.Answers {
		assert.Equal(t, words.Reason(a), doc.Answers[i].Reason)
	}
	assert.Equal(t, words.Method(z.Result.Stop.Method, z.Result.Study), doc.Stop.Detail)
	table, err := z.CurvesCSV()
	require.NoError(t, err)
	rows := strings.Split(strings.TrimSpace(string(table)), "\n")
	require.Len(t, rows, 1+len(z.Result.Cells))
	require.Len(t, doc.Cells, len(z.Result.Cells))
	header := strings.Split(rows[0], ",")
	for i, c := range doc.Cells {
		assert.Equal(t, sim.Interval(c.Annual), z.Result.Cells[i].Annual)
		cells := strings.Split(rows[1+i], ",")
		for name, x := range map[string]float64{"tank_l": c.Tank, "annual": c.Annual.Estimate, "annual_low": c.Annual.Low, "annual_high": c.Annual.High} {
			assert.Equal(t, codec.Exact(x), cells[slices.Index(header, name)], name)
		}
	}
}
