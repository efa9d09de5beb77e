package read

import (
	"cmp"
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
//
// Such a file does not say where the station stands.
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

func readECAD(t *table) *rainfall.Record {
	in, rr := t.in, t.find("RR")
	if rr < 0 {
		names := withoutTail(t.header)
		in.fail(t.heading.line, fmt.Sprintf("the series holds %s, not RR (precipitation)", names[len(names)-2]), "download the daily precipitation amount, RR")
	}
	quality := t.column(t.need("download the file again", "Q_RR"))
	r := t.record(rr, []int{t.find("DATE")}, func(i int, amount string) (float64, rainfall.Mark) {
		v := t.tenths(i, amount, "RR")
		mm := v / 10
		switch q := quality[i]; {
		case q == "9" || v == -9999:
			return math.NaN(), 0
		case q == "1" && (mm < 0 || mm > MaxDaily):
			return mm, rainfall.Failed
		case q == "1":
			return mm, rainfall.Doubtful
		case q != "0":
			in.fail(t.line[i], fmt.Sprintf("quality code %q is not 0, 1 or 9", q), "download the file again")
		}
		return mm, 0
	})
	if m := t.titled(ecadSeries); m != nil {
		r.Place, r.Station = m[1], cmp.Or(r.Station, m[3])
	}
	r.Unit = "0.1 mm"
	doubtful(r, "suspect")
	return r
}
