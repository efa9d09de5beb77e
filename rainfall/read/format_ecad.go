package read

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"tankodds/rainfall"
)

// ecad reads a series of the European Climate Assessment & Dataset
// (RR_STAID…, blended, and RR_SOUID…, one source): a prose head, a header row
// whose columns vary with the file's age, then a row a day. RR is in tenths
// of a millimetre, −9999 missing. Q_RR is 0 valid, 1 suspect, 9 missing.
//
// Suspect values are kept and marked Doubtful: the checks are of plausibility
// and strike at great falls, so that leaving them out would dry the record.
// One that is no rain at all (below zero, above MaxDaily) is missing.
func ecad() format {
	return delimited{
		name: "ECA&D series (RR_STAID, RR_SOUID)", within: 100, titled: true,
		header: func(c []string) bool {
			return hasCells(c, "SOUID", "DATE") && strings.HasPrefix(strings.ToUpper(c[len(c)-1]), "Q_")
		},
		keep:    among("STAID", "DATE", "RR", "Q_RR"),
		station: []string{"STAID"},
		read:    readECAD,
	}.format()
}

var ecadSeries = regexp.MustCompile(`series of station (.+?) \((STAID|SOUID): *(\d+)\)`)

func readECAD(t *table) (*rainfall.Record, error) {
	in, rr := t.in, t.find("RR")
	if rr < 0 {
		names := withoutTail(t.header)
		return nil, in.fail(t.heading.line, fmt.Sprintf("the series holds %s, not RR (precipitation)", names[len(names)-2]), "download the daily precipitation amount, RR")
	}
	qrr, err := t.need("download the file again", "Q_RR")
	if err != nil {
		return nil, err
	}
	amount, err := t.amounts(rr)
	if err != nil {
		return nil, err
	}
	days, err := t.days(t.find("DATE"))
	if err != nil {
		return nil, err
	}
	quality := t.column(qrr)
	b := &builder{in: in}
	for i, d := range days {
		line := t.line[i]
		v, err := in.wholeOf(line, amount[i], "RR")
		if err != nil {
			return nil, err
		}
		mm, mark := v/10, rainfall.Mark(0)
		switch q := quality[i]; {
		case q == "9" || v == -9999:
			mm = math.NaN()
		case q == "1" && (mm < 0 || mm > MaxDaily):
			mark = rainfall.Failed
		case q == "1":
			mark = rainfall.Doubtful
		case q != "0":
			return nil, in.fail(line, fmt.Sprintf("quality code %q is not 0, 1 or 9", q), "download the file again")
		}
		if err := b.add(line, d, mm, mark); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	station := t.id
	for _, s := range t.above() {
		if m := ecadSeries.FindStringSubmatch(s); m != nil {
			r.Place = m[1]
			if station == "" {
				station = m[3]
			}
		}
	}
	r.Station, r.Unit = station, "0.1 mm"
	doubtful(r, "suspect")
	return r, nil
}
