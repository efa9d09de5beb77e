package rainfall

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// ghcnDaily reads NOAA NCEI's fixed-width GHCN-Daily station file (.dly,
// readme v3.26): a line a month and element, 31 values of 5 characters and
// three flags. PRCP is in tenths of a millimetre; MDPR and DAPR are totals
// over several days and their number.
func ghcnDaily() format {
	return format{"GHCN-Daily station file (.dly)", sniffGHCN, readGHCN}
}

func sniffGHCN(in *input) bool {
	s := in.line(1)
	if len(s) < 29 || strings.ContainsAny(s[:21], ",;\t") {
		return false
	}
	_, e1 := strconv.Atoi(s[11:15])
	m, e2 := strconv.Atoi(s[15:17])
	return e1 == nil && e2 == nil && m >= 1 && m <= 12 && strings.TrimSpace(s[17:21]) == s[17:21]
}

// ghcnDay is what the elements say of one day.
type ghcnDay struct {
	line int
	mm   float64
	days int
}

func readGHCN(in *input) (*Record, error) {
	b := &builder{in: in}
	station := in.line(1)[:11]
	if in.opt.Station != "" {
		station = in.opt.Station
	}
	amount, span := map[Date]ghcnDay{}, map[Date]ghcnDay{}
	found, other := false, ""
	for i, s := range in.lines {
		line := i + 1
		if strings.TrimSpace(s) == "" {
			continue
		}
		if len(s) < 21 {
			return nil, in.fail(line, "the line is cut short", "download the file again")
		}
		if s[:11] != station && in.opt.Station != "" {
			other = s[:11]
			continue
		}
		if s[:11] != station {
			return nil, in.fail(line, fmt.Sprintf("station %s in a file of %s", s[:11], station), "choose one with --station "+station)
		}
		found = true
		element := s[17:21]
		if element != "PRCP" && element != "MDPR" && element != "DAPR" {
			continue
		}
		y, e1 := strconv.Atoi(s[11:15])
		m, e2 := strconv.Atoi(s[15:17])
		if e1 != nil || e2 != nil || m < 1 || m > 12 {
			return nil, in.fail(line, fmt.Sprintf("year and month %q are no month", s[11:17]), "download the file again")
		}
		days := DaysIn(y, time.Month(m))
		if len(s) < 21+8*days-3 {
			return nil, in.fail(line, fmt.Sprintf("the line ends before day %d", days), "download the file again")
		}
		for d := 1; d <= days; d++ {
			at := 21 + 8*(d-1)
			v, err := strconv.Atoi(strings.TrimLeft(s[at:at+5], " "))
			if err != nil {
				return nil, in.fail(line, fmt.Sprintf("value %q of day %d is not a whole number", s[at:at+5], d), "download the file again")
			}
			var mflag, qflag byte = ' ', ' '
			if at+6 < len(s) {
				mflag, qflag = s[at+5], s[at+6]
			}
			day := civil(y, time.Month(m), d)
			switch {
			case element == "PRCP":
				if err := b.addGHCN(line, day, v, mflag, qflag); err != nil {
					return nil, err
				}
			case v == -9999 || qflag != ' ':
			case element == "MDPR":
				amount[day] = ghcnDay{line: line, mm: float64(v) / 10}
			default:
				span[day] = ghcnDay{line: line, days: v}
			}
		}
	}
	if !found {
		return nil, in.fail(0, fmt.Sprintf("no line of station %s; the file holds %s", station, other), "--station takes an identifier as the file writes it")
	}
	if len(b.days) == 0 {
		return nil, in.fail(0, fmt.Sprintf("station %s has no PRCP element", station), "it measured no daily rain: choose another")
	}
	if err := b.addGHCNTotals(amount, span); err != nil {
		return nil, err
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Station, r.Unit = station, "0.1 mm"
	return r, nil
}

// addGHCN takes a PRCP value in tenths of a millimetre with its flags, as
// every GHCN-Daily file gives it: −9999 missing; measurement flag T trace, P
// "missing presumed zero"; any quality flag means that the value failed a
// check.
func (b *builder) addGHCN(line int, day Date, v int, mflag, qflag byte) error {
	if v == -9999 {
		return b.add(line, day, math.NaN(), 0)
	}
	return b.add(line, day, float64(v)/10, ghcnMark(mflag, qflag))
}

// ghcnMark says what the flags of a GHCN-Daily value mean.
func ghcnMark(mflag, qflag byte) Mark {
	switch {
	case qflag != ' ':
		return Failed
	case mflag == 'T':
		return Trace
	case mflag == 'P':
		return Presumed
	}
	return 0
}

// addGHCNTotals pairs each MDPR total with its DAPR number of days, in date
// order so that the same file fails on the same line every time.
func (b *builder) addGHCNTotals(amount, span map[Date]ghcnDay) error {
	for _, day := range slices.Sorted(maps.Keys(amount)) {
		a := amount[day]
		if err := b.addTotal(a.line, day, span[day].days, a.mm); err != nil {
			return err
		}
	}
	return nil
}
