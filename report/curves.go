package report

import (
	"bytes"

	"tankodds/report/codec"
	"tankodds/sim"
)

// curveColumns names the columns of curveRow.
var curveColumns = []string{"roof_m2", "tank_l", "annual", "annual_low", "annual_high", "time", "time_low", "time_high",
	"volumetric", "volumetric_low", "volumetric_high", "short_days_per_year", "spill_share",
	"supplied_l_per_year", "demand_l_per_year", "inflow_l_per_year"}

func curveRow(c sim.Cell) []string {
	row := []string{codec.Exact(c.Area), codec.Exact(c.Tank)}
	for _, i := range []sim.Interval{c.Annual, c.Time, c.Volumetric} {
		row = append(row, codec.Exact(i.Estimate), codec.Exact(i.Low), codec.Exact(i.High))
	}
	return append(row, codec.Exact(c.ShortDays), codec.Exact(c.SpillShare), codec.Exact(c.Supplied), codec.Exact(c.Demand), codec.Exact(c.Inflow))
}

// CurvesCSV returns the grid as a tidy table: a row a cell, SI units named in
// the header, full precision.
func (z *Sizing) CurvesCSV() ([]byte, error) {
	var b bytes.Buffer
	w := codec.NewCSV(&b)
	w.Write(curveColumns)
	for _, c := range z.Result.Cells {
		w.Write(curveRow(c))
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
