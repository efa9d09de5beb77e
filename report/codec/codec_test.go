package codec

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type word uint8

func (w word) MarshalText() ([]byte, error) { return []byte([]string{"one", "two"}[w]), nil }
func (w *word) UnmarshalText(b []byte) error {
	*w = word(strings.Index("one two", string(b)) / 4)
	return nil
}

type inner struct {
	Estimate float64 `key:"estimate" doc:"the estimate"`
	Low      float64 `key:"low"`
}

type Common struct {
	Name string `key:"name" doc:"what it is called"`
}

// days is what is written as a list of words.
type days [2]bool

func (d days) Texts() []string {
	var out []string
	for i, name := range []string{"Sat", "Sun"} {
		if d[i] {
			out = append(out, name)
		}
	}
	return out
}

func (d *days) SetTexts(names []string) error {
	*d = days{}
	for _, name := range names {
		i := slices.Index([]string{"Sat", "Sun"}, name)
		if i < 0 {
			return errors.New("no such day")
		}
		d[i] = true
	}
	return nil
}

type Hidden struct {
	Name string `key:"name" doc:"hidden by the one before"`
	Off  int    `key:"dry_years" doc:"hidden by the outer one"`
}

type outer struct {
	Common
	Hidden
	Tank   float64    `key:"tank_l" doc:"nominal size"`
	Share  inner      `key:"annual"`
	Noise  inner      `key:"noise,tree"`
	Month  time.Month `key:"month"`
	Starts time.Month `key:"start_month,number"`
	Word   word       `key:"word"`
	Days   days       `key:"days"`
	Good   bool       `key:"good,omitempty"`
	Seed   uint64     `key:"seed"`
	Count  int        `key:"dry_years"`
	Lines  []float64  `key:"lines_l"`
	Year   [3]float64 `key:"year_mm"`
	More   *inner     `key:"more"`
	All    []inner    `key:"all"`
	Work   func()     `key:"work"`
	Off    int        `key:"-"`
	Plain  string
}

func sample() outer {
	return outer{
		Common: Common{"a \"b\""}, Tank: 1e6, Share: inner{0.5, 1e-9}, Month: time.May, Starts: time.June, Word: 1, Days: days{false, true}, Good: true,
		Seed: math.MaxUint64, Count: -3, Lines: []float64{1, math.NaN(), 3}, More: &inner{1, 2}, All: []inner{{3, 4}}, Plain: "é",
	}
}

// What is encoded comes back as it was, and once more encoded is the same.
func TestThereAndBack(t *testing.T) {
	for _, v := range []outer{sample(), {}} {
		n := Encode(v)
		read, err := Parse(n.Bytes())
		require.NoError(t, err)
		line, err := Parse(n.Line())
		require.NoError(t, err)
		assert.Equal(t, read, line)
		var back outer
		require.NoError(t, Decode(read, &back))
		assert.Equal(t, string(n.Bytes()), string(Encode(back).Bytes()))
		for i, x := range v.Lines { // NaN is not equal to itself
			if math.IsNaN(x) {
				assert.True(t, math.IsNaN(back.Lines[i]))
				v.Lines[i], back.Lines[i] = 0, 0
			}
		}
		assert.Equal(t, v, back)
	}
}

func TestKeys(t *testing.T) {
	assert.Equal(t, `{"name":"a \"b\"","tank_l":1000000,"annual":{"estimate":0.5,"low":1e-09},"noise":{"estimate":0,"low":0},`+
		`"month":"May","start_month":6,"word":"two","days":["Sun"],"good":true,"seed":18446744073709551615,"dry_years":-3,"lines_l":[1,null,3],`+
		`"year_mm":[0,0,0],"more":{"estimate":1,"low":2},"all":[{"estimate":3,"low":4}],"plain":"é"}`+"\n", string(Encode(sample()).Line()))
	assert.Equal(t, `[null,null,[]]`+"\n", string(Encode([]any{time.Month(0), (*inner)(nil), []int(nil)}).Line()))
}

// A value that is not what its field is, is told with its path.
func TestDecodeRefuses(t *testing.T) {
	for text, says := range map[string]string{
		`{"tank_l": "x"}`:            `tank_l is "x", and not a number`,
		`{"tank_l": true}`:           `tank_l is true, and not a number`,
		`{"name": 3}`:                `name is 3, and not a text in quotation marks`,
		`{"annual": 3}`:              `annual is 3, and not keys and values in braces`,
		`{"all": [{}, {"low": []}]}`: `all[1].low is a list, and not a number`,
		`{"month": "Mai"}`:           `month is "Mai", and not the name of a month, as in "April"`,
		`{"month": 5}`:               `month is 5, and not the name of a month, as in "April"`,
		`{"days": ["Mon"]}`:          `days: no such day`,
		`{"days": [1]}`:              `days[0] is 1, and not a text in quotation marks`,
		`{"word": 5}`:                `word is 5, and not a text in quotation marks`,
		`{"good": "true"}`:           `good is "true", and not true or false`,
		`{"seed": -1}`:               `seed is -1, and not a whole number of 0 or more`,
		`{"dry_years": 1.5}`:         `dry_years is 1.5, and not a whole number in digits`,
		`{"year_mm": [1]}`:           `year_mm is a list of 1, and not a list of 3`,
		`{"lines_l": {}}`:            `lines_l is an object, and not a list in square brackets`,
	} {
		n, err := Parse([]byte(text))
		require.NoError(t, err)
		var v outer
		assert.EqualError(t, Decode(n, &v), says, text)
	}
}

func TestRows(t *testing.T) {
	b, err := Rows([]outer{sample(), {Common: Common{"=1+1"}, Tank: math.NaN()}})
	require.NoError(t, err)
	assert.Equal(t, "name,tank_l,annual,annual_low,month,start_month,word,good,seed,dry_years,more,plain\n"+
		"\"a \"\"b\"\"\",1000000,0.5,1e-09,May,6,two,true,18446744073709551615,-3,,é\n"+
		"'=1+1,,0,0,,0,one,false,0,0,,\n", string(b))
}

func TestDictionary(t *testing.T) {
	said := ""
	for _, e := range Dictionary(outer{}) {
		said += fmt.Sprintf("%s|%s|%s|%s\n", e.Path, e.Unit, e.Doc, e.Like)
	}
	assert.Equal(t, `name||what it is called|
tank_l|L|nominal size|
annual|||
annual.estimate||the estimate|
annual.low|||
noise|||annual
month|||
start_month|||
word|||
days|||
good|||
seed|||
dry_years|years||
lines_l|L||
year_mm|mm||
more|||annual
all|||annual
plain|||
`, said)
}
