package rainfall

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// bom reads the Australian Bureau of Meteorology's daily rainfall (product
// IDCJAC0009): a row a day, millimetres in the 24 hours to 9 am credited to
// the day read. A period above 1 makes the amount a total over the days that
// end on that day; a blank period beside an amount is one day. Quality Y has
// passed the bureau's checks, N has not finished them.
func bom() format {
	return format{"BoM daily rainfall (IDCJAC0009)", sniffBoM, readBoM}
}

func sniffBoM(in *input) bool {
	c := splitCells(in.line(1), ",")
	return len(c) > 2 && strings.EqualFold(c[0], "Product code") && strings.EqualFold(c[1], "Bureau of Meteorology station number")
}

func readBoM(in *input) (*Record, error) {
	t, err := in.table(1, ',', false)
	if err != nil {
		return nil, err
	}
	const hint = "download the daily rainfall, product IDCJAC0009"
	var at [5]int
	for i, name := range []string{"Rainfall amount (millimetres)", "Period over which rainfall was measured (days)", "Year", "Month", "Day"} {
		if at[i], err = t.need(1, hint, name); err != nil {
			return nil, err
		}
	}
	amount, period := t.column(at[0]), t.column(at[1])
	year, month, day := t.column(at[2]), t.column(at[3]), t.column(at[4])
	quality := t.column(t.find("Quality"))
	ids := t.column(1)
	for i, id := range ids {
		ids[i] = padBoM(id)
	}
	in.opt.Station = padBoM(in.opt.Station)
	rows, station, err := in.rowsNamed(ids)
	if err != nil {
		return nil, err
	}
	b := &builder{in: in}
	var unfinished []Date
	for _, i := range rows {
		line := t.line[i]
		d, err := in.yearMonthDay(line, year[i], month[i], day[i])
		if err != nil {
			return nil, err
		}
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
		days := 1
		if period[i] != "" {
			if days, err = strconv.Atoi(period[i]); err != nil || days < 1 || days > 366 {
				return nil, in.fail(line, fmt.Sprintf("period %q is no number of days from 1 to 366", period[i]), "leave it blank for a single day")
			}
		}
		mark := Mark(0)
		if quality[i] != "" && !strings.EqualFold(quality[i], "Y") {
			mark = Doubtful
		}
		if days == 1 {
			if err := b.add(line, d, mm, mark); err != nil {
				return nil, err
			}
			continue
		}
		if err := b.add(line, d, math.NaN(), 0); err != nil {
			return nil, err
		}
		if err := b.addTotal(line, d, days, mm); err != nil {
			return nil, err
		}
		if mark == Doubtful {
			unfinished = append(unfinished, d)
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	for _, d := range unfinished {
		r.doubtTotal(d)
	}
	r.Station, r.Unit = station, "mm"
	r.warnDoubtful("the bureau has not finished checking " + pronoun(r.Count(Doubtful)))
	return r, nil
}

// padBoM writes a station number with its six digits: 66062 and 066062 are
// one station.
func padBoM(id string) string {
	if id == "" {
		return ""
	}
	return strings.Repeat("0", max(0, 6-len(id))) + id
}

func pronoun(n int) string {
	if n == 1 {
		return "it"
	}
	return "them"
}
