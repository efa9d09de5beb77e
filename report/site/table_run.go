package site

import (
	"fmt"
	"strings"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// runRows are about the target and how the work is done.
var runRows = []*Parameter{
	{
		Key: "target.reliability", Flag: "target", For: answers, Doc: "reliability wanted, a `SHARE` such as 0.95", Name: "Target",
		field: func(a At) any { return &a.Study.Target }, kind: units.Share, what: "a target", plain: true, limit: checkTarget,
		say: func(a At, _ units.System) string { return words.Goal(a.Study) },
	},
	{
		Key: "target.measure", Flag: "measure", For: answers, Name: "Measure of the target",
		Doc:   "`MEASURE` of the target: annual, the share of years without a short day; time, of days not short; volume, of the water wanted",
		field: func(a At) any { return &a.Study.Measure }, Words: []string{"annual", "time", "volume"},
		say: func(a At, _ units.System) string { return words.Measure(a.Study.Measure) },
	},
	{
		Key: "target.of", When: func(p *Plan) bool { return p.Study.Fitted.Of != "" }, Name: "The target is about", Without: "all uses together", Example: "needs",
		Doc:   "`NAME` of the one use that the target is about",
		field: func(a At) any { return &a.Study.Fitted.Of }, most: mostName,
	},
	{
		Key: "target.solve", Flag: "solve", For: Size, Name: "Asked for",
		Doc:   "what is asked for, `WHAT`: tank, the smallest; of one tank size alone, use, the largest use, or roof, the smallest roof; both are told",
		When:  func(p *Plan) bool { return p.Study.Sought != sim.ForTank },
		field: func(a At) any { return &a.Study.Sought }, Words: []string{"tank", "use", "roof"},
	},
	{
		Key: "target.allow", Doc: "short `DAYS` that a good year may have", Name: "Short days that a good year may have",
		field: func(a At) any { return &a.Study.Allow }, low: 0, high: rainfall.DaysPerYear,
	},

	{
		Key: "simulation.generator", Flag: "generator", For: answers | Synth | Cite,
		Doc:   "`NAME` of the rain generator: " + strings.Join(generatorNames(), ", "),
		field: func(a At) any { return &a.Generator }, Words: generatorNames(),
	},
	{
		Key: "simulation.years", Flag: "years", For: answers, Doc: "simulate `N` synthetic years", Name: "Years simulated", Note: fmt.Sprintf(" in traces of %d", sim.TraceYears),
		field: func(a At) any { return &a.Study.Years }, low: sim.TraceYears, high: mostYears,
		say: func(a At, _ units.System) string { return words.Whole(a.Study.Years / sim.TraceYears * sim.TraceYears) },
	},
	{
		Flag: "years", For: Backtest, Doc: "simulate `N` synthetic years a window",
		field: func(a At) any { return &a.Backtest.Years }, low: sim.TraceYears, high: mostYears,
	},
	{
		Flag: "years", For: Synth, Doc: "make `N` synthetic years", Default: "100",
		field: func(a At) any { return &a.Study.Years }, low: 1, high: mostSynthYears,
	},
	{
		Key: "simulation.seed", Flag: "seed", For: answers | Synth | Backtest, Name: "Seed",
		Doc:   "begin every random draw from `N`; the same seed, the same answer",
		field: func(a At) any { return &a.Study.Seed },
	},
	{
		Flag: "record-error", For: answers, Name: "Error of the record's length", Doc: "`SWITCH` on or off the resampling of the record's years",
		field: func(a At) any { return &a.Study.RecordError }, Words: []string{"on", "off"},
	},
	{
		Flag: "horizon", For: answers, Doc: "say what the next `N` years may bring", Name: "Years ahead",
		field: func(a At) any { return &a.Study.Horizon }, low: 1, high: sim.TraceYears,
	},
	{
		Flag: "explain", For: Size, Doc: "tell what each uncertain input is worth to the size: runoff, first flush, use, roof, rain, rule",
		field: func(a At) any { return &a.Study.Explain }, Words: switchWords,
	},
	{
		Flag: "rain-scale", For: answers, Example: "jun-aug=0.8", Name: "Stress", Note: "; what if, not a forecast", When: stressed,
		Doc:   "stress the synthetic rain: times `X`, such as 0.9, or by month, jun-aug=0.8,dec=1.1, or as a file says, @FILE with a month and a factor a line; what if, not a forecast",
		field: func(a At) any { return &a.Study.Stress.Rain }, read: readRainScale, limit: checkStress,
		say: func(a At, _ units.System) string { return words.Stress(a.Study.Stress) },
	},
	{
		Flag: "dry-spell-scale", For: answers, Example: "1.2", Doc: "stress it: dry spells last `X` times as long, as in 1.2",
		field: func(a At) any { return &a.Study.Stress.DrySpell }, what: "a factor", read: readDrySpells, orNone: true, limit: checkStress,
	},

	{
		Flag: "stations", For: Compare, Without: "none", Example: "stations.csv",
		Doc:   "`FILE` that lists stations: their id or file, latitude, longitude, elevation and whatever else is known of them",
		field: func(a At) any { return &a.Many.Stations }, Files: true,
	},
	{
		Flag: "where", For: Compare, Without: "all", Example: "seasonality>0.6",
		Doc:   "`CONDITION` that a record must meet, such as seasonality>0.6 or grade=shown, of a column of answers.csv or of the list; reason= asks for an empty cell, reason!= for one that is not; may be given several times",
		field: func(a At) any { return &a.Many.Where }, read: readWhere,
	},
	{
		Flag: "sort", For: Compare, Without: "the order given", Example: "tank_l",
		Doc:   "`COLUMN` to put the records in order by; -COLUMN from the largest down, as in --sort=-tank_l",
		field: func(a At) any { return &a.Many.Sort }, read: readSort,
	},
	{
		Flag: "group", For: Compare, Without: "none", Example: "climate",
		Doc:   "`COLUMN` to count the records by: climate, which is their seasonality in seven classes, or one of the list",
		field: func(a At) any { return &a.Many.Group }, most: mostName,
	},
	{
		Flag: "shard", For: Compare, Without: "all records", Example: "3/8",
		Doc:   "work on one share of the records alone, `I/N` such as 3/8, the third of eight, and leave a part in the folder of --out",
		field: func(a At) any { return &a.Many.Shard }, read: readShard, low: 0, high: mostShards,
	},
	{
		Flag: "merge", For: Compare, Doc: "put parts together: what is named are parts, or folders of them",
		field: func(a At) any { return &a.Many.Merge }, Words: switchWords,
	},

	{
		Flag: "all", For: Recheck, Doc: "list every value, not only those that differ",
		field: func(a At) any { return &a.All }, Words: switchWords,
	},
	{
		Flag: "port", For: Page, Without: "a free one", Example: "8080",
		Doc:   "serve the page on port `N` of this machine",
		field: func(a At) any { return &a.Port }, low: 0, high: 65535,
	},
	{
		Flag: "no-browser", For: Page, Doc: "print the address alone, and open no browser",
		field: func(a At) any { return &a.NoBrowser }, Words: switchWords,
	},
	{
		Flag: "workers", For: answers | Backtest | Recheck | Page, Without: "all", Doc: "work on `N` cores; the answer is the same",
		field: func(a At) any { return &a.Study.Workers }, low: 0, high: mostWorkers,
	},
	{
		Flag: "meter", For: Replay, Without: "none", Example: "readings.csv",
		Doc:   "`FILE` of dated readings of a meter at the tank, to hold the model against; \"tankodds help meter\" tells its form",
		field: func(a At) any { return &a.Meter.File }, Files: true,
	},
	{
		Flag: "of", For: Replay, Without: "none", Example: "draw",
		Doc:   "`WHAT` the meter measures: draw, the water taken from the tank; mains, the water that the tank lacked; level, what the tank holds",
		field: func(a At) any { return &a.Meter.Of }, Words: []string{"draw", "mains", "level"},
	},
	{
		Flag: "units", For: studies | Synth | Record | Report, Without: "the one most quantities were given in",
		Doc:   "`SYSTEM` to print in: si or us",
		field: func(a At) any { return &a.Units }, Words: []string{"si", "us"},
	},
	{
		Flag: "units", For: New | Page, Without: "si", Doc: "`SYSTEM` of units that the site is in: si or us",
		field: func(a At) any { return &a.Units }, Words: []string{"si", "us"},
	},
	{
		Flag: "out", For: studies | Synth | Backtest | Report,
		Doc:   "`DIR` to write tables and figures to, with their list SHA256SUMS; what an earlier run left there is replaced, anything else stays",
		field: func(a At) any { return &a.Out }, Folders: true,
	},
	{
		Flag: "name", For: studies, Without: "the record's name", Doc: "`NAME` of the site, to head the answer with",
		field: func(a At) any { return &a.Name }, most: mostTitle,
	},
	{
		Flag: "client", For: Size, Without: "none", Doc: "`NAME` to print on the sheet: for whom it is",
		field: func(a At) any { return &a.Cover.Client }, most: mostTitle,
	},
	{
		Flag: "date", For: Size, Without: "none", Doc: "`DATE` to print on the sheet: today, or as you write it",
		field: func(a At) any { return &a.Cover.Date }, most: mostName, read: readDate,
	},
	{
		Flag: "json", For: readers | Recheck | Report, Doc: "print one JSON object, in SI units and full precision",
		field: func(a At) any { return &a.JSON }, Words: switchWords,
	},
	{
		Flag: "quiet", For: readers | Recheck | Report, Doc: "no progress line",
		field: func(a At) any { return &a.Quiet }, Words: switchWords,
	},

	// What cannot be asked, but an answer rests on.
	{
		Name:  "Level of every range",
		field: func(a At) any { return &a.Study.Level }, kind: units.Share, what: "a level", above0: true,
	},
	{
		Name:  "The answer is one of the sizes asked about",
		When:  func(p *Plan) bool { return p.Study.ForSale },
		say:   func(At, units.System) string { return "yes" },
		field: func(a At) any { return &a.Study.ForSale }, Words: switchWords,
	},
	{
		Name:  "Sizes found have three digits, in units of",
		field: func(a At) any { return &a.Study.Unit }, kind: units.Volume, what: "a unit of volume", above0: true,
	},
	{
		Name:  "Roofs found have three digits, in units of",
		When:  func(p *Plan) bool { return p.Study.Sought != sim.ForTank },
		field: func(a At) any { return &a.Study.AreaUnit }, kind: units.Area, what: "a unit of area", above0: true,
	},
}
