package site

import (
	"fmt"
	"strings"
	"time"

	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// tankRows are about the tank, its pumps and its costs.
var tankRows = []*Parameter{
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
		Key: "pumping.sizes", Flag: "surges", For: Size, When: func(p *Plan) bool { return p.Study.Fitted.Pumping.Sizes != nil }, Name: "Surge tanks compared", Without: "none", Example: "500L,1000L,2000L", US: "100gal,250gal,500gal",
		Doc:   "`SIZES` of surge tanks to compare, each for all of them: a row of main tanks for each",
		field: func(a At) any { return &a.Study.Fitted.Pumping.Sizes }, kind: units.Volume, what: "the size of a surge tank", above0: true,
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
		Flag: "price", For: answers, Without: "none", Example: "5000L=1600",
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
}
