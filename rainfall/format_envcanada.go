package rainfall

import (
	"math"
	"strings"
)

// envCanada reads Environment and Climate Change Canada's daily CSV, a year a
// file; several may be joined end to end, headers and all. Total Precip (mm)
// has a flag: A accumulated, C occurred but amount uncertain, E estimated, F
// accumulated and estimated, L may or may not have occurred, M missing, T
// trace.
//
// A day flagged C or L carries 0 and is no dry day: its rain, if any, is part
// of the A or F that follows. Such a total covers its own day and the days
// flagged C or L that run up to it; with none before it the file does not say
// how many, and the missing days before it are taken. C and L days that no
// total follows are missing. A C or L day with an amount above 0 is kept as
// doubtful.
func envCanada() format {
	return format{"Environment Canada daily CSV", func(in *input) bool { return envCanadaHeader(in) > 0 }, readEnvCanada}
}

var envCanadaColumns = []string{"Station Name", "Climate ID", "Year", "Month", "Day", "Data Quality", "Total Precip (mm)", "Total Precip Flag"}

func envCanadaHeader(in *input) int {
	return in.headerLine(60, ",", func(c []string) bool {
		return hasCells(c, "Date/Time", "Year", "Month", "Total Precip (mm)")
	})
}

func readEnvCanada(in *input) (*Record, error) {
	head := envCanadaHeader(in)
	t, err := in.table(head, ',', false, envCanadaColumns...)
	if err != nil {
		return nil, err
	}
	dd, err := t.need(head, "download the daily values, not the monthly ones", "Day")
	if err != nil {
		return nil, err
	}
	ff, err := t.need(head, "download the file again: without the flags a zero cannot be told from a missing day", "Total Precip Flag")
	if err != nil {
		return nil, err
	}
	year, month, day := t.column(t.find("Year")), t.column(t.find("Month")), t.column(dd)
	amount, flag, checked := t.column(t.find("Total Precip (mm)")), t.column(ff), t.column(t.find("Data Quality"))
	ids := t.column(t.find("Climate ID"))
	for i := range ids {
		if strings.EqualFold(year[i], "Year") { // the header of the next file
			ids[i] = ""
		}
	}
	rows, station, err := in.rowsNamed(ids)
	if err != nil {
		return nil, err
	}
	e := envCanadaDays{b: &builder{in: in}, open: map[Date]bool{}}
	for _, i := range rows {
		if strings.EqualFold(year[i], "Year") {
			continue
		}
		line := t.line[i]
		d, err := in.yearMonthDay(line, year[i], month[i], day[i])
		if err != nil {
			return nil, err
		}
		if err := e.add(line, d, amount[i], strings.ToUpper(flag[i]), checked[i] != ""); err != nil {
			return nil, err
		}
	}
	r, err := e.record()
	if err != nil {
		return nil, err
	}
	r.Station, r.Unit = station, "mm"
	r.Place = t.column(t.find("Station Name"))[0]
	for _, s := range in.lines[:head-1] { // the older files' head
		switch c := splitCells(s, ","); {
		case len(c) < 2:
		case strings.EqualFold(c[0], "Station Name"):
			r.Place = c[1]
		case strings.EqualFold(c[0], "Climate Identifier"):
			r.Station = c[1]
		}
	}
	return r, nil
}

// envCanadaDays gathers the days of the file: a total can be spread only when
// all the flags before it are known.
type envCanadaDays struct {
	b         *builder
	open      map[Date]bool // days flagged C or L without an amount
	totals    []observedTotal
	estimated []bool // of each total: flagged F
	unknown   int    // flags that the publisher's legend does not hold
}

// add takes one row. unreviewed says that the row's Data Quality cell holds
// one of the publisher's daggers.
func (e *envCanadaDays) add(line int, d Date, cell, flag string, unreviewed bool) error {
	mm := math.NaN()
	if cell != "" {
		var err error
		if mm, err = e.b.in.number(line, cell, "total precipitation"); err != nil {
			return err
		}
	}
	mark := Mark(0)
	if unreviewed && !math.IsNaN(mm) {
		mark = Doubtful
	}
	switch flag {
	case "", "S": // S: more than one occurrence
	case "A", "F":
		if !math.IsNaN(mm) {
			e.totals = append(e.totals, observedTotal{last: d, line: line, mm: mm})
			e.estimated = append(e.estimated, flag == "F" || unreviewed)
		}
		mm, mark = math.NaN(), 0
	case "C", "L":
		if mm > 0 {
			mark = Doubtful
			break
		}
		if mm < 0 {
			return e.b.in.plausible(line, mm)
		}
		e.open[d] = true
		mm, mark = math.NaN(), 0
	case "M":
		mm, mark = math.NaN(), 0
	case "T":
		mm, mark = 0, mark|Trace
	default:
		if !strings.Contains("EBD^", flag) { // B, D, ^: estimated, not finally checked, incomplete
			e.unknown++
		}
		if !math.IsNaN(mm) {
			mark = Doubtful
		}
	}
	return e.b.add(line, d, mm, mark)
}

func (e *envCanadaDays) record() (*Record, error) {
	covered := 0
	for i := range e.totals {
		t := &e.totals[i]
		days := 1
		for e.open[t.last-Date(days)] {
			days++
		}
		covered += days - 1
		if days > 1 {
			t.days = days
		}
		if err := e.b.addTotal(t.line, t.last, t.days, t.mm); err != nil {
			return nil, err
		}
	}
	r, err := e.b.record()
	if err != nil {
		return nil, err
	}
	for i, t := range e.totals {
		if e.estimated[i] {
			r.doubtTotal(t.last)
		}
	}
	if n := len(e.open) - covered; n > 0 {
		r.warn("uncertain", "%s missing because rain fell or may have fallen and no accumulated amount follows (flags C, L)", count(n, "day is", "days are"))
	}
	if e.unknown > 0 {
		r.warn("flag", "%s a flag that is not in the publisher's legend; kept as doubtful", count(e.unknown, "value has", "values have"))
	}
	r.warnDoubtful("the publisher calls " + pronoun(r.Count(Doubtful)) + " estimated, uncertain or not reviewed")
	return r, nil
}
