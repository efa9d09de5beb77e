package read

import (
	"math"
	"regexp"
	"slices"
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
		header: func(c []string) bool { return hasCells(c, "Date/Time", "Year", "Month", "Total Precip (mm)") },
		keep:   among("Station Name", "Climate ID", "Year", "Month", "Day", "Data Quality", "Total Precip (mm)", "Total Precip Flag"),
		thermal: func(name string) bool {
			return equalsAny(name, []string{"Max Temp Flag", "Min Temp Flag"}) || envCanadaHeat.MatchString(name)
		},
		station: []string{"Climate ID"},
		read:    readEnvCanada,
	}.format()
}

// envCanadaHeat is how the columns of temperatures are called; the sign of the
// degree has come through many hands.
var envCanadaHeat = regexp.MustCompile(`(?i)^(Max|Min) Temp \(.*C\)$`)

// envCanadaThermometer finds the column of the highest or lowest temperature, in degrees
// Celsius. Flag M is missing; N and Y are missing and known to be above or
// below 0; others are E estimated and S more than one occurrence.
func envCanadaThermometer(t *table, which string) thermometer {
	flag := t.column(t.find(which + " Temp Flag"))
	is := func(name string) bool { return envCanadaHeat.MatchString(name) && strings.EqualFold(name[:3], which) }
	return thermometer{slices.IndexFunc(t.header, is), celsius, func(row int) bool { return flag[row] != "" && strings.Contains("MNY", strings.ToUpper(flag[row])) }}
}

func readEnvCanada(t *table) *rainfall.Record {
	dd := t.need("download the daily values, not the monthly ones", "Day")
	ff := t.need("download the file again: without the flags a zero cannot be told from a missing day", "Total Precip Flag")
	days := t.days(t.find("Year"), t.find("Month"), dd)
	amount := t.amounts(t.find("Total Precip (mm)"))
	flag, unreviewed := t.column(ff), t.column(t.find("Data Quality")) // one of the publisher's daggers
	// A total can be spread only when all the flags before it are known.
	open := map[rainfall.Date]bool{} // days flagged C or L without an amount
	depths := numbersOf(amount)
	for i, d := range days {
		if flag[i] = strings.ToUpper(flag[i]); (flag[i] == "C" || flag[i] == "L") && !(depths[i] > 0) {
			open[d] = true
		}
	}
	uncertain, unknown := len(open), 0 // unknown: flags that the publisher's legend does not hold
	r := t.recordOf(days, amount, func(i int, cell string) (float64, rainfall.Mark) {
		mm, mark := t.number(i, cell, "total precipitation"), rainfall.Mark(0)
		if unreviewed[i] != "" && !math.IsNaN(mm) {
			mark = rainfall.Doubtful
		}
		switch flag[i] {
		case "", "S": // S: more than one occurrence
			return mm, mark
		case "A", "F":
			if math.IsNaN(mm) {
				return mm, 0
			}
			if flag[i] == "F" {
				mark = rainfall.Doubtful
			}
			span := 1
			for open[days[i]-rainfall.Date(span)] {
				span++
			}
			uncertain -= span - 1
			if span == 1 {
				span = 0
			}
			return t.total(i, span, mm, mark)
		case "C", "L":
			if mm > 0 {
				return mm, rainfall.Doubtful
			}
			t.in.plausible(t.line[i], mm)
			return math.NaN(), 0
		case "M":
			return math.NaN(), 0
		case "T":
			return 0, mark | rainfall.Trace
		}
		if !strings.Contains("EBD^", flag[i]) { // B, D, ^: estimated, not finally checked, incomplete
			unknown++
		}
		if !math.IsNaN(mm) {
			mark = rainfall.Doubtful
		}
		return mm, mark
	})
	r.Unit = unitMM.name
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
	if t.in.opt.Temperatures {
		t.temperatures(r, envCanadaThermometer(t, "Max"), envCanadaThermometer(t, "Min"))
	}
	if uncertain > 0 {
		tell(r, "uncertain", uncertain)
	}
	if unknown > 0 {
		tell(r, "flag", unknown)
	}
	doubtful(r, "estimated")
	return r
}
