package read

import (
	"math"
	"strings"

	"tankodds/rainfall"
)

// dwd reads the German weather service's daily observations: semicolons,
// padded cells, each line ended by eor. RS (the precipitation product) or RSK
// (the climate product) is in millimetres, −999 missing; a missing day may
// also have no row. RSF or RSKF is the form of precipitation.
//
// The quality level of a value is in the nearest QN column before it. Level 1
// is "only formal control" (the publisher's data set description): those
// values are kept and marked Doubtful. The higher levels have been checked
// for what they say.
//
// A depth of 0.0 beside a form that is rain (1, 6), snow (7) or both (8) is
// precipitation too little to measure, a trace. TXK and TNK of the climate
// product are in degrees Celsius, −999 missing. The codes of the form: from
// memory, unverified.
//
// Such a file does not say where the station stands.
func dwd() format {
	return delimited{
		name: "DWD daily observations (RS, RSK)", within: usualHead,
		header: func(c []string) bool { return hasCells(c, "STATIONS_ID", "MESS_DATUM") },
		keep: func(name string) bool {
			return strings.HasPrefix(strings.ToUpper(name), "QN") || equalsAny(name, []string{"STATIONS_ID", "MESS_DATUM", "RS", "RSF", "RSK", "RSKF"})
		},
		thermal: among("TXK", "TNK"),
		station: []string{"STATIONS_ID"},
		read:    readDWD,
	}.format()
}

func readDWD(t *table) *rainfall.Record {
	rs := t.need("download the daily precipitation (more_precip) or climate (kl) product", "RS", "RSK")
	qn := rs - 1
	for qn >= 2 && !strings.HasPrefix(strings.ToUpper(t.header[qn]), "QN") {
		qn--
	}
	if qn < 2 {
		qn = -1
	}
	quality, form := t.column(qn), t.column(t.find(t.header[rs]+"F"))
	r := t.record(rs, []int{t.find("MESS_DATUM")}, func(i int, amount string) (float64, rainfall.Mark) {
		mm := t.number(i, amount, t.header[rs])
		mark := rainfall.Mark(0)
		if mm == -999 || math.IsNaN(mm) {
			return math.NaN(), 0
		}
		if quality[i] == "1" {
			mark |= rainfall.Doubtful
		}
		if f := form[i]; mm == 0 && (f == "1" || f == "6" || f == "7" || f == "8") {
			mark |= rainfall.Trace
		}
		return mm, mark
	})
	r.Unit = "mm"
	t.temperatures(r, thermometer{column: t.find("TXK"), unit: celsius}, thermometer{column: t.find("TNK"), unit: celsius})
	doubtful(r, "form-only")
	return r
}
