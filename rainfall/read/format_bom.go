package read

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tankodds/rainfall"
)

// bom reads the Australian Bureau of Meteorology's daily rainfall (product
// IDCJAC0009): a row a day, millimetres in the 24 hours to 9 am credited to
// the day read. A period above 1 makes the amount a total over the days that
// end on that day; a blank period beside an amount is one day. Quality Y has
// passed the bureau's checks, N has not finished them.
//
// Such a file does not say where the station stands.
func bom() format {
	return delimited{
		name: "BoM daily rainfall (IDCJAC0009)", within: usualHead,
		header: func(c []string) bool {
			return hasCells(c, "Product code", bomStation)
		},
		keep: among(bomStation, "Rainfall amount (millimetres)", "Period over which rainfall was measured (days)",
			"Year", "Month", "Day", "Quality"),
		station: []string{bomStation}, ident: padBoM,
		read: readBoM,
	}.format()
}

const bomStation = "Bureau of Meteorology station number"

func readBoM(t *table) *rainfall.Record {
	var at [5]int
	for i, name := range []string{"Rainfall amount (millimetres)", "Period over which rainfall was measured (days)", "Year", "Month", "Day"} {
		at[i] = t.need("download the daily rainfall, product IDCJAC0009", name)
	}
	period, quality := t.column(at[1]), t.column(t.find("Quality"))
	r := t.record(at[0], at[2:], func(i int, amount string) (float64, rainfall.Mark) {
		if amount == "" {
			return math.NaN(), 0
		}
		mm, mark := t.in.number(t.line[i], amount, "rainfall"), rainfall.Mark(0)
		if quality[i] != "" && !strings.EqualFold(quality[i], "Y") {
			mark = rainfall.Doubtful
		}
		if span := t.in.period(t.line[i], period[i]); span > 1 {
			return t.total(i, span, mm, mark)
		}
		return mm, mark
	})
	r.Unit = unitMM.name
	doubtful(r, "unfinished")
	return r
}

// period reads the number of days that an amount was measured over, 0 for a
// blank cell.
func (in *input) period(line int, cell string) int {
	days, ok := spanOf(cell)
	if !ok {
		in.fail(line, fmt.Sprintf("period %q is no number of days from 1 to 366", clipped(cell)), "leave it blank for a single day")
	}
	return days
}

func spanOf(cell string) (days int, ok bool) {
	if cell == "" {
		return 0, true
	}
	days, err := strconv.Atoi(trimZero(cell))
	return days, err == nil && days >= 1 && days <= 366
}

// padBoM writes a station number with its six digits: 66062 and 066062 are
// one station.
func padBoM(id string) string {
	if id == "" {
		return ""
	}
	return strings.Repeat("0", max(0, 6-len(id))) + id
}
