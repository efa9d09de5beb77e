package rainfall

import (
	"math"
	"strings"
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
// precipitation too little to measure, a trace. The codes of the form: from
// memory, unverified.
func dwd() format {
	return format{"DWD daily observations (RS, RSK)", sniffDWD, readDWD}
}

func sniffDWD(in *input) bool {
	c := splitCells(in.line(1), ";")
	return len(c) > 2 && strings.EqualFold(c[0], "STATIONS_ID") && strings.EqualFold(c[1], "MESS_DATUM")
}

func readDWD(in *input) (*Record, error) {
	t, err := in.table(1, ';', false)
	if err != nil {
		return nil, err
	}
	rs, err := t.need(1, "download the daily precipitation (more_precip) or climate (kl) product", "RS", "RSK")
	if err != nil {
		return nil, err
	}
	qn := rs - 1
	for qn >= 2 && !strings.HasPrefix(strings.ToUpper(t.header[qn]), "QN") {
		qn--
	}
	if qn < 2 {
		qn = -1
	}
	ids := t.column(0)
	for i, line := range t.line {
		if ids[i] == "" {
			return nil, in.fail(line, "the station is blank", "download the file again")
		}
		if strings.EqualFold(ids[i], t.header[0]) { // the header of a second file, joined on
			ids[i] = ""
		}
	}
	rows, station, err := in.rowsNamed(ids)
	if err != nil {
		return nil, err
	}
	date, amount, quality, form := t.column(1), t.column(rs), t.column(qn), t.column(t.find(t.header[rs]+"F"))
	b := &builder{in: in}
	for _, i := range rows {
		line := t.line[i]
		if len(date[i]) > 8 && strings.Trim(date[i], "0123456789:") == "" {
			return nil, in.fail(line, "the values are of hours or minutes, not days", "download the daily product")
		}
		d, err := in.ymd(line, date[i])
		if err != nil {
			return nil, err
		}
		mm := math.NaN()
		if amount[i] != "" {
			if mm, err = in.number(line, amount[i], t.header[rs]); err != nil {
				return nil, err
			}
		}
		mark := Mark(0)
		if mm == -999 {
			mm = math.NaN()
		}
		if !math.IsNaN(mm) {
			if quality[i] == "1" {
				mark |= Doubtful
			}
			if f := form[i]; mm == 0 && (f == "1" || f == "6" || f == "7" || f == "8") {
				mark |= Trace
			}
		}
		if err := b.add(line, d, mm, mark); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Station, r.Unit = station, "mm"
	r.warnDoubtful("the publisher has checked no more than the form of " + pronoun(r.Count(Doubtful)) + " (quality level 1)")
	return r, nil
}
