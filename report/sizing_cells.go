package report

import (
	"bytes"

	"tankodds/sim"
)

// withCells puts a grid's cells into the JSON of its sizing. A grid of 1,000
// cells has 25,000 numbers: appending them takes a tenth of the time that
// encoding/json takes, for the same bytes.
func withCells(b []byte, rows [][]sim.Cell) []byte {
	n := 0
	for _, row := range rows {
		n += len(row)
	}
	// no string of JSON holds a line feed: this is the key
	head, tail, found := bytes.Cut(b, []byte("\n \"cells\": null"))
	if !found || n == 0 {
		return b
	}
	out := make([]byte, 0, len(b)+n*cellBytes)
	out = append(append(out, head...), "\n \"cells\": ["...)
	for i, row := range rows {
		for k := range row {
			if i+k > 0 {
				out = append(out, ',')
			}
			out = appendCell(out, &row[k])
		}
	}
	return append(append(out, "\n ]"...), tail...)
}

// cellBytes is more than most cells take.
const cellBytes = 1400

func appendCell(b []byte, c *sim.Cell) []byte {
	const in, deeper = "\n   ", "\n    "
	b = appendNumber(append(b, "\n  {"+in+`"roof_m2": `...), c.Area)
	b = appendNumber(append(b, ","+in+`"tank_l": `...), c.Tank)
	b = appendInterval(append(b, ","+in+`"volumetric": {`...), in, c.Volumetric)
	b = appendInterval(append(b, ","+in+`"time": {`...), in, c.Time)
	b = appendInterval(append(b, ","+in+`"annual": {`...), in, c.Annual)
	b = appendNumber(append(b, ","+in+`"short_days_per_year": `...), c.ShortDays)
	b = appendNumber(append(b, ","+in+`"spill_share": `...), c.SpillShare)
	b = appendNumber(append(b, ","+in+`"supplied_l_per_year": `...), c.Supplied)
	b = appendNumber(append(b, ","+in+`"demand_l_per_year": `...), c.Demand)
	b = appendNumber(append(b, ","+in+`"inflow_l_per_year": `...), c.Inflow)
	b = append(b, ","+in+`"monte_carlo": {`...)
	b = appendInterval(append(b, deeper+`"volumetric": {`...), deeper, c.MonteCarlo[sim.Volume])
	b = appendInterval(append(b, ","+deeper+`"time": {`...), deeper, c.MonteCarlo[sim.Time])
	b = appendInterval(append(b, ","+deeper+`"annual": {`...), deeper, c.MonteCarlo[sim.Annual])
	return append(b, in+"}\n  }"...)
}

// appendInterval appends what stands between an interval's braces, and the
// second of them; line begins each line of its parent.
func appendInterval(b []byte, line string, i sim.Interval) []byte {
	b = appendNumber(append(append(b, line...), ` "estimate": `...), i.Estimate)
	b = appendNumber(append(append(append(b, ','), line...), ` "low": `...), i.Low)
	b = appendNumber(append(append(append(b, ','), line...), ` "high": `...), i.High)
	return append(append(b, line...), '}')
}
