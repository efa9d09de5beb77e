package read

import (
	"slices"
	"strings"
	"unicode"
)

// The names by which a plain file's columns are known, letter case and signs
// aside, in the languages of many gauge networks.
var (
	dateNames    = []string{"date", "datum", "fecha", "data", "dato", "pvm", "datetime", "timestamp", "time", "obsdate", "observationdate", "dateobserved", "yyyymmdd", "yyyymmdddate", "localdate", "dateutc", "datelocal", "yearmoda", "aaaammjj", "jjmmaaaa", "tarih", "dzien", "päivä"}
	yearNames    = []string{"year", "yr", "yyyy", "jahr", "annee", "année", "año", "ano", "anno", "jaar"}
	monthNames   = []string{"month", "mon", "mo", "mnth", "monat", "mois", "mes", "mês", "mese", "maand"}
	dayNames     = []string{"day", "dy", "dd", "dom", "tag", "jour", "dia", "día", "giorno", "dag"}
	stationNames = []string{"station", "stationid", "stationname", "stationno", "stationnumber", "stationcode", "stn", "stnid", "stnno", "staid", "stid", "site", "siteid", "siteno", "sitecode", "gauge", "gaugeid", "gaugeno", "gaugenumber", "gaugecode", "gaugename", "gage", "gageid", "gageno", "location", "city"}
	// weakNames may name stations, rows or qualities: the cells tell.
	weakNames = []string{"id", "code", "no", "number", "name", "nom", "nombre", "nome", "place", "village", "town", "district", "county", "municipality", "municipio", "commune", "lieu", "ort", "standort",
		"estacion", "estación", "estação", "indicativo", "stazione", "poste", "posto", "numposte", "nomusuel", "catchment", "basin", "element", "parameter", "variable", "sensor"}

	dayOfYearNames = []string{"doy", "dayofyear", "julianday", "yday"}
	periodNames    = []string{"period", "perioddays", "days", "ndays", "numberofdays", "daysaccumulated", "accumulationdays", "dapr", "daysmeasured", "measureddays", "noofdays", "dayscovered"}
	mflagNames     = []string{"mflag", "prcpmflag", "mflagprcp"}
	clockNames     = []string{"time", "hour", "hh", "hr", "obs", "obstime", "observationtime", "ampm", "session", "reading"}
	unitNames      = []string{"unit", "units"}
	qflagNames     = []string{"qflag", "prcpqflag", "qflagprcp"}
	// remarkWords are words of columns that say something of a value.
	remarkWords = []string{"flag", "flags", "quality", "qc", "qual", "qflag", "mflag", "code", "attr", "attribute", "attributes", "period", "status", "accumulated", "estimated", "suspect", "days", "multiday", "ismultiday"}

	// rainWords are the words that name rain.
	rainWords = []string{"rain", "rains", "rainfall", "rainfalls", "precip", "precipitation", "precipitations", "prcp", "ppt", "pcp", "prec", "pr", "rr", "rf", "prectot", "prectotcorr",
		"niederschlag", "niederschläge", "niederschlagshöhe", "niederschlagshoehe", "niederschlagsmenge", "regen", "regenmenge", "pluie", "pluies", "pluviometrie", "précipitation", "précipitations",
		"lluvia", "precipitacion", "precipitación", "chuva", "precipitacao", "precipitação", "pioggia", "precipitazione", "precipitazioni", "neerslag", "nederbörd", "nederbord", "nedbør", "nedbor",
		"opad", "opady", "pluvio", "pluviometry", "pluviometria", "pluviometría"}
	// besideRain are words that may stand beside one of these and leave it the
	// rain of a day; any other may make of it something else: rain_flag, rain
	// rate, rain normal, precipitable water.
	besideRain = []string{"daily", "day", "total", "totals", "tot", "sum", "amount", "depth", "height", "obs", "observed", "gauge", "gage", "station", "site", "measured", "value", "values", "corrected", "corr", "liquid", "and", "snow",
		"of", "the", "in", "at", "per", "d", "last", "past", "h", "hr", "hrs", "hour", "hours",
		"tages", "tag", "tagessumme", "summe", "journalière", "journaliere", "quotidienne", "jour", "diaria", "diario", "dia", "día", "giornaliera", "dag", "dagsum", "etmaal", "som", "hauteur", "de", "dobowy", "suma"}
	// otherUnits are units that rain may be given in and that are not read.
	otherUnits = []string{"cm", "m", "ft", "mm/h", "mm/hr", "in/hr", "in/h", "mm/month", "mm/year", "mm/s", "kgm-2s-1", "cl", "kg/m2/s", "m3", "%"}
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
// last words: "rain", "Rainfall (mm)", "precip_in", "rainMM", "rr_0.1mm". A
// unit with something beside it, as in "(x0.1 mm)", is another unit.
func parseRainName(name string) rainName {
	var n rainName
	s := strings.ToLower(strings.TrimSpace(name))
	for {
		open := strings.IndexAny(s, "([")
		end := strings.IndexAny(s[max(open, 0):], ")]")
		if open < 0 || end <= 0 {
			break
		}
		inside := s[open+1 : open+end]
		s = s[:open] + " " + s[open+end+1:]
		if n.setUnit(inside) || len(strings.FieldsFunc(inside, notLetter)) == 0 && !strings.ContainsAny(inside, "0123456789") {
			continue
		}
		if strings.ContainsAny(inside, "0123456789*/×%") || n.unit == (unit{}) && hasUnit(inside) {
			n.other = strings.TrimSpace(inside)
		}
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" _-:,", r) })
	for k := min(3, len(words)); k >= 1 && n.unit == (unit{}) && n.other == ""; k-- {
		if n.setUnit(strings.Join(words[len(words)-k:], "")) {
			words = words[:len(words)-k]
		}
	}
	other := false
	for _, w := range words {
		switch {
		case n.rainWithUnit(w), isRainWord(w):
			n.rain = true
		case strings.ContainsAny(w, "0123456789") && n.unit != (unit{}) && strings.Trim(w, "0123456789hr") != "",
			strings.HasPrefix(w, "tenth"), strings.HasPrefix(w, "hundred"), strings.ContainsAny(w, "*×"), n.unit != (unit{}) && strings.HasPrefix(w, "0."):
			n.other = strings.TrimSpace(name)
		case !slices.Contains(besideRain, w) && strings.Trim(w, "0123456789") != "" && w != "24h" && w != "24hr" && w != "24hrs":
			other = true
		case (w == "h" || w == "hr" || w == "hrs" || w == "hour" || w == "hours" || w == "last" || w == "past") && !slices.Contains(words, "24"):
			other = true
		}
	}
	n.rain = n.rain && !other
	return n
}

func notLetter(r rune) bool { return !unicode.IsLetter(r) }

// hasUnit reports whether one of the words is a unit.
func hasUnit(s string) bool {
	return slices.ContainsFunc(strings.FieldsFunc(s, notLetter), func(w string) bool { _, ok := parseUnit(w); return ok })
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
	return slices.Contains(rainWords, w)
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
