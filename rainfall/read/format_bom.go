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

func readBoM(t *table) (*rainfall.Record, error) {
	var at [5]int
	for i, name := range []string{"Rainfall amount (millimetres)", "Period over which rainfall was measured (days)", "Year", "Month", "Day"} {
		var err error
		if at[i], err = t.need("download the daily rainfall, product IDCJAC0009", name); err != nil {
			return nil, err
		}
	}
	amount, err := t.amounts(at[0])
	if err != nil {
		return nil, err
	}
	days, err := t.days(at[2:]...)
	if err != nil {
		return nil, err
	}
	in, period, quality := t.in, t.column(at[1]), t.column(t.find("Quality"))
	b := &builder{in: in}
	var unfinished []rainfall.Date
	for i, d := range days {
		line := t.line[i]
		if amount[i] == "" {
			if err := b.add(line, d, math.NaN(), 0); err != nil {
				return nil, err
			}
			continue
		}
		mm, err := in.number(line, amount[i], "rainfall")
		if err != nil {
			return nil, err
		}
		span, err := in.period(line, period[i])
		if err != nil {
			return nil, err
		}
		mark := rainfall.Mark(0)
		if quality[i] != "" && !strings.EqualFold(quality[i], "Y") {
			mark = rainfall.Doubtful
		}
		if span <= 1 {
			if err := b.add(line, d, mm, mark); err != nil {
				return nil, err
			}
			continue
		}
		if err := b.add(line, d, math.NaN(), 0); err != nil {
			return nil, err
		}
		if err := b.addTotal(line, d, span, mm); err != nil {
			return nil, err
		}
		if mark == rainfall.Doubtful {
			unfinished = append(unfinished, d)
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	for _, d := range unfinished {
		doubtTotal(r, d)
	}
	r.Station, r.Unit = t.id, "mm"
	doubtful(r, "unfinished")
	return r, nil
}

// period reads the number of days that an amount was measured over, 0 for a
// blank cell.
func (in *input) period(line int, cell string) (int, error) {
	if cell == "" {
		return 0, nil
	}
	days, err := strconv.Atoi(trimZero(cell))
	if err != nil || days < 1 || days > 366 {
		return 0, in.fail(line, fmt.Sprintf("period %q is no number of days from 1 to 366", clipped(cell)), "leave it blank for a single day")
	}
	return days, nil
}

// padBoM writes a station number with its six digits: 66062 and 066062 are
// one station.
func padBoM(id string) string {
	if id == "" {
		return ""
	}
	return strings.Repeat("0", max(0, 6-len(id))) + id
}
