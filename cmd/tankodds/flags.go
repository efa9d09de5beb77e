package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"tankodds/report/units"
	"tankodds/sim"
)

// options holds the flags as typed. A flag not given is "", 0 or false;
// given tells a 0 typed from none.
type options struct {
	rain, unit, station, dates, column, waterYear string
	since                                         int

	roofs, uses        []string
	roofGrid           string
	runoff, firstFlush string
	tanks, tank        string
	start, dead        string
	target, measure    string
	rule, generator    string
	recordError        string
	years, horizon     int
	seed               uint64
	workers            int
	units, out         string
	json, quiet        bool
	given              func(flag string) bool
}

// The groups of flags. A command takes the groups that mean something to it.

// rainFlag says which record.
func rainFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.rain, "rain", "", "`FILE` of daily rain, plain or .gz; - is standard input")
}

// readFlags say what a rain file cannot say of itself.
func readFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.unit, "unit", "", "the `UNIT` that the rain file holds: mm, in or 0.1mm")
	fs.StringVar(&o.station, "station", "", "the station `ID` wanted of a file with several")
	fs.StringVar(&o.column, "column", "", "the `NAME` of the rain column of a file with several")
	fs.StringVar(&o.dates, "dates", "", "`ORDER` of day and month where it cannot be told: dmy or mdy")
	fs.StringVar(&o.waterYear, "water-year", "", "`MONTH` in which the water year begins, as in oct; without it\nthe month after the driest half-year")
	fs.IntVar(&o.since, "since", 0, "use the record from this `YEAR` on")
}

// siteFlags describe roofs and uses.
func siteFlags(fs *pflag.FlagSet, o *options) {
	fs.StringArrayVar(&o.roofs, "roof", nil, "a `ROOF` by its plan area, as in \"140m2 metal\" or\n\"studio 1500sqft tile\"; repeat it for more; surfaces:\n"+surfaceNames())
	fs.StringArrayVar(&o.uses, "use", nil, "a `USE`, as in 300L/day or \"toilets 30gal/day weekdays\";\nrepeat it for more")
	fs.StringVar(&o.runoff, "runoff", "", "runoff coefficient of every roof, a `SHARE` such as 0.85")
	fs.StringVar(&o.firstFlush, "first-flush", "", "`DEPTH` that the first-flush diverter takes, as in 0.5mm")
}

// gridFlags say which sizes and areas to try.
func gridFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.tanks, "tanks", "", "tank `SIZES`: 500L..20000L/50 (from..to/how many) or a list\n1000L,2000L,5000L")
	fs.StringVar(&o.roofGrid, "roofs", "", "total roof `AREAS` to try: 50m2..400m2/20 or a list; the\nroofs are scaled to each")
}

// tankFlag names one tank.
func tankFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.tank, "tank", "", "the tank's `SIZE`, as in 5000L or 1500gal")
}

// storeFlags say how the tank is run.
func storeFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.start, "start", "", "`VOLUME` in the tank on the first day, as in 0L")
	fs.StringVar(&o.dead, "dead", "", "dead storage, a `SHARE` of the tank such as 3%")
	fs.StringVar(&o.rule, "rule", "", "`RULE` of the daily balance: yas or ybs (yield after or before\nspillage)")
}

// questionFlags say what is asked and how hard to work at it.
func questionFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.target, "target", "", "the reliability wanted, a `SHARE` such as 0.9")
	fs.StringVar(&o.measure, "measure", "", "`MEASURE` of the target: annual, time or volume")
	fs.StringVar(&o.generator, "generator", "", "`NAME` of the rain generator")
	fs.IntVar(&o.years, "years", 0, fmt.Sprintf("synthetic years to simulate, `N` (%d)", sim.DefaultYears))
	fs.Uint64Var(&o.seed, "seed", 0, fmt.Sprintf("seed of every random draw, `N` (%d)", defaultSeed))
	fs.StringVar(&o.recordError, "record-error", "", "resample the record's years too: `on` or off")
	fs.IntVar(&o.horizon, "horizon", 0, fmt.Sprintf("years ahead to look, `N` (%d)", sim.DefaultHorizon))
	fs.IntVar(&o.workers, "workers", 0, "cores to use, `N`; without it all; the answer is the same")
}

// unitsFlag chooses the units printed.
func unitsFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.units, "units", "", "print in `SYSTEM` si or us; without it as the input is given")
}

// outFlag names the folder of results.
func outFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.out, "out", "", "write tables and figures to this `DIR`")
}

// printFlags say how standard output looks.
func printFlags(fs *pflag.FlagSet, o *options) {
	fs.BoolVar(&o.json, "json", false, "print one JSON object, in SI units and full precision")
	fs.BoolVar(&o.quiet, "quiet", false, "no progress line")
}

func surfaceNames() string {
	var names []string
	for _, s := range sim.Surfaces() {
		if s.Name != sim.DefaultSurface {
			names = append(names, s.Name)
		}
	}
	half := (len(names) + 1) / 2
	return strings.Join(names[:half], ", ") + ",\n" + strings.Join(names[half:], ", ")
}

// split cuts words such as "studio 140 m2 metal" into what stands before the
// quantity, the quantity and what stands after. The quantity begins with the
// first word that begins like a number and is as long as it can be.
func split(kind units.Kind, what, s string) (before []string, q units.Quantity, after []string, err error) {
	words := strings.Fields(s)
	at := 0
	for at < len(words) && !strings.ContainsAny(words[at][:1], "0123456789.-+") {
		at++
	}
	if at == len(words) {
		return nil, q, nil, fmt.Errorf("%q has no quantity; %s is %s such as %s", oneLine(s), what, kind, kind.Example())
	}
	var first error
	for end := len(words); end > at; end-- {
		q, err = units.Parse(kind, what, strings.Join(words[at:end], " "))
		if err == nil {
			return words[:at], q, words[end:], nil
		}
		first = err // of the shortest text, which names the quantity alone
	}
	return nil, q, nil, first
}

// parseRoof reads "140m2", "140 m2 metal" or "studio 140m2 metal".
func parseRoof(s string) (sim.Roof, units.System, error) {
	before, q, after, err := split(units.Area, "a roof", s)
	if err != nil {
		return sim.Roof{}, 0, err
	}
	r := sim.NewRoof(q.Value)
	var name []string
	for i, w := range append(before, after...) {
		surface, ok := sim.FindSurface(strings.ToLower(w))
		switch {
		case ok:
			r.Surface, r.Runoff = surface.Name, surface.Runoff
		case i < len(before):
			name = append(name, w)
		default:
			return r, 0, fmt.Errorf("no surface is called %q; there are %s", w, oneLine(surfaceNames()))
		}
	}
	r.Name = strings.Join(name, " ")
	return r, q.System, r.Check()
}

// parseUse reads "300L/day", "toilets 120 L/day weekdays" or "50L/day mon,wed".
func parseUse(s string) (sim.Use, units.System, error) {
	before, q, after, err := split(units.Flow, "a use", s)
	if err != nil {
		return sim.Use{}, 0, err
	}
	u := sim.Use{Name: strings.Join(before, " "), Daily: q.Value}
	if len(after) > 0 {
		if u.Days, err = parseDays(strings.Join(after, " ")); err != nil {
			return u, 0, err
		}
	}
	if !(u.Daily > 0) {
		return u, 0, fmt.Errorf("%q wants no water; a use is above 0", oneLine(s))
	}
	return u, q.System, u.Check()
}

// parseDays reads "weekdays", "weekends" or names of days such as "mon, wed".
func parseDays(s string) (days [7]bool, err error) {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == ',' })
	if len(words) == 0 {
		return days, fmt.Errorf("no day is named; write weekdays, weekends or days such as mon,wed")
	}
	for _, w := range words {
		switch w {
		case "daily", "everyday":
			days = [7]bool{true, true, true, true, true, true, true}
			continue
		case "weekdays":
			for d := time.Monday; d <= time.Friday; d++ {
				days[d] = true
			}
			continue
		case "weekends":
			days[time.Saturday], days[time.Sunday] = true, true
			continue
		}
		d, ok := named(w, 7, func(i int) string { return time.Weekday(i).String() })
		if !ok {
			return days, fmt.Errorf("%q is no day; write weekdays, weekends or days such as mon,wed", w)
		}
		days[d] = true
	}
	return days, nil
}

// parseMonth reads "oct", "October" or "10".
func parseMonth(s string) (time.Month, error) {
	w := strings.ToLower(strings.TrimSpace(s))
	for m := time.January; m <= time.December; m++ {
		if w == fmt.Sprint(int(m)) {
			return m, nil
		}
	}
	if m, ok := named(w, 12, func(i int) string { return time.Month(i + 1).String() }); ok {
		return time.Month(m + 1), nil
	}
	return 0, fmt.Errorf("%q is no month; write a name such as oct or a number from 1 to 12", s)
}

// named finds the name that w is or, with three letters or more, begins.
func named(w string, n int, name func(int) string) (int, bool) {
	for i := range n {
		if len(w) >= 3 && strings.HasPrefix(strings.ToLower(name(i)), w) {
			return i, true
		}
	}
	return 0, false
}
