package read

import (
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// gsod reads NOAA NCEI's global summary of the day: columns STATION (STN in
// older files), DATE (YEARMODA), and PRCP in inches, 99.99 missing, with a
// letter that says how the day's amount came about: after the amount in older
// files, in PRCP_ATTRIBUTES in later ones.
//
//	A B C E  six or twelve hours of reports, not the whole day: doubtful
//	D F G    the whole day
//	H        0 was reported for the day, and rain in some hour: doubtful
//	I        nothing was reported, neither for the day nor for an hour, and
//	         the publisher wrote 0: presumed
//
// MAX and MIN are in degrees Fahrenheit, 9999.9 missing; a star behind one
// means that it was taken from the hourly reports.
//
// All of this is from memory, unverified. Copies in millimetres exist, under
// the same names: where the values do not look like inches the unit is asked
// for. Their temperatures are taken to be in degrees Celsius.
func gsod() format {
	return delimited{
		name: "NCEI global summary of the day (CSV)", within: usualHead,
		header:  isGSOD,
		keep:    among("NAME", "DATE", "YEARMODA", "PRCP", "PRCP_ATTRIBUTES", "PRCP_FLAG"),
		thermal: among("MAX", "MIN"),
		station: []string{"STATION", "STNID", "STN", "STN---"},
		read:    readGSOD,
	}.format()
}

// isGSOD knows the header by the date's name, or by elements that NCEI's
// other daily summaries do not have.
func isGSOD(c []string) bool {
	if !hasCells(c, "PRCP") || hasCells(c, "TMAX") && !hasCells(c, "FRSHTT") {
		return false
	}
	return hasCells(c, "YEARMODA") || hasCells(c, "DATE", "FRSHTT") || hasCells(c, "DATE", "DEWP", "WDSP")
}

func readGSOD(t *table) *rainfall.Record {
	days := t.days(t.find("YEARMODA", "DATE"))
	amount := t.column(t.find("PRCP"))
	letters := t.column(t.find("PRCP_ATTRIBUTES", "PRCP_FLAG"))
	for k, c := range amount {
		// Always two decimals: a comma is no thousand. A spreadsheet that
		// writes one leaves the point where a letter follows.
		c = strings.Replace(c, ",", ".", 1)
		amount[k] = c
		if n := len(c); n > 1 && c[n-1] >= 'A' && c[n-1] <= 'I' {
			amount[k], letters[k] = c[:n-1], c[n-1:]
		}
	}
	depths := numbersOf(amount)
	codes := &missingCodes{}
	codes.note(99.99, "99.99")
	codes.blank(amount, depths)
	if codes.cells == 0 { // no copy of the publisher's making?
		codes = t.in.missingCodes(t.line, amount, depths)
		codes.blank(amount, depths)
	}
	u, given := parseUnit(t.in.opt.Unit)
	g := guessUnit(amount, depths)
	if !given {
		if u = unitInch; g.unit == unitMM && (g.sure >= veryLikely || g.sure == noTelling && slices.ContainsFunc(amount, isWet)) {
			t.in.askUnit("PRCP", g)
		}
	}
	r := t.recordOf(days, amount, func(k int, amount string) (float64, rainfall.Mark) {
		if isMissingWord(amount) {
			return math.NaN(), 0
		}
		mm := u.inMM(t.in.number(t.line[k], amount, "PRCP"))
		switch letter := strings.TrimSpace(letters[k]); {
		case letter == "I" && mm == 0:
			return mm, rainfall.Presumed
		case letter != "" && strings.Contains("ABCEH", letter):
			return mm, rainfall.Doubtful
		}
		return mm, 0
	})
	r.Unit, r.Place = u.name, t.column(t.find("NAME"))[0]
	t.temperatures(r, thermometer{column: t.find("MAX"), unit: degreesWith(u)}, thermometer{column: t.find("MIN"), unit: degreesWith(u)})
	if given {
		doubtUnit(r, u, g, true)
	}
	doubtful(r, "part-day")
	return r
}

func isWet(cell string) bool { return isNumber(cell) && strings.Trim(cell, "0.") != "" }
