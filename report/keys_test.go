package report

import (
	"encoding"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/codec"
	"tankodds/report/words"
	"tankodds/sim"
)

var updateKeys = flag.Bool("keys", false, "write the golden list of keys anew")

// documents are all that is printed as JSON or kept as evidence.
var documents = []any{sizeDoc{}, replayDoc{}, synthDoc{}, backtestDoc{}, recordDoc{}, Recheck{}, resultsDoc{}, sim.Day{}}

// fieldKeys lists the key of every field of a type and of those in it, a line
// each, and says which fields have none.
func fieldKeys(t *testing.T, typ reflect.Type, lines map[string]bool) {
	for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice || typ.Kind() == reflect.Array {
		typ = typ.Elem()
	}
	text := reflect.TypeFor[encoding.TextMarshaler]()
	if typ.Kind() != reflect.Struct || typ.Implements(text) || typ == reflect.TypeFor[codec.Node]() {
		return
	}
	for i := range typ.NumField() {
		f := typ.Field(i)
		key, tagged := f.Tag.Lookup("key")
		switch {
		case key == "-" || !f.IsExported() && !f.Anonymous:
			continue
		case tagged:
			if f.Tag.Get("doc") == "" {
				t.Errorf("%v.%s has no meaning", typ, f.Name)
			}
			line := fmt.Sprintf("%s.%s %s", typ.Name(), f.Name, key)
			if lines[line] {
				continue
			}
			lines[line] = true
		case !f.Anonymous:
			t.Errorf("%v.%s has no key", typ, f.Name)
		}
		fieldKeys(t, f.Type, lines)
	}
}

// A key is a promise: whoever reads it must find the same number there
// tomorrow. The golden holds every field with its key.
func TestKeys(t *testing.T) {
	lines := map[string]bool{}
	for _, d := range documents {
		fieldKeys(t, reflect.TypeOf(d), lines)
	}
	var all []string
	for l := range lines {
		all = append(all, l)
	}
	slices.Sort(all)
	const golden = "testdata/keys.txt"
	if *updateKeys {
		require.NoError(t, os.WriteFile(golden, []byte(strings.Join(all, "\n")+"\n"), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	require.Greater(t, len(all), 200)
	assert.Equal(t, strings.Split(strings.TrimSpace(string(want)), "\n"), all)
}

// Every number of a size object can be found as it is read by others: under
// its key in the JSON and in its column of the table.
func TestSizeAsOthersReadIt(t *testing.T) {
	z := smallSizing(t)
	z.Result.Answers[1].Why = sim.SpellsTooLong // each has its own
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
	assert.Equal(t, words.Method(z.Result.Stops[0].Method, z.Result.Study), doc.Stop.Detail)
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
