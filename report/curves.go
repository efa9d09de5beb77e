package report

import (
	"bytes"
	"strconv"

	"tankodds/sim"
)

// exact prints x in full precision for a table that machines read; nothing
// where it is no number.
func exact(x float64) string {
	if x-x != 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// curveColumns names the columns of curveRow.
var curveColumns = []string{"roof_m2", "tank_l", "annual", "annual_low", "annual_high", "time", "time_low", "time_high",
	"volumetric", "volumetric_low", "volumetric_high", "short_days_per_year", "spill_share",
	"supplied_l_per_year", "demand_l_per_year", "inflow_l_per_year"}

func curveRow(c sim.Cell) []string {
	row := []string{exact(c.Area), exact(c.Tank)}
	for _, i := range []sim.Interval{c.Annual, c.Time, c.Volumetric} {
		row = append(row, exact(i.Estimate), exact(i.Low), exact(i.High))
	}
	return append(row, exact(c.ShortDays), exact(c.SpillShare), exact(c.Supplied), exact(c.Demand), exact(c.Inflow))
}

// CurvesCSV returns the grid as a tidy table: a row a cell, SI units named in
// the header, full precision.
func (z *Sizing) CurvesCSV() ([]byte, error) {
	var b bytes.Buffer
	w := newCSV(&b)
	w.Write(curveColumns)
	for _, row := range z.Result.Cells {
		for _, c := range row {
			w.Write(curveRow(c))
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
