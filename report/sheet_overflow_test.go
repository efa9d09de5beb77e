package report

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/sim"
)

// overflowOf is the section, as the page and the paper have it.
func overflowOf(z *Sizing) (text string, table *sheet.Table) {
	s := z.Sheet()
	for _, x := range s.Only(sheet.Report).Sections {
		if x.ID == "overflow" {
			for _, b := range x.Blocks {
				text += strings.ReplaceAll(b.Text, "\u00a0", " ") + "\n"
			}
			table = tableOf(s, "overflow")
		}
	}
	return text, table
}

// Every number stands in its own row and column.
func TestOverflowSection(t *testing.T) {
	z := *smallSizing(t)
	r, s := *z.Result, *z.Result.Study
	z.Result, r.Study, r.Overflow = &r, &s, &sim.Overflow{Tank: 10000, Real: sim.Spillage{
		Years: 24, Retained: 0.593, OffDrain: 0.66, Days: 24.3, Events: 45.9, Without: 0.668, Lowered: 0.125,
		Returns: []sim.Return{{Period: 2, Spill: 9000}, {Period: 5, Spill: 12000}, {Period: 10, Spill: math.NaN()}},
		Great:   11000, Count: 17, Room: 2500, Tight: 400, Wettest: 150,
	}, Synthetic: sim.Spillage{
		Years: 2000, Retained: 0.6, OffDrain: 0.67, Days: 23.9, Events: 46.1, Without: 0.675, Lowered: 0.13,
		Returns: []sim.Return{{Period: 2, Spill: 9100}, {Period: 5, Spill: 12100}, {Period: 10, Spill: 14100}},
		Great:   11100, Count: 1400, Room: 2600, Tight: 450, Wettest: 150,
	}}
	text, table := overflowOf(&z)
	require.NotNil(t, table)
	assert.Contains(t, text, "a tank of 10,000 L keeps 59.3 % of what flows into it, but takes only 12.5 % off the largest day of a year.")
	assert.Contains(t, text, "No simulated day is wetter than the wettest real one, 150 mm.")
	assert.Contains(t, text, "L/s")
	assert.Contains(t, text, "Overflow must reach a safe place.")
	assert.NotContains(t, text, "detained")
	assert.Contains(t, strings.ReplaceAll(table.Caption, "\u00a0", " "), "10,000 L, in 24 real years and 2,000 simulated ones")
	var cells [][]string
	for _, row := range table.Rows {
		cells = append(cells, []string{strings.ReplaceAll(row.Cells[1], "\u00a0", " "), strings.ReplaceAll(row.Cells[2], "\u00a0", " ")})
	}
	assert.Equal(t, [][]string{
		{"59.3 %", "60 %"}, {"66 %", "67 %"}, {"24.3", "23.9"}, {"66.8 % of 45.9 a year", "67.5 % of 46.1 a year"}, {"12.5 %", "13 %"},
		{"9,000 / 12,000 / –", "9,100 / 12,100 / 14,100"}, {"11,000", "11,100"}, {"2,500", "2,600"},
	}, cells)

	s.Detain, r.Overflow.Real.Lowered, r.Overflow.Synthetic.Wettest, z.Units = 2*units.LPerGallon, 0.3, 170, units.US
	text, table = overflowOf(&z)
	assert.Contains(t, text, "into it, and takes 30 % off the largest day of a year.")
	assert.Contains(t, text, "Above the store 2 gal can be detained")
	assert.Contains(t, text, "The wettest real day brings 5.91 in, the wettest simulated one 6.69 in.")
	assert.Contains(t, text, "gal/min")
	assert.Contains(t, table.Rows[5].Cells[0], "1 year of 2, 5 and 10 reaches, gal")
	assert.Contains(t, strings.Join(table.Notes, " "), "0.04")

	r.Overflow.Real.Retained = math.NaN() // no rain
	text, _ = overflowOf(&z)
	assert.True(t, strings.HasPrefix(text, "Above the store"), text)
	r.Overflow = nil // evidence of before
	_, table = overflowOf(&z)
	assert.Nil(t, table)
}
