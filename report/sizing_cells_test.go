package report

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim"
)

type cellJSON struct {
	Roof       number       `json:"roof_m2"`
	Tank       number       `json:"tank_l"`
	Volumetric intervalJSON `json:"volumetric"`
	Time       intervalJSON `json:"time"`
	Annual     intervalJSON `json:"annual"`
	ShortDays  number       `json:"short_days_per_year"`
	SpillShare number       `json:"spill_share"`
	Supplied   number       `json:"supplied_l_per_year"`
	Demand     number       `json:"demand_l_per_year"`
	Inflow     number       `json:"inflow_l_per_year"`
	MonteCarlo struct {
		Volumetric intervalJSON `json:"volumetric"`
		Time       intervalJSON `json:"time"`
		Annual     intervalJSON `json:"annual"`
	} `json:"monte_carlo"`
}

func cellAsJSON(c sim.Cell) cellJSON {
	out := cellJSON{
		Roof: number(c.Area), Tank: number(c.Tank),
		Volumetric: interval(c.Volumetric), Time: interval(c.Time), Annual: interval(c.Annual),
		ShortDays: number(c.ShortDays), SpillShare: number(c.SpillShare), Supplied: number(c.Supplied),
		Demand: number(c.Demand), Inflow: number(c.Inflow),
	}
	out.MonteCarlo.Volumetric = interval(c.MonteCarlo[sim.Volume])
	out.MonteCarlo.Time = interval(c.MonteCarlo[sim.Time])
	out.MonteCarlo.Annual = interval(c.MonteCarlo[sim.Annual])
	return out
}

// inventedCells returns a grid of cells of numbers of all sizes.
func inventedCells(rows, columns int) [][]sim.Cell {
	rng := rand.New(rand.NewPCG(1, 2))
	number := func() float64 {
		if rng.IntN(20) == 0 {
			return []float64{0, 1, math.NaN(), math.Inf(1), 1e21, 1e-7}[rng.IntN(6)]
		}
		return math.Ldexp(rng.Float64(), rng.IntN(60)-30)
	}
	interval := func() sim.Interval { return sim.Interval{Estimate: number(), Low: number(), High: number()} }
	out := make([][]sim.Cell, rows)
	for i := range out {
		for range columns {
			out[i] = append(out[i], sim.Cell{
				Area: number(), Tank: number(), Volumetric: interval(), Time: interval(), Annual: interval(),
				ShortDays: number(), SpillShare: number(), Supplied: number(), Demand: number(), Inflow: number(),
				MonteCarlo: [3]sim.Interval{interval(), interval(), interval()},
			})
		}
	}
	return out
}

// Cells are written as encoding/json writes them.
func TestWithCells(t *testing.T) {
	type object struct {
		Title string     `json:"title"`
		Cells []cellJSON `json:"cells"`
		After number     `json:"after"`
	}
	for _, grid := range [][][]sim.Cell{nil, {}, {{}}, inventedCells(1, 1), inventedCells(3, 40)} {
		empty := object{Title: "\n \"cells\": null", After: 1}
		full := empty
		for _, row := range grid {
			for _, c := range row {
				full.Cells = append(full.Cells, cellAsJSON(c))
			}
		}
		want, err := marshal(full)
		require.NoError(t, err)
		b, err := marshal(empty)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(withCells(b, grid)))
	}
}

func BenchmarkCells(b *testing.B) {
	grid := inventedCells(20, 50)
	head, _ := marshal(struct {
		Cells *struct{} `json:"cells"`
	}{})
	for b.Loop() {
		withCells(head, grid)
	}
}
