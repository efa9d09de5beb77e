package page

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// longSite has a record that is long enough for a size.
var longSite = strings.Replace(aSite, "gauge.csv", "long.dly.gz", 1)

// last is the last line of an answer, its parts in place.
func last(t *testing.T, text string, into any) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	var e event
	require.NoError(t, json.Unmarshal([]byte(lines[len(lines)-1]), &e), text)
	require.Nil(t, e.Problem, text)
	require.NotNil(t, e.Answer, text)
	require.NoError(t, json.Unmarshal(e.Answer, into))
}

// The whole flow of an answer: of few years at once, whole with how far it is, known
// the second time, each size with what the next would change, and its year.
func TestAnAnswerFromFirstToLast(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	priced := strings.Replace(longSite, "target:", "tank: {prices: {1000 L: 500, 5000 L: 1500, 20000 L: 4000}, water_price: 3 per m3}\ntarget:", 1)
	ask := func(more map[string]any) answerOut {
		q := map[string]any{"site": priced}
		for k, v := range more {
			q[k] = v
		}
		code, text := do(t, "POST", url+"/answer", s.asked(q))
		require.Equal(t, 200, code, text)
		var out answerOut
		last(t, text, &out)
		return out
	}
	quick := ask(map[string]any{"quick": true, "site": longSite})
	assert.Empty(t, quick.Key)
	assert.Contains(t, quick.HTML, `id="fig-reliability"`)
	assert.NotContains(t, quick.HTML, `id="sizes"`)
	moved := ask(map[string]any{"quick": true, "roof": 300.0, "use": 60.0, "site": longSite})
	assert.Contains(t, moved.Site, "area: 300 m2")
	assert.Contains(t, moved.Site, "daily: 60 L")
	assert.Less(t, moved.Tank, quick.Tank, "a larger roof and a smaller use want no larger tank")

	whole := ask(nil)
	assert.Len(t, whole.Key, 64)
	assert.Equal(t, 200, whole.Years)
	assert.Contains(t, whole.HTML, `id="sizes"`)
	assert.Equal(t, "tankodds size site.yaml --out sheet", whole.Command)
	assert.Equal(t, whole.Key, ask(nil).Key, "it is known the second time")
	held, ok := s.answers.get(whole.Key)
	require.True(t, ok)
	assert.Nil(t, held.sizing.Result.Study.Progress, "nothing is told to a request that is over")
	assert.Nil(t, held.plan.Study.Progress)
	var at, first, lastOf *struct{ text string }
	for i, n := range whole.Sizes {
		text := strings.Join(n.Text, " ")
		assert.Contains(t, text, "A tank of "+n.Name+" gives ")
		if n.Tank == 5000 {
			at = &struct{ text string }{text}
		}
		if i == 0 {
			first = &struct{ text string }{text}
		}
		lastOf = &struct{ text string }{text}
	}
	require.NotNil(t, at)
	assert.Regexp(t, `It costs 1,500\. Over 25 years it is worth −?[\d,]+, what it saves less what it costs\. One size up, 20,000 L: [\d.]+ % of water wanted, [\d.]+ (fewer short days|more short days)|as many short days, .* water a year, 2,500 more to pay\.`, at.text)
	assert.Contains(t, at.text, "One size down, 1,000 L: ")
	assert.Contains(t, at.text, "1,000 less to pay.")
	assert.NotContains(t, first.text, "One size down")
	assert.NotContains(t, lastOf.text, "One size up")

	for tank, want := range map[float64]string{5000: "The year of a tank of 5,000", 900000: "The year of a tank of 900"} {
		b, err := json.Marshal(map[string]any{"key": whole.Key, "tank_l": tank})
		require.NoError(t, err)
		code, text := do(t, "POST", url+"/year", b)
		require.Equal(t, 200, code, text)
		var year struct{ HTML string }
		require.NoError(t, json.Unmarshal([]byte(text), &year))
		assert.Contains(t, strings.ReplaceAll(year.HTML, "\u00a0", " "), want)
		assert.Contains(t, year.HTML, `id="fig-season"`)
		assert.Contains(t, strings.ReplaceAll(year.HTML, "\u00a0", " "), fmt.Sprintf("tankodds replay site.yaml --tank %gL", tank))
	}
	for _, q := range []string{`{"key":"nothing","tank_l":5000}`, `{"key":"` + whole.Key + `","tank_l":0}`, `{"key":"` + whole.Key + `","tank_l":1e20}`} {
		code, text := do(t, "POST", url+"/year", []byte(q))
		assert.Contains(t, []int{404, 422}, code, text)
	}
	code, _ := do(t, "GET", url+"/answer/"+whole.Key+"/nothing.csv", nil)
	assert.Equal(t, 404, code)
	code, text := do(t, "GET", url+"/answer/"+whole.Key+"/curves.csv", nil)
	assert.Equal(t, 200, code)
	assert.True(t, strings.HasPrefix(text, "roof_m2,tank_l,"), text[:80])
}

// Two versions of a site side by side, in words.
func TestTwoVersions(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	key := func(change ...string) string {
		code, text := do(t, "POST", url+"/answer", s.asked(map[string]any{"site": strings.NewReplacer(change...).Replace(longSite)}))
		require.Equal(t, 200, code, text)
		var out answerOut
		last(t, text, &out)
		return out.Key
	}
	was, short := key(), key("long.dly.gz", "gauge.csv")
	for _, c := range []struct {
		now  string
		want string
	}{
		{key("150 m2", "400 m2"), `The version now needs [\d,]+ L for 70 % of the water wanted, the version kept [\d,]+ L: [\d,]+ L smaller\. Both stand on the same record, so the difference comes from what was changed\.`},
		{key("120 L", "150 L"), `[\d,]+ L larger\.`},
		{key("0.7", "0.6"), `The version now needs [\d,]+ L for 60 % of the water wanted, the version kept [\d,]+ L for 70 % of the water wanted\.`},
		{key("150 m2", "5 m2"), `The version kept needs [\d,]+ L; of the version now no tank reaches the target\.`},
		{short, `A size is told of one version alone: the record of the other is too short\.`},
		{was, `Both versions need [\d,]+ L for 70 % of the water wanted\.`},
	} {
		b, err := json.Marshal(map[string]string{"kept": was, "now": c.now})
		require.NoError(t, err)
		code, text := do(t, "POST", url+"/difference", b)
		require.Equal(t, 200, code, text)
		var out struct{ HTML string }
		require.NoError(t, json.Unmarshal([]byte(text), &out))
		assert.Regexp(t, c.want, strings.ReplaceAll(out.HTML, "\u00a0", " "))
		assert.Contains(t, out.HTML, "Safe size")
	}
	code, text := do(t, "POST", url+"/difference", []byte(`{"kept":"`+was+`","now":"nothing"}`))
	assert.Equal(t, 404, code)
	assert.Contains(t, text, "no longer held")
}

// Several records side by side say what the command compare says, a bad one why it
// has no answer.
func TestCompareOnThePage(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	code, text := do(t, "POST", url+"/record?name=bad.csv", []byte("no,rain\n"))
	require.Equal(t, 200, code)
	var sum struct{ SHA256 string }
	require.NoError(t, json.Unmarshal([]byte(text), &sum))
	files := map[string]string{"bad.csv": sum.SHA256}
	for name, sum := range s.sums {
		files[name] = sum
	}
	ask := func(flags []string, records ...string) (int, string) {
		return do(t, "POST", url+"/compare", s.asked(map[string]any{"files": files, "records": records, "flags": flags}))
	}
	code, text = ask([]string{"--units=us", "--explain=true"}, "gauge.csv", "long.dly.gz", "bad.csv")
	require.Equal(t, 200, code, text)
	var out struct{ HTML, Command string }
	last(t, text, &out)
	assert.Equal(t, "tankodds compare site.yaml gauge.csv long.dly.gz bad.csv --units=us --out compared", out.Command, "what compare has no flag for is left out")
	plain := strings.ReplaceAll(out.HTML, "\u00a0", " ")
	assert.Contains(t, plain, `id="fig-compare"`)
	assert.Contains(t, plain, `id="fig-compare-ranked"`)
	assert.Contains(t, plain, "bad.csv")
	assert.Contains(t, plain, "gal")
	for want, records := range map[string][]string{
		"two to ten records":                  {"gauge.csv"},
		"is not among the files of this page": {"gauge.csv", "other.csv"},
	} {
		code, text := ask(nil, records...)
		assert.Equal(t, 422, code)
		assert.Contains(t, text, want)
	}
	code, text = ask(nil, slices.Repeat([]string{"bad.csv"}, 11)...)
	assert.Equal(t, 422, code)
	assert.Contains(t, text, "two to ten records")
	_, text = ask(nil, slices.Repeat([]string{"bad.csv"}, 10)...)
	assert.Contains(t, text, "none of these records could be answered for", "ten are")
	code, text = ask(nil, "bad.csv", "bad.csv")
	assert.Contains(t, text, "none of these records could be answered for", code)
	code, text = ask([]string{"--out=x"}, "gauge.csv", "long.dly.gz")
	assert.Equal(t, 422, code, text)
	files["gone.csv"] = strings.Repeat("0", 64)
	code, text = ask(nil, "gauge.csv", "gone.csv")
	assert.Equal(t, 409, code, text)
}

// What the page is told of a site: what stands there, what is wrong and at which
// field, what the record is, and the remedy as a field where the command's is a flag.
func TestWhatIsToldOfASite(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	tell := func(more map[string]any) siteOut {
		code, text := do(t, "POST", url+"/site", s.asked(more))
		require.Equal(t, 200, code, text)
		var out siteOut
		require.NoError(t, json.Unmarshal([]byte(text), &out))
		return out
	}
	out := tell(map[string]any{"record": true})
	assert.Empty(t, out.Problems)
	assert.Equal(t, []float64{150, 120}, []float64{out.Roof, out.Use})
	assert.Equal(t, []string{"gauge.csv"}, out.Records)
	assert.Equal(t, "tankodds record gauge.csv", out.Record.Command)
	assert.Contains(t, out.Record.Brief, `id="fig-record"`)
	assert.Contains(t, out.Record.HTML, "Plausibility")

	out = tell(map[string]any{"edits": []map[string]string{{"path": "roofs.0.area", "text": "150"}, {"path": "uses.0.daily", "text": "much"}}})
	require.Len(t, out.Problems, 2)
	assert.Equal(t, []string{"roofs.0.area", "uses.0.daily"}, []string{out.Problems[0].Path, out.Problems[1].Path})
	assert.Equal(t, "150", out.Values["roofs.0.area"].Text, "what was typed is not lost")

	out = tell(map[string]any{"site": "rain: {file: ../far/gauge.csv}\nroofs: [{area: 9 m2}]\nuses: [{daily: 9 L}]\n"})
	assert.Contains(t, out.Site, "file: gauge.csv", "the page's files have no folders")

	out = tell(map[string]any{"site": "name: x\n", "record": true})
	assert.Equal(t, "no record yet", out.Record.Problem.Text)
	require.NotEmpty(t, out.Problems)

	code, text := do(t, "POST", url+"/record?name=unit.csv", []byte("date,rain\n2001-01-01,0\n2001-01-02,1\n2001-01-03,2\n"))
	require.Equal(t, 200, code)
	var sum struct{ SHA256 string }
	require.NoError(t, json.Unmarshal([]byte(text), &sum))
	out = tell(map[string]any{"site": strings.Replace(aSite, "gauge.csv", "unit.csv", 1), "files": map[string]string{"unit.csv": sum.SHA256}, "record": true})
	require.NotNil(t, out.Record.Problem)
	assert.Equal(t, "rain.unit", out.Record.Problem.Path)
	assert.Contains(t, out.Record.Problem.Hint, "“Unit” mm")
	assert.NotContains(t, out.Record.Problem.Hint, "--")

	out = tell(map[string]any{"flags": []string{"--units=us"}})
	assert.Equal(t, "us", out.Units)
	assert.Equal(t, "1610 sqft", out.Values["roofs.0.area"].Shown)
	assert.Equal(t, "tankodds size site.yaml --units=us --out sheet", out.Command)
}
