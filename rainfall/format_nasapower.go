package rainfall

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// nasaPower reads a daily point file of NASA POWER: a head from -BEGIN
// HEADER- to -END HEADER-, then YEAR,MO,DY or YEAR,DOY and the parameters.
// PRECTOTCORR is in mm a day, −999 missing. It is a modelled grid, not a
// gauge.
func nasaPower() format {
	return format{"NASA POWER daily point (modelled)", sniffNASA, readNASA}
}

func sniffNASA(in *input) bool {
	return strings.TrimSpace(in.line(1)) == "-BEGIN HEADER-"
}

var (
	nasaPlace = regexp.MustCompile(`(?i)^location: *latitude +(-?[\d.]+) +longitude +(-?[\d.]+)`)
	nasaUnit  = regexp.MustCompile(`^PRECTOTCORR\s.*\(([^()]*)\)\s*$`)
)

func readNASA(in *input) (*Record, error) {
	end, place := 0, ""
	for i, s := range in.lines[:min(len(in.lines), 300)] {
		if m := nasaPlace.FindStringSubmatch(s); m != nil {
			place = "grid cell at " + m[1] + ", " + m[2]
		}
		if m := nasaUnit.FindStringSubmatch(s); m != nil && !strings.HasPrefix(m[1], "mm") {
			return nil, in.fail(i+1, fmt.Sprintf("PRECTOTCORR is in %s, not mm/day", m[1]), "order the file in SI units")
		}
		if strings.TrimSpace(s) == "-END HEADER-" {
			end = i + 1
			break
		}
	}
	if end == 0 || end == len(in.lines) {
		return nil, in.fail(0, "the head has no -END HEADER- with a table after it", "download the file again")
	}
	t, err := in.table(end+1, ',', false, "YEAR", "MO", "DY", "DOY", "PRECTOTCORR")
	if err != nil {
		return nil, err
	}
	rain, err := t.need(end+1, "order the parameter PRECTOTCORR", "PRECTOTCORR")
	if err != nil {
		return nil, err
	}
	y, m, d, doy := t.find("YEAR"), t.find("MO"), t.find("DY"), t.find("DOY")
	switch {
	case t.find("HR") >= 0:
		return nil, in.fail(end+1, "the values are of hours, not days", "order the daily values")
	case y < 0 || (m < 0 || d < 0) && doy < 0:
		return nil, in.fail(end+1, "no columns YEAR, MO, DY or YEAR, DOY", "order the daily values")
	}
	year, month, day, ofYear, amount := t.column(y), t.column(m), t.column(d), t.column(doy), t.column(rain)
	b := &builder{in: in}
	for i, line := range t.line {
		var date Date
		if m >= 0 && d >= 0 {
			date, err = in.yearMonthDay(line, year[i], month[i], day[i])
		} else {
			date, err = in.dayOfYear(line, year[i], ofYear[i])
		}
		if err != nil {
			return nil, err
		}
		mm, err := in.number(line, amount[i], "PRECTOTCORR")
		if err != nil {
			return nil, err
		}
		if mm == -999 {
			mm = math.NaN()
		}
		if err := b.add(line, date, mm, 0); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Place, r.Unit = place, "mm"
	r.modelled("NASA POWER")
	return r, nil
}

// dayOfYear reads a date from a year and a day of the year, 1 to 366.
func (in *input) dayOfYear(line int, y, doy string) (Date, error) {
	first, err := in.yearMonthDay(line, y, "1", "1")
	if err != nil {
		return 0, in.fail(line, fmt.Sprintf("year %q is no year", y), "")
	}
	n, err := strconv.Atoi(doy)
	last := 365
	if yy, _, _ := first.YMD(); Leap(yy) {
		last = 366
	}
	if err != nil || n < 1 || n > last {
		return 0, in.fail(line, fmt.Sprintf("day %q of the year %s is not from 1 to %d", doy, y, last), "")
	}
	return first + Date(n-1), nil
}
