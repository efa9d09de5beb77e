package rainfall

import (
	"slices"
	"strings"
	"unicode"
)

// The names by which a plain file's columns are known, letter case and signs
// aside, in the languages of many gauge networks.
var (
	dateNames    = []string{"date", "datum", "fecha", "data", "dato", "pvm", "datetime", "timestamp", "time", "obsdate", "observationdate", "dateobserved", "yyyymmdd", "yyyymmdddate", "localdate", "dateutc", "datelocal", "yearmoda"}
	yearNames    = []string{"year", "yr", "yyyy", "jahr", "annee", "année", "año", "ano", "anno", "jaar"}
	monthNames   = []string{"month", "mon", "mo", "mnth", "monat", "mois", "mes", "mês", "mese", "maand"}
	dayNames     = []string{"day", "dy", "dd", "dom", "tag", "jour", "dia", "día", "giorno", "dag"}
	stationNames = []string{"station", "stationid", "stationname", "stationno", "stationnumber", "stationcode", "stn", "stnid", "stnno", "staid", "stid", "site", "siteid", "siteno", "sitecode", "gauge", "gaugeid", "gaugeno", "gaugenumber", "gaugecode", "gaugename", "gage", "gageid", "gageno", "location", "city"}
	// weakNames may name stations, rows or qualities: the cells tell.
	weakNames = []string{"id", "code", "no", "number", "name"}

	dayOfYearNames = []string{"doy", "dayofyear", "julianday", "yday"}
	periodNames    = []string{"period", "perioddays", "days", "ndays", "numberofdays", "daysaccumulated", "accumulationdays", "dapr"}
	mflagNames     = []string{"mflag", "measurementflag", "prcpmflag", "mflagprcp"}
	qflagNames     = []string{"qflag", "qualityflag", "prcpqflag", "qflagprcp"}
	// remarkWords are words of columns that say something of a value.
	remarkWords = []string{"flag", "flags", "quality", "qc", "qual", "qflag", "mflag", "code", "attr", "attribute", "attributes", "period", "status", "accumulated", "estimated", "suspect"}

	// rainWords are whole words of a rain column's name, rainStems the
	// beginnings of one.
	rainWords = []string{"pr", "rr", "ppt", "pcp", "prec", "pp", "regen", "opad", "opady", "rf", "nedbør", "nedbor", "pluvio"}
	rainStems = []string{"rain", "precip", "prcp", "niederschlag", "pluie", "pluvio", "précip", "lluvia", "chuva", "pioggia", "neerslag", "nederbör", "nederbor"}
	// notRain are words that make of a rain column's name something else.
	notRain = []string{"flag", "flags", "quality", "qc", "qflag", "code", "attr", "attributes", "hour", "hours", "hr", "hrs", "h", "hourly", "duration", "probability", "prob", "days", "count", "max", "maximum", "intensity", "rate", "source", "type", "normal", "cum", "cumulative", "cumul", "accumulated", "note", "notes", "remark", "status", "unit", "units", "period", "measured"}
	// otherUnits are units that rain may be given in and that are not read.
	otherUnits = []string{"cm", "m", "ft", "mm/h", "mm/hr", "in/hr", "in/h", "mm/month", "mm/year", "mm/s", "kgm-2s-1", "kg/m2/s", "m3", "%"}
)

// bare is a column's name in lower case without signs and spaces.
func bare(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// isRemark reports whether a column's name says that it holds remarks on a
// value.
func isRemark(name string) bool {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(remarkWords, w) })
}

func isDateName(name string) bool { return slices.Contains(dateNames, bare(name)) }

// rainName is what a column's name says of rain.
type rainName struct {
	rain  bool   // it names rain
	unit  unit   // the zero unit where the name states none
	other string // a unit that is stated but not read
}

// parseRainName reads a column's name: words, and a unit in () or [] or as the
// last words: "rain", "Rainfall (mm)", "precip_in", "rainMM", "rr_0.1mm".
func parseRainName(name string) rainName {
	var n rainName
	s := strings.ToLower(strings.TrimSpace(name))
	if open := strings.IndexAny(s, "(["); open >= 0 {
		if end := strings.IndexAny(s[open:], ")]"); end > 0 {
			n.setUnit(s[open+1 : open+end])
			s = s[:open] + " " + s[open+end+1:]
		}
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" _-:,", r) })
	for k := min(3, len(words)); k >= 1 && n.unit == (unit{}) && n.other == ""; k-- {
		if n.setUnit(strings.Join(words[len(words)-k:], "")) {
			words = words[:len(words)-k]
		}
	}
	for _, w := range words {
		if slices.Contains(notRain, w) {
			n.rain = false
			return n
		}
		n.rain = n.rainWithUnit(w) || isRainWord(w) || n.rain
	}
	return n
}

func (n *rainName) setUnit(s string) bool {
	if u, ok := parseUnit(s); ok {
		n.unit = u
		return true
	}
	if s = strings.Join(strings.Fields(s), ""); slices.Contains(otherUnits, s) {
		n.other = s
		return true
	}
	return false
}

func isRainWord(w string) bool {
	for _, before := range []string{"daily", "total", "obs"} {
		w = strings.TrimPrefix(w, before)
	}
	return slices.Contains(rainWords, w) || slices.ContainsFunc(rainStems, func(stem string) bool { return strings.HasPrefix(w, stem) })
}

// rainWithUnit reads words that end in a unit without a sign between: rainmm,
// precipin. "rain" itself does not: "ra" is no rain.
func (n *rainName) rainWithUnit(w string) bool {
	for _, end := range []string{"0.1mm", "mm", "inches", "inch", "in"} {
		if head, ok := strings.CutSuffix(w, end); ok && n.unit == (unit{}) && isRainWord(head) {
			return n.setUnit(end)
		}
	}
	return false
}
