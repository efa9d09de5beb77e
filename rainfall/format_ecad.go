package rainfall

import (
	"fmt"
	"math"
	"regexp"
	"strings"
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
	return format{"ECA&D series (RR_STAID, RR_SOUID)", func(in *input) bool { return ecadHeader(in) > 0 }, readECAD}
}

func ecadHeader(in *input) int {
	return in.headerLine(100, ",", func(c []string) bool {
		return hasCells(c, "SOUID", "DATE") && strings.HasPrefix(strings.ToUpper(c[len(c)-1]), "Q_")
	})
}

var ecadSeries = regexp.MustCompile(`series of station (.+?) \((STAID|SOUID): *(\d+)\)`)

func readECAD(in *input) (*Record, error) {
	head := ecadHeader(in)
	t, err := in.table(head, ',', false)
	if err != nil {
		return nil, err
	}
	rr := t.find("RR")
	if rr < 0 {
		return nil, in.fail(head, fmt.Sprintf("the series holds %s, not RR (precipitation)", t.header[len(t.header)-2]), "download the daily precipitation amount, RR")
	}
	qrr, err := t.need(head, "download the file again", "Q_RR")
	if err != nil {
		return nil, err
	}
	rows, station, err := t.rowsOf(t.find("STAID"))
	if err != nil {
		return nil, err
	}
	date, amount, quality := t.column(t.find("DATE")), t.column(rr), t.column(qrr)
	b := &builder{in: in}
	for _, i := range rows {
		line := t.line[i]
		d, err := in.ymd(line, date[i])
		if err != nil {
			return nil, err
		}
		v, err := in.number(line, amount[i], "RR")
		if err != nil {
			return nil, err
		}
		mm, mark := v/10, Mark(0)
		switch q := quality[i]; {
		case q == "9" || v == -9999:
			mm = math.NaN()
		case q == "1" && (mm < 0 || mm > MaxDaily):
			mark = Failed
		case q == "1":
			mark = Doubtful
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
	for _, s := range in.lines[:head-1] {
		if m := ecadSeries.FindStringSubmatch(s); m != nil {
			r.Place = m[1]
			if station == "" {
				station = m[3]
			}
		}
	}
	r.Station, r.Unit = station, "0.1 mm"
	r.warnDoubtful("the publisher's checks call " + pronoun(r.Count(Doubtful)) + " suspect")
	return r, nil
}
