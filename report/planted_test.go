package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/sim"
)

// A row of a part says which record it is of, or is none.
func TestRowAt(t *testing.T) {
	at, ok := rowAt([]byte(`{"at":17,"station":{}}`))
	assert.Equal(t, 17, at)
	assert.True(t, ok)
	for _, bad := range []string{"", `{"at":`, `{"at":17`, `{"at":17}`, `{"at":x,}`, `{"of":17,}`} {
		_, ok := rowAt([]byte(bad))
		assert.False(t, ok, bad)
	}
}

// A bound is told more closely only where it misses the target and would read like it.
func TestMeasureCells(t *testing.T) {
	b := &sheetMaker{u: units.SI, s: &sim.Study{Target: 0.9, Measure: sim.Annual}}
	cells := func(estimate, low float64) []string {
		return b.measureCells(sim.Cell{Measures: sim.Measures{Annual: sim.Interval{Estimate: estimate, Low: low, High: 0.99}}})[:2]
	}
	assert.Equal(t, []string{"95.0", "90.0–99.0"}, cells(0.95, 0.9001))
	assert.Equal(t, []string{"95.0", "89.99–99.0"}, cells(0.95, 0.8999))
	assert.Equal(t, []string{"89.99", "80.0–99.0"}, cells(0.8999, 0.8))
	assert.Equal(t, []string{"90.0", "80.0–99.0"}, cells(0.9001, 0.8))
}

// A member of a list is called by what it holds, where that is a text or a number.
func TestToldBy(t *testing.T) {
	of := func(text string) *codec.Node {
		n, err := codec.Parse([]byte(text))
		assert.NoError(t, err)
		return n
	}
	key, other := tells[0].key, tells[0].before
	assert.Contains(t, toldBy(of(`{"`+key+`": "abc"}`)), other+"abc")
	assert.Contains(t, toldBy(of(`{"`+key+`": 12}`)), other+"12")
	for _, none := range []string{`{}`, `{"` + key + `": {}}`, `{"` + key + `": []}`, `{"` + key + `": ""}`} {
		assert.Empty(t, toldBy(of(none)), none)
	}
}

// The years hardest on a tank begin with the one that the figure of its year shows:
// where no day was short, the one in which it fell lowest.
func TestHardestYears(t *testing.T) {
	b := &sheetMaker{r: &sim.Result{Real: []sim.RealYear{
		{Label: 1, Rain: 400, LowestStorage: 900}, {Label: 2, Rain: 700, LowestStorage: 100}, {Label: 3, Rain: 800, ShortDays: 1}, {Label: 4, Rain: 300, LowestStorage: 900},
	}}}
	var order []int
	for _, y := range b.hardest(3) {
		order = append(order, y.Label)
	}
	assert.Equal(t, []int{3, 2, 4}, order)
}
