package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/sim"
)

// options holds the flags as typed. A flag not given is "", 0 or false;
// given tells a 0 typed from none.
type options struct {
	rain, unit, station, dates, column, columns, absent, missing, waterYear string
	since                                                                   int

	roofs, uses        []string
	roofGrid           string
	runoff, firstFlush string
	tanks, tank        string
	start, dead        string
	target, measure    string
	rule, generator    string
	recordError        string
	rainScale          string
	drySpellScale      string
	years, horizon     int
	seed               uint64
	workers            int
	kernel             string
	units, out, date   string
	json, quiet, demo  bool
	backtest           backtestOptions
	all                bool
	given              func(flag string) bool
}

// The groups of flags. A command takes the groups that mean something to it.

// rainFlag says which record.
func rainFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.rain, "rain", "", "`FILE` of daily rain, plain or .gz; - is standard input")
}

// readFlags say what a rain file cannot say of itself.
func readFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.unit, "unit", "", "`UNIT` that the rain file holds, where it cannot be known: mm, in or 0.1mm")
	fs.StringVar(&o.station, "station", "", "`ID` of the station wanted, for a file with several")
	fs.StringVar(&o.column, "column", "", "`NAME` of the rain column, or its number, where its name does not say so")
	fs.StringVar(&o.columns, "columns", "", "`NAMES` of all columns in order, for a file without a header: date,rain_mm or year,month,day,rain; - is one not wanted")
	fs.StringVar(&o.dates, "dates", "", "`ORDER` of day and month, where it cannot be told: dmy or mdy")
	fs.StringVar(&o.absent, "absent", "", "`WHAT` a day without a line was, for a file of wet days alone: zero (it was dry) or missing (it was not read)")
	fs.StringVar(&o.missing, "missing", "", "`NUMBERS` that stand for a missing value, such as 99.99 or 99.99,-1; none for none")
	fs.StringVar(&o.waterYear, "water-year", "", "`MONTH` in which the water year begins, such as oct; without it the month after the driest half-year")
	fs.IntVar(&o.since, "since", 0, "first `YEAR` of the record to use; without it all")
}

// siteFlags describe roofs and uses.
func siteFlags(fs *pflag.FlagSet, o *options) {
	fs.StringArrayVar(&o.roofs, "roof", nil, "`AREA` of a roof in plan, with its surface and a name if you like: 140m2, \"140m2 metal\", \"barn 1500sqft tile\"; repeat it for more roofs; surfaces are "+surfaceNames())
	fs.StringArrayVar(&o.uses, "use", nil, "`FLOW` of a use, with a name and days if you like: 300L/day, \"toilets 30gal/day weekdays\"; repeat it for more uses")
	fs.StringVar(&o.runoff, "runoff", "", "runoff coefficient of every roof, a `SHARE` such as 0.85; without it the surface's own")
	fs.StringVar(&o.firstFlush, "first-flush", "", fmt.Sprintf("`DEPTH` that the first-flush diverter of every roof takes, such as 1mm or 0.02in (%gmm)", sim.DefaultFirstFlush))
}

// gridFlags say which sizes and areas to try.
func gridFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.tanks, "tanks", "", "tank `SIZES` to try: 500L..20000L/50, from..to/how many, or a list 1000L,2000L,5000L; without it preferred numbers from 2 to 400 days' use")
	fs.StringVar(&o.roofGrid, "roofs", "", "total roof `AREAS` to try: 50m2..400m2/20 or a list; the roofs are scaled to each")
}

// tankFlag names one tank.
func tankFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.tank, "tank", "", "`SIZE` of the tank, such as 5000L or 1500gal")
}

// storeFlags say how the tank is run.
func storeFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.start, "start", "", "`VOLUME` in the tank on the first day (0L)")
	fs.StringVar(&o.dead, "dead", "", "`SHARE` of the tank that is dead storage, such as 3% (0%)")
	fs.StringVar(&o.rule, "rule", "", "`RULE` of the day: yas, yield after spillage, or ybs, yield before spillage (yas)")
}

// questionFlags say what is asked and how hard to work at it.
func questionFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.target, "target", "", fmt.Sprintf("reliability wanted, a `SHARE` such as 0.95 (%g)", sim.DefaultTarget))
	fs.StringVar(&o.measure, "measure", "", "`MEASURE` of the target: annual, the share of years without a short day; time, of days not short; volume, of the water wanted (annual)")
	fs.StringVar(&o.generator, "generator", "", "`NAME` of the rain generator: "+generatorNames())
	fs.IntVar(&o.years, "years", 0, fmt.Sprintf("simulate `N` synthetic years (%d)", sim.DefaultYears))
	fs.Uint64Var(&o.seed, "seed", 0, fmt.Sprintf("begin every random draw from `N`; the same seed, the same answer (%d)", sim.DefaultSeed))
	fs.StringVar(&o.recordError, "record-error", "", "`SWITCH` on or off the resampling of the record's years (on)")
	fs.IntVar(&o.horizon, "horizon", 0, fmt.Sprintf("say what the next `N` years may bring (%d)", sim.DefaultHorizon))
	fs.StringVar(&o.rainScale, "rain-scale", "", "stress the synthetic rain: times `X`, such as 0.9, or by month, jun-aug=0.8,dec=1.1; what if, not a forecast")
	fs.StringVar(&o.drySpellScale, "dry-spell-scale", "", "stress it: dry spells last `X` times as long, as in 1.2")
	workFlags(fs, o)
}

// workFlags say what does the work; see [command.do] for the kernel. The
// answer does not depend on them.
func workFlags(fs *pflag.FlagSet, o *options) {
	fs.IntVar(&o.workers, "workers", 0, "work on `N` cores; without it all; the answer is the same")
	fs.StringVar(&o.kernel, "kernel", "", "`NAME` of the code that runs the tanks, for tests: go, avx2, avx512 or auto, the fastest; the answer is the same (auto)")
}

// unitsFlag chooses the units printed.
func unitsFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.units, "units", "", "`SYSTEM` to print in: si or us; without it the one most quantities were given in")
}

// outFlag names the folder of results.
func outFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.out, "out", "", "`DIR` to write tables and figures to, with their list SHA256SUMS; what an earlier run left there is replaced, anything else stays")
}

// dateFlag dates the sheet; without it the same input gives the same bytes.
func dateFlag(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.date, "date", "", "`DATE` to print on the sheet: today, or as you write it (default none)")
}

// printFlags say how standard output looks.
func printFlags(fs *pflag.FlagSet, o *options) {
	fs.BoolVar(&o.json, "json", false, "print one JSON object, in SI units and full precision")
	fs.BoolVar(&o.quiet, "quiet", false, "no progress line")
}

// flagsText lists the flags in two columns of 80.
func flagsText(fs *pflag.FlagSet) string {
	const indent, width = 24, 79
	var b strings.Builder
	fs.VisitAll(func(f *pflag.Flag) {
		value, usage := pflag.UnquoteUsage(f)
		if f.Value.Type() == "bool" {
			value = ""
		}
		left := strings.TrimSpace("--" + f.Name + " " + value)
		line := fmt.Sprintf("  %-*s", indent-2, left)
		for i, word := range strings.Fields(usage) {
			if i > 0 && len(line)+1+len(word) > width {
				b.WriteString(line + "\n")
				line = strings.Repeat(" ", indent)
			} else if i > 0 {
				line += " "
			}
			line += word
		}
		b.WriteString(line + "\n")
	})
	return b.String()
}

// generatorNames lists the generators, the default once more in brackets.
func generatorNames() string {
	var names []string
	for _, g := range gen.All() {
		names = append(names, g.Name)
	}
	return strings.Join(names, ", ") + " (" + names[0] + ")"
}

// surfaceNames lists the surfaces that can be named.
func surfaceNames() string {
	var names []string
	for _, s := range sim.Surfaces() {
		if s.Name != sim.DefaultSurface {
			names = append(names, s.Name)
		}
	}
	return strings.Join(names, ", ")
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
	end := len(words)
	for end > at+1 && !units.Known(strings.Join(words[at:end], " ")) {
		end--
	}
	q, err = units.Parse(kind, what, strings.Join(words[at:end], " "))
	return words[:at], q, words[end:], err
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
			return r, 0, fmt.Errorf("no surface is called %q; there are %s", w, surfaceNames())
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
