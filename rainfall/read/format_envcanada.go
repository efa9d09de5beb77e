package read

import (
	"math"
	"strings"

	"tankodds/rainfall"
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
	return delimited{
		name: "Environment Canada daily CSV", within: usualHead, titled: true,
		header:  func(c []string) bool { return hasCells(c, "Date/Time", "Year", "Month", "Total Precip (mm)") },
		keep:    among("Station Name", "Climate ID", "Year", "Month", "Day", "Data Quality", "Total Precip (mm)", "Total Precip Flag"),
		station: []string{"Climate ID"},
		read:    readEnvCanada,
	}.format()
}

func readEnvCanada(t *table) (*rainfall.Record, error) {
	in := t.in
	dd, err := t.need("download the daily values, not the monthly ones", "Day")
	if err != nil {
		return nil, err
	}
	ff, err := t.need("download the file again: without the flags a zero cannot be told from a missing day", "Total Precip Flag")
	if err != nil {
		return nil, err
	}
	days, err := t.days(t.find("Year"), t.find("Month"), dd)
	if err != nil {
		return nil, err
	}
	amount, err := t.amounts(t.find("Total Precip (mm)"))
	if err != nil {
		return nil, err
	}
	flag, checked := t.column(ff), t.column(t.find("Data Quality"))
	e := envCanadaDays{b: &builder{in: in}, open: map[rainfall.Date]bool{}}
	for i, d := range days {
		if err := e.add(t.line[i], d, amount[i], strings.ToUpper(flag[i]), checked[i] != ""); err != nil {
			return nil, err
		}
	}
	r, err := e.record()
	if err != nil {
		return nil, err
	}
	r.Station, r.Unit = t.id, "mm"
	r.Place = t.column(t.find("Station Name"))[0]
	for _, s := range t.above() { // the older files' head
		switch c := splitCells(s, t.comma); {
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
	open      map[rainfall.Date]bool // days flagged C or L without an amount
	totals    []observedTotal
	estimated []bool // of each total: flagged F
	unknown   int    // flags that the publisher's legend does not hold
}

// add takes one row. unreviewed says that the row's Data Quality cell holds
// one of the publisher's daggers.
func (e *envCanadaDays) add(line int, d rainfall.Date, cell, flag string, unreviewed bool) error {
	mm := math.NaN()
	if cell != "" {
		var err error
		if mm, err = e.b.in.number(line, cell, "total precipitation"); err != nil {
			return err
		}
	}
	mark := rainfall.Mark(0)
	if unreviewed && !math.IsNaN(mm) {
		mark = rainfall.Doubtful
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
			mark = rainfall.Doubtful
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
		mm, mark = 0, mark|rainfall.Trace
	default:
		if !strings.Contains("EBD^", flag) { // B, D, ^: estimated, not finally checked, incomplete
			e.unknown++
		}
		if !math.IsNaN(mm) {
			mark = rainfall.Doubtful
		}
	}
	return e.b.add(line, d, mm, mark)
}

func (e *envCanadaDays) record() (*rainfall.Record, error) {
	covered := 0
	for i := range e.totals {
		t := &e.totals[i]
		days := 1
		for e.open[t.last-rainfall.Date(days)] {
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
			doubtTotal(r, t.last)
		}
	}
	if n := len(e.open) - covered; n > 0 {
		tell(r, "uncertain", n)
	}
	if e.unknown > 0 {
		tell(r, "flag", e.unknown)
	}
	doubtful(r, "estimated")
	return r, nil
}
