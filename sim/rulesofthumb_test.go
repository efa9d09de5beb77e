package sim

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"tankodds/rainfall"
	"tankodds/testdata"
)

// TestEnHealthTable: 65 of the 70 printed cells are the table's own formula,
// rounded; the other five are misprints of the source (READ; the count COMP).
func TestEnHealthTable(t *testing.T) {
	type cell struct{ rain, roof string }
	var misprints []cell
	cells := 0
	for _, row := range testdata.Table(t, "enhealth-table-b1.csv") {
		for _, roof := range []string{"100", "150", "200", "250", "300", "400", "500"} {
			cells++
			yield := AnnualYield(plain(testdata.Number(t, roof), 0.8, 1), testdata.Number(t, row["rain"]), 24)
			if math.Round(yield/1000) != testdata.Number(t, row[roof]) {
				misprints = append(misprints, cell{row["rain"], roof})
			}
		}
	}
	assert.Equal(t, 70, cells)
	assert.Equal(t, []cell{
		{"200", "100"},  // 14.08, printed 13
		{"200", "200"},  // 28.16, printed 27
		{"200", "400"},  // 56.32, printed 53
		{"500", "500"},  // 190.4, printed 191
		{"1200", "400"}, // 376.32, printed 377
	}, misprints)
}

func TestHandbookYields(t *testing.T) {
	for _, row := range testdata.Table(t, "handbook-yields.csv") {
		f := func(head string) float64 { return testdata.Number(t, row[head]) }
		got := AnnualYield(plain(f("roof"), f("coefficient"), f("filter")), f("rain"), f("loss"))
		assert.InDelta(t, f("litres"), got, f("rounding"), row["source"])

		// the same through the daily balance, where a year's rain falls as 40 equal
		// days and the annual loss wets the roof on each of them
		r := plain(f("roof"), f("coefficient"), f("filter"))
		r[0].Wetting = f("loss") / 40
		q, rain := make([]int64, 365), make([]float64, 365)
		for k := range 40 {
			rain[9*k] = f("rain") / 40
		}
		Inflow(q, rain, r)
		assert.InDelta(t, got, total(litres(q)), 40*0.005, row["source"]) // a day's inflow is whole units
	}
}

func TestDrySpellRules(t *testing.T) {
	// a tank for a six-month dry season holds six months' use (common practice,
	// no source): the season may run over the year's end
	use := [12]float64{10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120}
	assert.Equal(t, 10.0+20+30+100+110+120, DrySeason(use, time.October, 6))
	assert.Equal(t, 50.0+60+70, DrySeason(use, time.May, 3))

	// and so it does in the daily balance: no rain for 184 days, one full tank
	for size, short := range map[float64]int{50 * 184: 0, 50*184 - 1: 1} {
		r := replayed(t, filled(t, rainfall.Day(2001, time.May, 1), make([]float64, 184), time.January), []Roof{NewRoof(1)}, []Use{{Daily: 50}}, Tank{Nominal: size, Start: size})
		assert.Equal(t, short, r.ShortDays)
	}
}
