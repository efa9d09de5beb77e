package site

import (
	"slices"
	"strings"

	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// siteRows are about roofs, uses and what is asked about.
var siteRows = []*Parameter{
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
		field: func(a At) any { return &a.Roof.Area }, kind: units.Area, what: "a roof area", above0: true, limit: func(a At) error { return checkArea(a.Roof.Area) },
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
		field: func(a At) any { return &a.Roof.Wetting }, kind: units.Depth, what: "a wetting loss", limit: func(a At) error { return checkLoss("a wetting loss", a.Roof.Wetting) },
	},
	{
		Key: "roofs.first_flush", Flag: "first-flush", For: studies | Backtest, Name: "First flush", Source: "a manufacturer's guide for a clean roof; it asks four times as much of a dirty one",
		Doc:   "`DEPTH` that the first-flush diverter takes, such as 1mm or 0.02in",
		field: func(a At) any { return &a.Roof.FirstFlush }, kind: units.Depth, what: "a first flush", limit: func(a At) error { return checkLoss("a first flush", a.Roof.FirstFlush) },
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
		field: func(a At) any { return &a.Study.Mains }, Words: mainsWords, read: readMains,
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
		Flag: "learn", For: Backtest, Example: "10,20,30", Doc: "usable `YEARS` to learn from, a list",
		field: func(a At) any { return &a.Backtest.Learn }, read: list(func(a At) *[]int { return &a.Backtest.Learn }, yearsToLearn),
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
		field: func(a At) any { return &a.Backtest.Demands }, kind: units.Share, what: "a demand", above0: true, read: shares("a demand", func(a At) *[]float64 { return &a.Backtest.Demands }, false),
	},
	{
		Flag: "targets", For: Backtest, Example: "0.8,90%", Doc: "shares of good years to size for, `SHARES`, a list or none",
		field: func(a At) any { return &a.Backtest.Targets }, kind: units.Share, what: "a target", limit: func(a At) error { return checkTargets(a.Backtest.Targets) }, read: shares("a target", func(a At) *[]float64 { return &a.Backtest.Targets }, true),
	},
	{
		Flag: "day-targets", For: Backtest, Example: "0.95,99%", Doc: "shares of days to size for, `SHARES`, a list or none",
		field: func(a At) any { return &a.Backtest.Days }, kind: units.Share, what: "a target", limit: func(a At) error { return checkTargets(a.Backtest.Days) }, read: shares("a target", func(a At) *[]float64 { return &a.Backtest.Days }, true),
	},
	{
		Flag: "water-targets", For: Backtest, Example: "0.8,95%", Doc: "shares of the water wanted to size for, `SHARES`, a list or none",
		field: func(a At) any { return &a.Backtest.Water }, kind: units.Share, what: "a target", limit: func(a At) error { return checkTargets(a.Backtest.Water) }, read: shares("a target", func(a At) *[]float64 { return &a.Backtest.Water }, true),
	},
	{
		Flag: "storages", For: Backtest, Example: "0.05,10%", Doc: "tanks that are the same for every generator, `SHARES` of an average year's inflow, a list or none",
		field: func(a At) any { return &a.Backtest.Tanks }, kind: units.Share, what: "a storage", above0: true, read: shares("a storage", func(a At) *[]float64 { return &a.Backtest.Tanks }, true),
	},
	{
		Flag: "generators", For: Backtest, Without: "all", Doc: "`NAMES` of the rain generators, a list: " + strings.Join(generatorNames(), ", "),
		field: func(a At) any { return &a.Generators }, read: list(func(a At) *[]gen.Generator { return &a.Generators }, gen.Find),
	},
}
