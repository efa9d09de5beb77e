package site

import (
	"fmt"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// How many letters a text may have: it is printed on a page that is to be
// read, over and over in tables.
const (
	mostName  = 100 // of a roof, a use, a station or a column, and a currency
	mostTitle = 200 // of the site and its people and place
	mostNote  = 2000
)

// What can be worked out in reasonable time; more is a slip of the keyboard.
const (
	mostYears      = 10_000_000
	mostSynthYears = 100_000 // they are held in memory and written out
	mostReplicates = 100_000
	mostWorkers    = 1 << 20
)

// Table lists every parameter, in the order that help and a site file have.
var Table = []*Parameter{
	{
		Key: "name", Doc: "`NAME` of the site", Without: "the record's name",
		Value: text(mostTitle, func(a At) *string { return &a.Name }),
	},
	{
		Key: "client", Doc: "`NAME` of whom the sheet is for",
		Value: text(mostTitle, func(a At) *string { return &a.Cover.Client }),
	},
	{
		Key: "author", Doc: "`NAME` of who prepared it",
		Value: text(mostTitle, func(a At) *string { return &a.Cover.Author }),
	},
	{
		Key: "note", Doc: "a `LINE` of your own for the sheet",
		Value: text(mostNote, func(a At) *string { return &a.Cover.Note }),
	},
	{
		Key: "location", Doc: "`PLACE` where the site is",
		Value: text(mostTitle, func(a At) *string { return &a.Cover.Location }),
	},
	{
		Key: "elevation", Doc: "`HEIGHT` of the site above the sea, in m or ft", Without: "unknown",
		Value: known(units.Length, "an elevation", func(a At) **float64 { return &a.Cover.Elevation }),
	},

	{
		Flag: "tank", For: Replay, Doc: "`SIZE` of the tank, such as 5000L or 1500gal",
		Value: quantities(units.Volume, "a tank size", func(a At) *[]float64 { return &a.Study.Sizes }),
	},

	{
		Key: "rain.file", Flag: "rain", For: Size | Replay | Recheck, Must: true,
		Doc:   "`FILE` of daily rain, plain or .gz; - is standard input",
		Value: recordFile(),
	},
	{
		Key: "rain.unit", Flag: "unit", For: readers, Without: "the format's own",
		Doc:   "`UNIT` that the rain file holds, where it cannot be known: mm, in or 0.1mm",
		Value: rainUnit(func(a At) *string { return &a.Record.Unit }),
	},
	{
		Key: "rain.station", Flag: "station", For: readers, Without: "the only one",
		Doc:   "`ID` of the station wanted, for a file with several",
		Value: text(mostName, func(a At) *string { return &a.Record.Station }),
	},
	{
		Key: "rain.column", Flag: "column", For: readers, Without: "the one named rain",
		Doc:   "`NAME` of the rain column, or its number, where its name does not say so",
		Value: text(mostName, func(a At) *string { return &a.Record.Column }),
	},
	{
		Key: "rain.columns", Flag: "columns", For: readers, Without: "read from the header",
		Doc:   "`NAMES` of all columns in order, for a file without a header: date,rain_mm or year,month,day,rain; - is one not wanted",
		Value: text(mostNote, func(a At) *string { return &a.Record.Columns }),
	},
	{
		Key: "rain.dates", Flag: "dates", For: readers, Without: "told from the dates",
		Doc:   "`ORDER` of day and month, where it cannot be told: dmy or mdy",
		Value: orNone(func(a At) *string { return &a.Record.Dates }, oneOf(func(a At) *string { return &a.Record.Dates }, "dmy", "mdy")),
	},
	{
		Key: "rain.absent", Flag: "absent", For: readers, Without: "asked for where the file lists wet days alone",
		Doc:   "`WHAT` a day without a line was, for a file of wet days alone: zero (it was dry) or missing (it was not read)",
		Value: orNone(func(a At) *string { return &a.Record.Absent }, oneOf(func(a At) *string { return &a.Record.Absent }, "zero", "missing")),
	},
	{
		Key: "rain.missing", Flag: "missing", For: readers, Without: "told from the values",
		Doc:   "`NUMBERS` that stand for a missing value, such as 99.99 or 99.99,-1; none for none",
		Value: missingNumbers(func(a At) *string { return &a.Record.Missing }),
	},
	{
		Key: "rain.water_year", Flag: "water-year", For: readers, Without: "the month after the driest half-year",
		Doc:   "`MONTH` in which the water year begins, such as oct",
		Value: month(func(a At) *int { return &a.Record.WaterYear }),
	},
	{
		Key: "rain.since", Flag: "since", For: readers, Without: "all", Example: "1980",
		Doc:   "first `YEAR` of the record to use",
		Value: orNone(func(a At) *int { return &a.Record.Since }, whole(1, 9999, func(a At) *int { return &a.Record.Since })),
	},
	{
		Flag: "demo", For: Synth | Backtest | Record, Doc: "read the invented record that the tool carries",
		Value: yes(func(a At) *bool { return &a.Record.Embedded }),
	},

	{
		Flag: "roof", For: studies | Backtest,
		Doc:   "`AREA` of a roof in plan, with its surface and a name if you like: 140m2, \"140m2 metal\", \"barn 1500sqft tile\"; repeat it for more roofs; surfaces are " + strings.Join(SurfaceNames(), ", "),
		Value: several(func(a At) *[]sim.Roof { return &a.Study.Roofs }, parseRoof),
	},
	{
		Flag: "use", For: studies | Backtest,
		Doc:   "`FLOW` of a use, with a name and days if you like: 300L/day, \"toilets 30gal/day weekdays\"; repeat it for more uses",
		Value: several(func(a At) *[]sim.Use { return &a.Study.Uses }, parseUse),
	},
	{
		Key: "roofs.name", Doc: "`NAME` of the roof", Without: "roof 1, roof 2, …", Name: "Roof",
		Value: text(mostName, func(a At) *string { return &a.Roof.Name }),
	},
	{
		Key: "roofs.area", Doc: "`AREA` in plan, as seen from above", Must: true, Name: "Plan area",
		Value: quantity(units.Area, "a roof area", func(a At) *float64 { return &a.Roof.Area }),
	},
	{
		Key: "roofs.surface", Doc: "`SURFACE`: " + strings.Join(SurfaceNames(), ", "), Without: unstatedSurface(), Name: "Surface",
		Value: surface(func(a At) *sim.Roof { return a.Roof }),
	},
	{
		Key: "roofs.runoff", Flag: "runoff", For: studies | Backtest, Without: "the surface's own", Name: "Runoff coefficient",
		Doc: "runoff coefficient, a `SHARE` such as 0.85",
		Value: bare(quantity(units.Share, "a runoff coefficient", func(a At) *float64 { return &a.Roof.Runoff }, aboveZero("a runoff coefficient")),
			func(a At) *float64 { return &a.Roof.Runoff }),
	},
	{
		Key: "roofs.wetting", Doc: "`DEPTH` lost off each day's rain", Name: "Wetting loss",
		Value: quantity(units.Depth, "a wetting loss", func(a At) *float64 { return &a.Roof.Wetting }),
	},
	{
		Key: "roofs.first_flush", Flag: "first-flush", For: studies | Backtest, Name: "First flush", Source: CommonPractice,
		Doc:   "`DEPTH` that the first-flush diverter takes, such as 1mm or 0.02in",
		Value: quantity(units.Depth, "a first flush", func(a At) *float64 { return &a.Roof.FirstFlush }),
	},
	{
		Key: "roofs.filter", Doc: "`SHARE` that the filter passes on", Name: "Filter passes on",
		Value: quantity(units.Share, "a filter share", func(a At) *float64 { return &a.Roof.Filter }, aboveZero("a filter share")),
	},
	{
		Key: "roofs.drains", Doc: "whole dry `DAYS` that empty the diverter", Name: "Diverter drains in", Note: "dry days",
		Value: whole(1, 365, func(a At) *int { return &a.Roof.Drains }),
	},
	{
		Key: "uses.name", Doc: "`NAME` of the use", Without: "use 1, use 2, …", Name: "Use",
		Value: text(mostName, func(a At) *string { return &a.Use.Name }),
	},
	{
		Key: "uses.daily", Doc: "`VOLUME` a day, or by the week, month or year as in 700 L/week", Name: "On its days",
		Value: daily(func(a At) *float64 { return &a.Use.Daily }),
	},
	{
		Key: "uses.days", Doc: "`DAYS` on which daily is drawn: weekdays, weekends or days such as [mon, wed]", Without: "every day", Name: "Days",
		Value: inWords(weekdays(func(a At) *sim.Weekdays { return &a.Use.Days }), func(a At, _ units.System) string { return words.Days(*a.Use) }),
	},
	{
		Key: "uses.monthly", Doc: "twelve `VOLUMES`, January first, each spread evenly over its month", Without: "none", Name: "By the month",
		Value: inWords(monthly(func(a At) *[12]float64 { return &a.Use.Monthly }), func(a At, s units.System) string { return words.Monthly(s, *a.Use) }),
	},
	{Key: "uses.area", Value: later()},
	{Key: "uses.plant_factor", Value: later()},
	{Key: "uses.efficiency", Value: later()},
	{Key: "uses.et0", Value: later()},

	{
		Key: "tank.sizes", Flag: "tanks", For: answers, Without: "preferred numbers from 2 to 400 days' use",
		Doc:   "tank `SIZES` to try: 500L..20000L/50, from..to/how many, or a list 1000L,2000L,5000L",
		Value: quantities(units.Volume, "a tank size", func(a At) *[]float64 { return &a.Study.Sizes }),
	},
	{
		Flag: "roofs", For: answers,
		Doc:   "total roof `AREAS` to try: 50m2..400m2/20 or a list; the roofs are scaled to each",
		Value: quantities(units.Area, "a roof area", func(a At) *[]float64 { return &a.Study.Areas }),
	},

	{
		Flag: "learn", For: Backtest, Doc: "usable `YEARS` to learn from, a list",
		Value: each(func(a At) *[]int { return &a.Backtest.Learn }, false, wholeNumber),
	},
	{
		Flag: "judge", For: Backtest, Doc: "be judged by up to `N` usable years after them",
		Value: whole(1, mostYears, func(a At) *int { return &a.Backtest.Judge }),
	},
	{
		Flag: "judge-least", For: Backtest, Doc: "and by `N` at least",
		Value: whole(1, mostYears, func(a At) *int { return &a.Backtest.Least }),
	},
	{
		Flag: "step", For: Backtest, Doc: "begin a window every `N` usable years",
		Value: whole(1, mostYears, func(a At) *int { return &a.Backtest.Step }),
	},
	{
		Flag: "demands", For: Backtest, Example: "0.3,0.5", Doc: "yearly demands, `SHARES` of an average year's inflow, a list",
		Value: each(func(a At) *[]float64 { return &a.Backtest.Demands }, false, share),
	},
	{
		Flag: "targets", For: Backtest, Example: "0.8,90%", Doc: "reliabilities to size for, `SHARES`, a list or none",
		Value: each(func(a At) *[]float64 { return &a.Backtest.Targets }, true, share),
	},
	{
		Flag: "storages", For: Backtest, Example: "0.05,10%", Doc: "tanks that are the same for every generator, `SHARES` of an average year's inflow, a list or none",
		Value: each(func(a At) *[]float64 { return &a.Backtest.Tanks }, true, share),
	},
	{
		Flag: "generators", For: Backtest, Without: "all", Doc: "`NAMES` of the rain generators, a list: " + strings.Join(generatorNames(), ", "),
		Value: each(func(a At) *[]gen.Generator { return &a.Generators }, false, gen.Find),
	},

	{
		Key: "tank.start", Flag: "start", For: studies, Doc: "`VOLUME` in the tank on the first day", Name: "In the tank at the start",
		Note:  fmt.Sprintf("; the first %d simulated years are not counted", sim.RunIn),
		Value: quantity(units.Volume, "the starting storage", func(a At) *float64 { return &a.Study.Start }),
	},
	{
		Key: "tank.dead", Flag: "dead", For: studies, Name: "Dead storage", Note: " of the nominal size",
		Doc: "`SHARE` of the tank below the outlet, never used, such as 3%",
		Value: quantity(units.Share, "dead storage", func(a At) *float64 { return &a.Study.Dead }, func(x float64) error {
			if x >= 1 {
				return fmt.Errorf("dead storage of %s leaves nothing usable; write less than 100 %%", units.Percent(x))
			}
			return nil
		}),
	},
	{
		Key: "simulation.rule", Flag: "rule", For: studies | Backtest, Name: "Rule", Note: ", one step a day (Jenkins et al. 1978; Fewkes & Butler 2000)",
		Doc:   "`RULE` of the day: yas, yield after spillage, or ybs, yield before spillage",
		Value: inWords(oneOf(func(a At) *sim.Rule { return &a.Study.Rule }, sim.YAS, sim.YBS), func(a At, _ units.System) string { return words.Rule(a.Study.Rule) }),
	},
	{
		Key: "tank.prices", When: priced, Doc: "`PRICES` of at least two sizes, installed", Example: "{2000 L: 900, 10000 L: 2600}", Without: "none", Name: "Tank prices, installed",
		Value: inWords(prices(), func(a At, s units.System) string { return words.Prices(s, a.Study.Costs) }),
	},
	{
		Key: "tank.water_price", When: priced, Doc: "`PRICE` of the water not bought; prices and water_price go together", Example: "3.20 per m3", Without: "none", Name: "Water not bought",
		Value: inWords(quantity(units.Price, "a water price", func(a At) *float64 { return &a.costs().Water }),
			func(a At, s units.System) string { return s.Price(a.Study.Costs.Water, a.Study.Costs.Currency) }),
	},
	{
		Key: "tank.life", When: priced, Doc: "`YEARS` that the tank serves", Name: "Life of the tank", Note: " years", Source: "35 Australian metal tanks, Taylor 2005, as quoted elsewhere",
		Value: whole(1, 200, func(a At) *float64 { return &a.costs().Life }),
	},
	{
		Key: "tank.discount", When: priced, Doc: "discount `RATE` a year", Name: "Discount rate", Note: " a year", Source: "the public rate in Roebuck's thesis, table 6.1",
		Value: quantity(units.Share, "a discount rate", func(a At) *float64 { return &a.costs().Discount }),
	},
	{
		Key: "tank.currency", When: priced, Doc: "`SIGN` of the currency, to print", Without: "none",
		Value: text(mostName, func(a At) *string { return &a.costs().Currency }),
	},

	{
		Key: "target.reliability", Flag: "target", For: answers, Doc: "reliability wanted, a `SHARE` such as 0.95", Name: "Target",
		Value: inWords(target(func(a At) *float64 { return &a.Study.Target }), func(a At, _ units.System) string { return words.Goal(a.Study) }),
	},
	{
		Key: "target.measure", Flag: "measure", For: answers, Name: "Measure of the target",
		Doc: "`MEASURE` of the target: annual, the share of years without a short day; time, of days not short; volume, of the water wanted",
		Value: inWords(oneOf(func(a At) *sim.Measure { return &a.Study.Measure }, sim.Annual, sim.Time, sim.Volume),
			func(a At, _ units.System) string { return words.Measure(a.Study.Measure) }),
	},
	{
		Key: "target.allow", Doc: "short `DAYS` that a good year may have", Name: "Short days that a good year may have",
		Value: whole(0, rainfall.DaysPerYear, func(a At) *int { return &a.Study.Allow }),
	},

	{
		Key: "simulation.generator", Flag: "generator", For: answers | Synth,
		Doc:   "`NAME` of the rain generator: " + strings.Join(generatorNames(), ", "),
		Value: generator(func(a At) *gen.Generator { return &a.Generator }),
	},
	{
		Key: "simulation.years", Flag: "years", For: answers, Doc: "simulate `N` synthetic years", Name: "Years simulated", Note: fmt.Sprintf(" in traces of %d", sim.TraceYears),
		Value: inWords(whole(sim.TraceYears, mostYears, func(a At) *int { return &a.Study.Years }),
			func(a At, _ units.System) string { return count(a.Study.Years / sim.TraceYears * sim.TraceYears) }),
	},
	{
		Flag: "years", For: Backtest, Doc: "simulate `N` synthetic years a window",
		Value: whole(sim.TraceYears, mostYears, func(a At) *int { return &a.Backtest.Years }),
	},
	{
		Flag: "years", For: Synth, Doc: "make `N` synthetic years", Default: "100",
		Value: whole(1, mostSynthYears, func(a At) *int { return &a.Study.Years }),
	},
	{
		Key: "simulation.seed", Flag: "seed", For: answers | Synth | Backtest, Name: "Seed",
		Doc:   "begin every random draw from `N`; the same seed, the same answer",
		Value: number(func(a At) *uint64 { return &a.Study.Seed }),
	},
	{
		Flag: "record-error", For: answers, Name: "Error of the record's length", Doc: "`SWITCH` on or off the resampling of the record's years",
		Value: onOff(func(a At) *bool { return &a.Study.RecordError }),
	},
	{
		Flag: "horizon", For: answers, Doc: "say what the next `N` years may bring", Name: "Years ahead",
		Value: whole(1, sim.TraceYears, func(a At) *int { return &a.Study.Horizon }),
	},
	{
		Flag: "rain-scale", For: answers, Example: "jun-aug=0.8", Name: "Stress", Note: "; what if, not a forecast", When: stressed,
		Doc:   "stress the synthetic rain: times `X`, such as 0.9, or by month, jun-aug=0.8,dec=1.1; what if, not a forecast",
		Value: inWords(rainScale(func(a At) *[12]float64 { return &a.Study.Stress.Rain }), func(a At, _ units.System) string { return words.Stress(a.Study.Stress) }),
	},
	{
		Flag: "dry-spell-scale", For: answers, Example: "1.2", Doc: "stress it: dry spells last `X` times as long, as in 1.2",
		Value: drySpells(func(a At) *float64 { return &a.Study.Stress.DrySpell }),
	},

	{
		Flag: "all", For: Recheck, Doc: "list every value, not only those that differ",
		Value: yes(func(a At) *bool { return &a.All }),
	},
	{
		Flag: "workers", For: answers | Backtest | Recheck, Without: "all", Doc: "work on `N` cores; the answer is the same",
		Value: whole(0, mostWorkers, func(a At) *int { return &a.Study.Workers }),
	},
	{
		Flag: "kernel", For: answers | Backtest | Recheck,
		Doc:   "`NAME` of the code that runs the tanks, for tests: go, avx2, avx512 or auto, the fastest; the answer is the same",
		Value: kernel(func(a At) *string { return &a.Kernel }),
	},
	{
		Flag: "units", For: studies | Synth | Record | Report, Without: "the one most quantities were given in",
		Doc:   "`SYSTEM` to print in: si or us",
		Value: systemOfUnits(func(a At) *units.System { return &a.Units }),
	},
	{
		Flag: "units", For: New, Without: "si", Doc: "`SYSTEM` of units that the site is in: si or us",
		Value: systemOfUnits(func(a At) *units.System { return &a.Units }),
	},
	{
		Flag: "out", For: studies | Synth | Backtest | Report,
		Doc:   "`DIR` to write tables and figures to, with their list SHA256SUMS; what an earlier run left there is replaced, anything else stays",
		Value: folder(func(a At) *string { return &a.Out }),
	},
	{
		Flag: "date", For: Size, Without: "none", Doc: "`DATE` to print on the sheet: today, or as you write it",
		Value: date(func(a At) *string { return &a.Cover.Date }),
	},
	{
		Flag: "json", For: readers | Recheck | Report, Doc: "print one JSON object, in SI units and full precision",
		Value: yes(func(a At) *bool { return &a.JSON }),
	},
	{
		Flag: "quiet", For: readers | Recheck | Report, Doc: "no progress line",
		Value: yes(func(a At) *bool { return &a.Quiet }),
	},

	// What cannot be asked, but an answer rests on.
	{
		Name:  "Resampled records",
		When:  func(p *Plan) bool { return p.Study.RecordError },
		Note:  fmt.Sprintf(", each simulated for %d years", sim.ReplicateYears),
		Value: whole(0, mostReplicates, func(a At) *int { return &a.Study.Replicates }),
	},
	{
		Name:  "Level of every range",
		Value: quantity(units.Share, "a level", func(a At) *float64 { return &a.Study.Level }, aboveZero("a level")),
	},
	{
		Name:  "Step of storage judged",
		Value: quantity(units.Volume, "a step of storage", func(a At) *float64 { return &a.Study.GainStep }, aboveZero("a step of storage")),
	},
	{
		Name: "Gain that makes it worth having", Note: " of the water wanted",
		Value: quantity(units.Share, "a gain", func(a At) *float64 { return &a.Study.GainStop }, aboveZero("a gain")),
	},
}
