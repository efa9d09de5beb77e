package site

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

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
	mostWorkers    = 1 << 20
)

// Table lists every parameter, in the order that help and a site file have.
var Table = []*Parameter{
	{
		Key: "name", Doc: "`NAME` of the site", Without: "the record's name",
		field: func(a At) any { return &a.Name }, most: mostTitle,
	},
	{
		Key: "client", Doc: "`NAME` of whom the sheet is for",
		field: func(a At) any { return &a.Cover.Client }, most: mostTitle,
	},
	{
		Key: "author", Doc: "`NAME` of who prepared it",
		field: func(a At) any { return &a.Cover.Author }, most: mostTitle,
	},
	{
		Key: "note", Doc: "a `LINE` of your own for the sheet",
		field: func(a At) any { return &a.Cover.Note }, most: mostNote,
	},
	{
		Key: "location", Doc: "`PLACE` where the site is",
		field: func(a At) any { return &a.Cover.Location }, most: mostTitle,
	},
	{
		Key: "elevation", Doc: "`HEIGHT` of the site above the sea, in m or ft", Without: "unknown",
		field: func(a At) any { return &a.Cover.Elevation }, kind: units.Length, what: "an elevation",
	},

	{
		Flag: "tank", For: Replay, Doc: "`SIZE` of the tank, such as 5000L or 1500gal",
		field: func(a At) any { return &a.Study.Sizes }, kind: units.Volume, what: "a tank size", above0: true, read: readTank,
	},

	{
		Key: "rain.file", Flag: "rain", For: Size | Replay | Recheck, Must: true,
		Doc:   "`FILE` of daily rain, plain or .gz; - is standard input",
		field: func(a At) any { return &a.Record.File }, Files: true, read: readRecord,
	},
	{
		Key: "rain.unit", Flag: "unit", For: readers, Without: "the format's own",
		Doc:   "`UNIT` that the rain file holds, where it cannot be known: mm, in or 0.1mm",
		field: func(a At) any { return &a.Record.Unit }, orNone: true, Words: []string{"mm", "in", "0.1mm"}, read: readRainUnit,
	},
	{
		Key: "rain.station", Flag: "station", For: readers, Without: "the only one",
		Doc:   "`ID` of the station wanted, for a file with several",
		field: func(a At) any { return &a.Record.Station }, most: mostName,
	},
	{
		Key: "rain.column", Flag: "column", For: readers, Without: "the one named rain",
		Doc:   "`NAME` of the rain column, or its number, where its name does not say so",
		field: func(a At) any { return &a.Record.Column }, most: mostName,
	},
	{
		Key: "rain.columns", Flag: "columns", For: readers, Without: "read from the header",
		Doc:   "`NAMES` of all columns in order, for a file without a header: date,rain_mm or year,month,day,rain; - is one not wanted",
		field: func(a At) any { return &a.Record.Columns }, most: mostNote,
	},
	{
		Key: "rain.dates", Flag: "dates", For: readers, Without: "told from the dates",
		Doc:   "`ORDER` of day and month, where it cannot be told: dmy or mdy",
		field: func(a At) any { return &a.Record.Dates }, orNone: true, Words: []string{"dmy", "mdy"},
	},
	{
		Key: "rain.absent", Flag: "absent", For: readers, Without: "asked for where the file lists wet days alone",
		Doc:   "`WHAT` a day without a line was, for a file of wet days alone: zero (it was dry) or missing (it was not read)",
		field: func(a At) any { return &a.Record.Absent }, orNone: true, Words: []string{"zero", "missing"},
	},
	{
		Key: "rain.missing", Flag: "missing", For: readers, Without: "told from the values",
		Doc:   "`NUMBERS` that stand for a missing value, such as 99.99 or 99.99,-1; none for none",
		field: func(a At) any { return &a.Record.Missing }, limit: checkMissing,
	},
	{
		Key: "rain.water_year", Flag: "water-year", For: readers, Without: "the month in which stores are fullest",
		Doc:   "`MONTH` in which the water year begins, such as oct",
		field: func(a At) any { return &a.Record.WaterYear }, orNone: true, low: 1, high: 12, read: readMonth, Words: months,
	},
	{
		Key: "rain.since", Flag: "since", For: readers, Without: "all", Example: "1980",
		Doc:   "first `YEAR` of the record to use",
		field: func(a At) any { return &a.Record.Since }, orNone: true, low: 1, high: 9999,
	},
	{
		Key: "rain.fill_from", When: func(p *Plan) bool { return p.Record.Second != "" }, Name: "Missing days are taken from", Note: ", a second gauge", Without: "none; a few missing days are taken from other years", Example: "neighbour.csv",
		Doc:   "`FILE` of a second gauge near by from which missing days are taken, times the ratio of both gauges' rain",
		field: func(a At) any { return &a.Record.Second }, most: mostNote, Files: true, read: readSecond,
		say: func(a At, _ units.System) string { return filepath.Base(a.Record.Second) },
	},
	{
		Key: "rain.scale", Name: "Rain of the site over that of the gauge", Without: "1", Example: "1.05", When: func(p *Plan) bool { return p.Record.Scale != 0 },
		Doc:   "long-term mean rain of the site over that of the gauge, a `FACTOR` from 0.5 to 2 by which the record is multiplied; worth stating where they differ by a tenth or more",
		field: func(a At) any { return &a.Record.Scale }, what: "a factor", orNone: true, read: readScale, limit: checkScale,
		say: func(a At, _ units.System) string {
			return strings.TrimSuffix(fmt.Sprintf("× %g, %s", a.Record.Scale, a.Record.ScaleFrom), ", ")
		},
	},
	{
		Key: "rain.scale_from", Doc: "where the scale comes from, a `TEXT` for the sheet", Without: "none", Example: "annual means of a rain map",
		field: func(a At) any { return &a.Record.ScaleFrom }, most: mostTitle,
	},
	{
		Key: "rain.et0", When: airy, Name: "Reference evapotranspiration, by the month", Without: "none", Example: "[20 mm, 25 mm, 50 mm, 80 mm, 110 mm, 130 mm, 140 mm, 120 mm, 80 mm, 45 mm, 25 mm, 15 mm]", US: "[0.8 in, 1 in, 2 in, 3.1 in, 4.3 in, 5.1 in, 5.5 in, 4.7 in, 3.1 in, 1.8 in, 1 in, 0.6 in]",
		Doc:   "twelve `DEPTHS` of reference evapotranspiration, January first, as weather services publish them; or temperatures, to reckon it from those of the record; for beds and open water",
		field: func(a At) any { return &a.Study.Air.Monthly }, read: readET0,
		say: func(a At, s units.System) string { return words.Air(s, a.Study.Air) },
	},
	{
		Key: "rain.latitude", Without: "the record's own", Example: "33.43", When: func(p *Plan) bool { return p.Record.Latitude != nil }, Name: "Latitude",
		Doc:   "`DEGREES` north of the equator, below 0 for south, where et0: temperatures needs it and the record has none",
		field: func(a At) any { return &a.Record.Latitude }, what: "a latitude", read: readLatitude,
		say: func(a At, _ units.System) string { return fmt.Sprintf("%g°", *a.Record.Latitude) },
	},
	{
		Key: "rain.et0_scale", Without: "1", Example: "1.1", When: func(p *Plan) bool { return p.Study.Air.Scale != 0 }, Name: "Evapotranspiration is multiplied by",
		Doc:   "`FACTOR` by which it is multiplied: reckoned from temperatures it is too low where wind is above 3 m/s and too high in humid air",
		field: func(a At) any { return &a.Study.Air.Scale }, what: "a factor", plain: true, read: readET0Scale,
	},
	{
		Flag: "demo", For: Synth | Backtest | Record, Doc: "read the invented record that the tool carries",
		field: func(a At) any { return &a.Record.Embedded }, Words: switchWords,
	},

	{
		Flag: "roof", For: studies | Backtest,
		Doc:   "`AREA` of a roof in plan, with its surface and a name if you like: 140m2, \"1,500 sqft metal\", \"barn 30ft x 40ft tile\"; repeat it for more roofs; surfaces are " + strings.Join(SurfaceNames(), ", ") + ", or as people say: steel, asphalt, concrete tile",
		field: func(a At) any { return &a.Study.Roofs }, read: each(func(a At) *[]sim.Roof { return &a.Study.Roofs }, parseRoof),
	},
	{
		Flag: "use", For: studies | Backtest,
		Doc:   "`FLOW` of a use, with a name and days if you like: 300L/day, \"300 litres a day\", \"toilets 30gal/day weekdays\"; repeat it for more uses",
		field: func(a At) any { return &a.Study.Uses }, read: each(func(a At) *[]sim.Use { return &a.Study.Uses }, parseUse),
	},
	{
		Key: "roofs.name", Doc: "`NAME` of the roof", Without: "roof 1, roof 2, …", Name: "Roof",
		field: func(a At) any { return &a.Roof.Name }, most: mostName,
	},
	{
		Key: "roofs.area", Doc: "`AREA` in plan, as seen from above", Must: true, Name: "Plan area",
		field: func(a At) any { return &a.Roof.Area }, kind: units.Area, what: "a roof area",
	},
	{
		Key: "roofs.surface", Doc: "`SURFACE`: " + strings.Join(SurfaceNames(), ", "), Without: unstatedSurface(), Name: "Surface",
		field: func(a At) any { return &a.Roof.Surface }, read: readSurface,
	},
	{
		Key: "roofs.runoff", Flag: "runoff", For: studies | Backtest, Without: "the surface's own", Name: "Runoff coefficient",
		Doc:   "runoff coefficient, a `SHARE` such as 0.85",
		field: func(a At) any { return &a.Roof.Runoff }, kind: units.Share, what: "a runoff coefficient", above0: true, plain: true,
	},
	{
		Key: "roofs.wetting", Doc: "`DEPTH` lost off each day's rain", Name: "Wetting loss",
		field: func(a At) any { return &a.Roof.Wetting }, kind: units.Depth, what: "a wetting loss",
	},
	{
		Key: "roofs.first_flush", Flag: "first-flush", For: studies | Backtest, Name: "First flush", Source: "a manufacturer's guide for a clean roof; it asks four times as much of a dirty one",
		Doc:   "`DEPTH` that the first-flush diverter takes, such as 1mm or 0.02in",
		field: func(a At) any { return &a.Roof.FirstFlush }, kind: units.Depth, what: "a first flush",
	},
	{
		Key: "roofs.filter", Doc: "`SHARE` that the filter passes on", Name: "Filter passes on",
		field: func(a At) any { return &a.Roof.Filter }, kind: units.Share, what: "a filter share", above0: true,
	},
	{
		Key: "roofs.drains", Doc: "whole dry `DAYS` that empty the diverter", Name: "Dry days to drain the diverter",
		field: func(a At) any { return &a.Roof.Drains }, low: 1, high: 365,
	},
	{
		Key: "roofs.surge", When: surging, Name: "Surge tank", Without: "none: the roof drains to the tank itself", Example: "1000 L", US: "250 gal",
		Doc:   "`VOLUME` of a surge tank at the downspout, pumped into the tank",
		field: func(a At) any { return &a.Roof.Surge }, kind: units.Volume, what: "a surge tank",
	},
	{
		Key: "roofs.pump", When: surging, Name: "Its pump", Without: "none; a surge tank needs one", Example: "20 L/min", US: "5 gal/min",
		Doc:   "`RATE` of the pump from the surge tank up to the tank",
		field: func(a At) any { return &a.Roof.Pump }, what: "a pump", read: readRate(func(a At) *float64 { return &a.Roof.Pump }, "a pump"),
		say: func(a At, s units.System) string {
			if a.Roof.Pump == 0 {
				return "–"
			}
			return sayRate(s, a.Roof.Pump)
		},
	},
	{
		Key: "uses.name", Doc: "`NAME` of the use", Without: "use 1, use 2, …", Name: "Use",
		field: func(a At) any { return &a.Use.Name }, most: mostName,
	},
	{
		Key: "uses.daily", Doc: "`VOLUME` a day, or by the week, month or year as in 700 L/week", Name: "On its days",
		field: func(a At) any { return &a.Use.Daily }, kind: units.Flow, what: "a daily use", read: readDaily,
	},
	{
		Key: "uses.people", Doc: "`PEOPLE` who use it on its days: 4, or the fewest and the most as 3..6", Without: "none",
		field: func(a At) any { return &a.Use.People }, what: "a number of people", read: readPeople,
	},
	{
		Key: "uses.each", Doc: "`VOLUME` that each of them wants a day, such as 20 L; \"tankodds help uses\" lists published ones", Without: "none",
		field: func(a At) any { return &a.Use.Each }, kind: units.Volume, what: "a use a head",
	},
	{
		Key: "uses.days", Doc: "`DAYS` on which daily is drawn: weekdays, weekends or days such as [mon, wed]", Without: "every day", Name: "Days",
		field: func(a At) any { return &a.Use.Days }, read: readDays,
		say: func(a At, s units.System) string { return words.Days(s, *a.Use) },
	},
	{
		Key: "uses.monthly", Doc: "twelve `VOLUMES`, January first, each spread evenly over its month", Without: "none", Name: "By the month",
		field: func(a At) any { return &a.Use.Monthly }, read: readMonthly,
		say: func(a At, s units.System) string { return words.Monthly(s, *a.Use) },
	},
	{
		Key: "uses.months", Doc: "`MONTHS` in which it is drawn: apr-oct or [jan, feb, nov-dec]", Without: "every month",
		field: func(a At) any { return &a.Use.Months }, read: readMonths,
	},
	{
		Key: "uses.except", Doc: "`PARTS` of every year in which it is not: [27 jun..29 aug, 22 dec..5 jan]", Without: "none",
		field: func(a At) any { return &a.Use.Except }, read: readExcept,
	},
	{
		Key: "uses.keep", When: keeping, Name: "Served down to", Without: "the outlet", Example: "30 %",
		Doc:   "`LEVEL` in the tank below which this use is not served, a share of what can be drawn or a volume; uses are served in their order",
		field: func(a At) any { return &a.Use.Keep }, read: readLevel(func(a At) *sim.Level { return &a.Use.Keep }, "a level"),
		say: func(a At, s units.System) string { return words.Level(s, a.Use.Keep) },
	},
	{
		Key: "uses.needs", When: func(p *Plan) bool {
			return slices.ContainsFunc(p.Study.Uses, func(u sim.Use) bool { return u.Needs > 0 })
		}, Name: "Needs", Without: "not said", Example: "100 kPa", US: "15 psi",
		Doc:   "`PRESSURE` that the use needs, held against what the height of the tank gives",
		field: func(a At) any { return &a.Use.Needs }, what: "a pressure", plain: true, read: readPressure,
		say: func(a At, s units.System) string {
			if a.Use.Needs == 0 {
				return "–"
			}
			return words.Pressure(s, a.Use.Needs)
		},
	},
	{
		Key: "uses.area", When: bedded, Name: "Bed", Without: "no bed", Example: "100 m2", US: "1000 sqft",
		Doc:   "`AREA` of a bed that is watered as its soil dries; needs rain: et0:",
		field: func(a At) any { return &a.Use.Bed.Area }, kind: units.Area, what: "a bed",
	},
	{
		Key: "uses.plants", When: bedded, Name: "Plant factor", Without: "moderate with a bed", Example: "low",
		Doc:   "what its `PLANTS` take of reference evapotranspiration: low (0.2), moderate (0.5), high or lawn (0.8), or a number",
		field: func(a At) any { return &a.Use.Bed.Factor }, what: "a plant factor", plain: true, read: readPlants,
		say: func(a At, _ units.System) string { return ofBed(a, units.Significant(a.Use.Bed.Factor, 2)) },
	},
	{
		Key: "uses.holds", When: bedded, Name: "Its soil holds", Without: "60 mm with a bed", Example: "60 mm", US: "2.4 in",
		Doc:   "`DEPTH` of water that the soil holds for the plants within their roots",
		field: func(a At) any { return &a.Use.Bed.Holds }, kind: units.Depth, what: "what the soil holds",
		say: func(a At, s units.System) string { return ofBed(a, s.Depth(a.Use.Bed.Holds)) },
	},
	{
		Key: "uses.water", When: bedded, Name: "Watered", Without: "drip with a bed", Example: "drip",
		Doc:   "`WAY` of watering: drip keeps the soil at half of what it holds; refill fills it up when half is gone",
		field: func(a At) any { return &a.Use.Bed.Refill }, Words: []string{"refill", "drip"},
		say: func(a At, _ units.System) string {
			return ofBed(a, map[bool]string{true: "refill", false: "drip"}[a.Use.Bed.Refill])
		},
	},
	{
		Key: "uses.efficiency", When: bedded, Name: "Reaches the roots", Without: "81 % by drip, 75 % by refill", Example: "81 %",
		Doc:   "`SHARE` of the water that reaches the roots",
		field: func(a At) any { return &a.Use.Bed.Efficiency }, kind: units.Share, what: "an efficiency", above0: true, orNone: true, read: readEfficiency,
		say: func(a At, _ units.System) string { return ofBed(a, units.Percent(a.Use.Bed.Efficiency)) },
	},

	{
		Key: "tank.mains", Flag: "mains", For: answers, Name: "What the tank lacks", Without: "not said; the target is 90 % of years", Example: "direct",
		When:  func(p *Plan) bool { return p.Study.Mains != sim.NotSaid },
		Doc:   "`WHAT` gives the water that the tank lacks: direct, mains to the use; tank, mains let into the tank; with both the target is 80 % of the water unless you say another; none, nothing: the tank is the sole source",
		field: func(a At) any { return &a.Study.Mains }, Words: []string{"not-said", "direct", "none", "tank"},
		say: func(a At, _ units.System) string { return words.Mains(a.Study.Mains) },
	},
	{
		Key: "tank.mains_below", When: toppedUp, Name: "Mains are let in below", Source: topUpSource, Without: "20 % with mains: tank", Example: "20 %",
		Doc:   "`LEVEL` below which mains are let into the tank in the evening, a share of what can be drawn or a volume",
		field: func(a At) any { return &a.Study.Fitted.TopUp.Below }, read: readLevel(func(a At) *sim.Level { return &a.Study.Fitted.TopUp.Below }, "a level"),
		say: func(a At, s units.System) string { return words.Level(s, a.Study.Fitted.TopUp.Below) },
	},
	{
		Key: "tank.mains_to", When: toppedUp, Name: "and fill it up to", Without: "the level below which they are let in", Example: "20 %",
		Doc:   "`LEVEL` up to which they fill it; the higher, the less room for rain",
		field: func(a At) any { return &a.Study.Fitted.TopUp.To }, read: readLevel(func(a At) *sim.Level { return &a.Study.Fitted.TopUp.To }, "a level"),
		say: func(a At, s units.System) string { return words.Level(s, a.Study.Fitted.TopUp.To) },
	},
	{
		Key: "tank.mains_rate", When: toppedUp, Name: "at", Source: topUpSource, Without: "2 L/min with mains: tank", Example: "2 L/min", US: "0.5 gal/min",
		Doc:   "`RATE` at which they run in",
		field: func(a At) any { return &a.Study.Fitted.TopUp.Rate }, what: "a rate", read: readRate(func(a At) *float64 { return &a.Study.Fitted.TopUp.Rate }, "a rate"),
		say: func(a At, s units.System) string { return sayRate(s, a.Study.Fitted.TopUp.Rate) },
	},
	{
		Key: "tank.sizes", Flag: "tanks", For: answers, Without: "preferred numbers from 2 to 400 days' use",
		Doc:   "tank `SIZES` to try: 500L..20000L/50, from..to/how many, or a list 1000L,2000L,5000L",
		field: func(a At) any { return &a.Study.Sizes }, kind: units.Volume, what: "a tank size", above0: true,
	},
	{
		Flag: "roofs", For: answers,
		Doc:   "total roof `AREAS` to try: 50m2..400m2/20 or a list; the roofs are scaled to each",
		field: func(a At) any { return &a.Study.Areas }, kind: units.Area, what: "a roof area", above0: true,
	},

	{
		Flag: "learn", For: Backtest, Doc: "usable `YEARS` to learn from, a list",
		field: func(a At) any { return &a.Backtest.Learn }, read: list(func(a At) *[]int { return &a.Backtest.Learn }, wholeNumber),
	},
	{
		Flag: "judge", For: Backtest, Doc: "be judged by up to `N` usable years after them",
		field: func(a At) any { return &a.Backtest.Judge }, low: 1, high: mostYears,
	},
	{
		Flag: "judge-least", For: Backtest, Doc: "and by `N` at least",
		field: func(a At) any { return &a.Backtest.Least }, low: 1, high: mostYears,
	},
	{
		Flag: "step", For: Backtest, Doc: "begin a window every `N` usable years",
		field: func(a At) any { return &a.Backtest.Step }, low: 1, high: mostYears,
	},
	{
		Flag: "demands", For: Backtest, Example: "0.3,0.5", Doc: "yearly demands, `SHARES` of an average year's inflow, a list",
		field: func(a At) any { return &a.Backtest.Demands }, kind: units.Share, what: "a share", read: shares(func(a At) *[]float64 { return &a.Backtest.Demands }, false),
	},
	{
		Flag: "targets", For: Backtest, Example: "0.8,90%", Doc: "shares of good years to size for, `SHARES`, a list or none",
		field: func(a At) any { return &a.Backtest.Targets }, kind: units.Share, what: "a share", read: shares(func(a At) *[]float64 { return &a.Backtest.Targets }, true),
	},
	{
		Flag: "day-targets", For: Backtest, Example: "0.95,99%", Doc: "shares of days to size for, `SHARES`, a list or none",
		field: func(a At) any { return &a.Backtest.Days }, kind: units.Share, what: "a share", read: shares(func(a At) *[]float64 { return &a.Backtest.Days }, true),
	},
	{
		Flag: "water-targets", For: Backtest, Example: "0.8,95%", Doc: "shares of the water wanted to size for, `SHARES`, a list or none",
		field: func(a At) any { return &a.Backtest.Water }, kind: units.Share, what: "a share", read: shares(func(a At) *[]float64 { return &a.Backtest.Water }, true),
	},
	{
		Flag: "storages", For: Backtest, Example: "0.05,10%", Doc: "tanks that are the same for every generator, `SHARES` of an average year's inflow, a list or none",
		field: func(a At) any { return &a.Backtest.Tanks }, kind: units.Share, what: "a share", read: shares(func(a At) *[]float64 { return &a.Backtest.Tanks }, true),
	},
	{
		Flag: "generators", For: Backtest, Without: "all", Doc: "`NAMES` of the rain generators, a list: " + strings.Join(generatorNames(), ", "),
		field: func(a At) any { return &a.Generators }, read: list(func(a At) *[]gen.Generator { return &a.Generators }, gen.Find),
	},

	{
		Key: "tank.start", Flag: "start", For: studies, Doc: "`VOLUME` in the tank on the record's first day", Example: "0 L", US: "0 gal", Without: startWithout, Name: "In the tank at the start of the record",
		field: func(a At) any { return &a.Study.Start }, kind: units.Volume, what: "the starting storage", say: sayStart,
	},
	{
		Key: "tank.dead", Flag: "dead", For: studies, Name: "Dead storage",
		Doc:   "`SHARE` of the tank below the outlet, never used, such as 3%, a volume such as 150 L, or a depth of an upright tank's height, 10 cm of 1.8 m",
		field: func(a At) any { return &a.Study.Dead }, kind: units.Share, what: "dead storage", read: readDead, limit: checkDead, say: sayDead,
	},
	{
		Key: "tank.reserve", Flag: "reserve", For: studies, Without: "none", Example: "10000 L", US: "2500 gal", Name: "Kept for emergencies, below the outlet of all uses",
		When:  func(p *Plan) bool { return p.Study.Under.Kept(1) > 0 },
		Doc:   "`VOLUME` kept for emergencies such as fire, below the outlet of all uses; or a share of the tank, or a depth of its height, 40 cm of 1.8 m",
		field: func(a At) any { return &a.Study.Under.Reserve }, kind: units.Volume, what: "a reserve", read: readReserve,
		say: func(a At, s units.System) string {
			if a.Study.Under.Share > 0 {
				return units.Percent(a.Study.Under.Share) + " of the nominal size"
			}
			return s.Volume(a.Study.Under.Reserve)
		},
	},
	{
		Key: "tank.detain", Flag: "detain", For: Size, When: detains, Name: "Detained above the store", Note: ", let off slowly by the next morning",
		Doc:   "`VOLUME` above the store that a slow outlet empties by the next morning, such as 2000L",
		field: func(a At) any { return &a.Study.Detain }, kind: units.Volume, what: "a detained volume",
	},
	{
		Key: "tank.joined", When: joined, Name: "Tanks joined as one", Without: "one by itself", Example: "[{area: 2 m2, height: 1.8 m, outlet: 0.1 m}, {area: 2 m2, base: 0.2 m, height: 1.8 m, outlet: 0.1 m}]", US: "[{area: 20 sqft, height: 6 ft, outlet: 4 in}, {area: 20 sqft, base: 8 in, height: 6 ft, outlet: 4 in}]",
		Doc:   "`TANKS` that are joined and stand at one level, each with area, height of its overflow, outlet and base, the height of its floor above the lowest; the size asked about is then theirs",
		field: func(a At) any { return &a.Study.Joined }, read: readJoined,
		say: func(a At, s units.System) string { return words.JoinedTanks(s, a.Study.Joined) },
	},
	{
		Key: "tank.above_outlets", When: func(p *Plan) bool { return p.Study.Fitted.Above > 0 }, Name: "The tank's outlet above the uses", Without: "not said", Example: "14 m", US: "46 ft",
		Doc:   "`HEIGHT` of the tank's outlet above where the water is drawn, for the pressure",
		field: func(a At) any { return &a.Study.Fitted.Above }, kind: units.Length, what: "a height",
	},
	{
		Key: "tank.installed", When: func(p *Plan) bool { return p.Study.Begins > 0 }, Name: "Installed at the beginning of", Without: "not said", Example: "apr",
		Doc:   "`MONTH` on whose first day the tank is installed, empty",
		field: func(a At) any { return &a.Study.Begins }, orNone: true, low: 1, high: 12, read: readInstalled, Words: months,
		say: func(a At, _ units.System) string { return time.Month(a.Study.Begins).String() },
	},
	{
		Key: "tank.open", When: open, Name: "Open water on the tank's level", Without: "none: the tank is closed", Example: "4 m2", US: "40 sqft",
		Doc:   "`AREA` of open water, of a trough, a pond or a tank without a lid: rain falls on it, and it evaporates",
		field: func(a At) any { return &a.Study.Fitted.Open }, kind: units.Area, what: "open water",
	},
	{
		Key: "pumping.storm", When: surging, Name: "Rain lasts, on a day with rain", Source: CommonPractice, Without: "4 h with surge tanks", Example: "4 h",
		Doc:   "how long the rain of a day lasts, `HOURS` in which the pumps already run",
		field: func(a At) any { return &a.Study.Fitted.Pumping.Storm }, what: "hours", plain: true, read: readHours(func(a At) *float64 { return &a.Study.Fitted.Pumping.Storm }, "hours"),
		say: func(a At, _ units.System) string { return sayHours(a.Study.Fitted.Pumping.Storm) },
	},
	{
		Key: "pumping.hours", When: surging, Name: "Pumps run a day, at most", Source: CommonPractice, Without: "24 h with surge tanks", Example: "24 h",
		Doc:   "how long a pump may run on a day, `HOURS`",
		field: func(a At) any { return &a.Study.Fitted.Pumping.Hours }, what: "hours", plain: true, read: readHours(func(a At) *float64 { return &a.Study.Fitted.Pumping.Hours }, "hours"),
		say: func(a At, _ units.System) string { return sayHours(a.Study.Fitted.Pumping.Hours) },
	},
	{
		Key: "pumping.days", When: surging, Name: "Pumps run on", Without: "every day", Example: "saturday",
		Doc:   "`DAYS` of the week on which pumps run, where it is by hand",
		field: func(a At) any { return &a.Study.Fitted.Pumping.Days }, read: readPumpDays,
		say: func(a At, _ units.System) string {
			if a.Study.Fitted.Pumping.Days == (sim.Weekdays{}) {
				return "every day"
			}
			return strings.Join(a.Study.Fitted.Pumping.Days.Texts(), ", ")
		},
	},
	{
		Key: "pumping.lift", When: func(p *Plan) bool { return surging(p) && p.Study.Fitted.Pumping.Lift > 0 }, Name: "Lift of the pumps", Without: "not said", Example: "22 m", US: "72 ft",
		Doc:   "`HEIGHT` from the surge tanks up to the tank, with what friction is worth, for the energy",
		field: func(a At) any { return &a.Study.Fitted.Pumping.Lift }, kind: units.Length, what: "a lift",
	},
	{
		Key: "simulation.rule", Flag: "rule", For: studies | Backtest, Name: "Rule", Note: ", one step a day (Jenkins et al. 1978; Fewkes & Butler 2000)",
		Doc:   "`RULE` of the day: yas, yield after spillage, or ybs, yield before spillage",
		field: func(a At) any { return &a.Study.Rule }, Words: []string{"yas", "ybs"},
		say: func(a At, _ units.System) string { return words.Rule(a.Study.Rule) },
	},
	{
		Key: "tank.prices", When: priced, Doc: "`PRICES` of sizes for sale, installed", Example: "{2000 L: 900, 10000 L: 2600}", US: "{500 gal: 900, 2500 gal: 2600}", Without: "none", Name: "Tank prices, installed",
		field: func(a At) any { return &a.costs().Prices }, kind: units.Price, what: "a price", read: readPrices,
		say: func(a At, s units.System) string { return words.Prices(s, a.Study.Costs) },
	},
	{
		Key: "tank.offers", Without: "none", Example: "[{size: 2000 L, price: 700, install: 200}, {size: 10000 L, price: 2100, install: 500}]", US: "[{size: 500 gal, price: 700, install: 200}, {size: 2500 gal, price: 2100, install: 500}]",
		Doc:   "the same as a list of `OFFERS`, each with size, price and install",
		field: func(a At) any { return &a.costs().Prices }, kind: units.Price, what: "a price", read: readOffers,
	},
	{
		Key: "tank.water_price", When: priced, Doc: "`PRICE` of the water not bought; prices and water_price go together", Example: "3.20 per m3", US: "12 per 1000 gal", Without: "none", Name: "Water not bought",
		field: func(a At) any { return &a.costs().Water }, kind: units.Price, what: "a water price", read: readWaterPrice,
		say: func(a At, s units.System) string { return s.Price(a.Study.Costs.Water, a.Study.Costs.Currency) },
	},
	{
		Flag: "price", For: answers, Without: "none",
		Doc:   "`SIZE=PRICE` of a tank for sale, installed, such as 5000L=1600 or '1500gal=$1,400' (the shell wants a $ in single quotes); repeat it for each; the sizes are those to try where --tanks names no others",
		field: func(a At) any { return &a.costs().Prices }, kind: units.Price, what: "a price", read: readPrices,
	},
	{
		Flag: "water-price", For: answers, Without: "none", Example: "\"3.20 per m3\"",
		Doc:   "`PRICE` of the water not bought, such as \"3.20 per m3\" or '$12 per 1000 gal'; goes with --price",
		field: func(a At) any { return &a.costs().Water }, kind: units.Price, what: "a water price", read: readWaterPrice,
	},
	{
		Key: "tank.life", When: priced, Doc: "`YEARS` that the tank serves", Name: "Life of the tank", Note: " years", Source: "metal tanks, Melbourne Water 2003, as quoted elsewhere; 10 to 100 years by material",
		field: func(a At) any { return &a.costs().Life }, low: 1, high: 200,
	},
	{
		Key: "tank.discount", When: priced, Doc: "discount `RATE` a year", Name: "Discount rate", Note: " a year", Source: "HM Treasury, the Green Book: the public rate, real (from memory)",
		field: func(a At) any { return &a.costs().Discount }, kind: units.Share, what: "a discount rate",
	},
	{
		Key: "tank.currency", When: priced, Doc: "`SIGN` of the currency, to print", Without: "none",
		field: func(a At) any { return &a.costs().Currency }, most: mostName,
	},
	{
		Key: "costs.sewer", When: sewered, Without: "none", Example: "2.10 per m3", US: "8 per 1000 gal", Name: "Sewer charge saved",
		Doc:   "`PRICE` of the sewer saved with the water, by volume",
		field: func(a At) any { return &a.costs().Sewer }, kind: units.Price, what: "a sewer price", read: readSewer,
		say: func(a At, s units.System) string { return s.Price(a.Study.Costs.Sewer, a.Study.Costs.Currency) },
	},
	{
		Key: "costs.rise", When: func(p *Plan) bool { return priced(p) && p.Study.Costs.Rise != 0 }, Name: "Price of water rises by", Note: " a year",
		Doc:   "`RATE` a year by which the prices of water and sewer rise",
		field: func(a At) any { return &a.costs().Rise }, kind: units.Share, what: "a rise",
	},
	{
		Key: "costs.rates", When: priced, Name: "Discount and rise are",
		Doc:   "`WHICH` rates discount and rise are: real, beyond inflation, or nominal, with it; both are the same",
		field: func(a At) any { return &a.costs().Rates }, Words: []string{"real", "nominal"},
	},
	{
		Key: "costs.upkeep", When: func(p *Plan) bool { return priced(p) && p.Study.Costs.Upkeep > 0 }, Name: "Upkeep a year",
		Doc:   "`AMOUNT` a year for cleaning and repairs",
		field: func(a At) any { return &a.costs().Upkeep }, what: "upkeep", plain: true, read: readAmount(func(a At) *float64 { return &a.costs().Upkeep }, "upkeep"),
		say: func(a At, _ units.System) string { return units.Amount(a.Study.Costs.Upkeep, a.Study.Costs.Currency) },
	},
	{
		Key: "costs.pump", When: pumped, Without: "none", Example: "400", Name: "A new pump",
		Doc:   "`PRICE` of each pump that replaces one",
		field: func(a At) any { return &a.costs().Pump }, what: "a pump's price", plain: true, read: readAmount(func(a At) *float64 { return &a.costs().Pump }, "a pump's price"),
		say: func(a At, _ units.System) string {
			return fmt.Sprintf("%s every %g years", units.Amount(a.Study.Costs.Pump, a.Study.Costs.Currency), a.Study.Costs.PumpLife)
		},
	},
	{
		Key: "costs.pump_life", Doc: "`YEARS` after which a pump is replaced", Without: "none; a pump with a price needs one", Example: "10",
		field: func(a At) any { return &a.costs().PumpLife }, low: 1, high: 200, orNone: true,
	},
	{
		Key: "costs.energy", When: powered, Without: "none", Example: "1.5 kWh/m3", Name: "Pumping takes",
		Doc:   "`ENERGY` that pumping takes, in kWh a m³; by the pump's own data if you have it",
		field: func(a At) any { return &a.costs().Energy }, what: "energy", plain: true, read: readEnergy,
		say: func(a At, s units.System) string {
			if s == units.US {
				return units.Significant(a.Study.Costs.Energy*units.LPerGallon, 3) + " kWh per 1,000 gal"
			}
			return fmt.Sprintf("%g kWh/m³", a.Study.Costs.Energy)
		},
	},
	{
		Key: "costs.power", When: powered, Without: "none", Example: "0.15 per kWh", Name: "Price of power",
		Doc:   "`PRICE` of power, by the kWh",
		field: func(a At) any { return &a.costs().Power }, what: "a price of power", plain: true, read: readAmount(func(a At) *float64 { return &a.costs().Power }, "a price of power", "per kWh", "/kWh", "a kWh"),
		say: func(a At, _ units.System) string {
			return fmt.Sprintf("%s%s per kWh", a.Study.Costs.Currency, units.Fixed(a.Study.Costs.Power, 2))
		},
	},

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
		Doc:   "what is asked for, `WHAT`: tank, the smallest; of one size in --tanks, use, the largest use, or roof, the smallest roof; both are told",
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
		Doc:   "stress the synthetic rain: times `X`, such as 0.9, or by month, jun-aug=0.8,dec=1.1; what if, not a forecast",
		field: func(a At) any { return &a.Study.Stress.Rain }, read: readRainScale, limit: checkStress,
		say: func(a At, _ units.System) string { return words.Stress(a.Study.Stress) },
	},
	{
		Flag: "dry-spell-scale", For: answers, Example: "1.2", Doc: "stress it: dry spells last `X` times as long, as in 1.2",
		field: func(a At) any { return &a.Study.Stress.DrySpell }, what: "a factor", read: readDrySpells, orNone: true, limit: checkStress,
	},

	{
		Flag: "all", For: Recheck, Doc: "list every value, not only those that differ",
		field: func(a At) any { return &a.All }, Words: switchWords,
	},
	{
		Flag: "workers", For: answers | Backtest | Recheck, Without: "all", Doc: "work on `N` cores; the answer is the same",
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
		Flag: "units", For: New, Without: "si", Doc: "`SYSTEM` of units that the site is in: si or us",
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
