package sim

import (
	"slices"
	"time"

	"tankodds/sim/internal/check"
	"tankodds/sim/internal/store"
)

// Level is a height of water above the outlet, as what can be drawn down to the
// outlet: a volume and a share of what can be drawn of a full tank. One of them
// is 0.
type Level struct {
	Litres float64 `key:"l" doc:"as a volume"`
	Share  float64 `key:"share" doc:"as a share of what can be drawn of a full tank"`
}

// at is the level in a tank of a usable size, units.
func (l Level) at(usable int64) int64 {
	return min(usable, store.Units(l.Litres+float64(l.Share*store.Litres(usable))))
}

// Check returns the first thing wrong with it.
func (l Level) Check() error {
	var f check.First
	f.Need(check.FromZero(l.Litres) && l.Litres < MostTank, "a level at %g L; it must be 0 or more", l.Litres)
	f.Need(l.Share == 0 || check.Between(l.Share), "a level at a share of %g; it must be from 0 to below 1", l.Share)
	return f.Err
}

// Fittings are what belongs to a tank beside its size and asks what it holds.
type Fittings struct {
	TopUp   TopUp   `key:"top_up,omitzero" doc:"mains let into the tank"`
	Pumping Pumping `key:"pumping,omitzero" doc:"of surge tanks into the tank"`
	Above   float64 `key:"above_outlets_m,omitzero" doc:"height of the tank's outlet above where water is drawn; 0 where not said"`
	Open    float64 `key:"open_m2,omitzero" doc:"surface of open water on the tank's level, on which rain falls and which evaporates"`
	Of      string  `key:"of,omitzero" doc:"name of the use that the measures are about, all uses where it is empty"`
}

// TopUp lets mains into a tank that holds less than Below in the evening, up to
// To: none where To is at the outlet.
type TopUp struct {
	Below Level   `key:"below,omitzero" doc:"level below which it opens in the evening"`
	To    Level   `key:"to,omitzero" doc:"level up to which it fills"`
	Rate  float64 `key:"rate_l_per_min" doc:"what it lets in"`
}

// Pumping is how surge tanks are pumped into the tank. A day has one step: what a
// storm brings comes in Storm hours, through which the pumps run; they run Hours
// a day at most.
type Pumping struct {
	Storm float64  `key:"storm_hours" doc:"how long the rain of a day lasts"`
	Hours float64  `key:"hours_per_day" doc:"how long a pump runs on a day at most"`
	Days  Weekdays `key:"days" doc:"the days of the week on which pumps run"`
	Lift  float64  `key:"lift_m,omitzero" doc:"height from the surge tanks up to the tank, with what friction is worth"`

	Sizes []float64 `key:"surge_sizes_l,omitempty" doc:"sizes of the surge tanks to be compared, each for all of them"`
}

// Check returns the first thing wrong with fittings.
func (f Fittings) Check() error {
	var c check.First
	c.Also(f.TopUp.Below.Check())
	c.Also(f.TopUp.To.Check())
	c.Need(check.FromZero(f.TopUp.Rate), "%g L of mains a minute; it must be 0 or more", f.TopUp.Rate)
	c.Need(f.TopUp.To == Level{} || f.TopUp.Rate > 0, "mains let into the tank need a rate above 0 L a minute")
	c.Need(check.FromZero(f.Open), "%g m² of open water; it must be 0 or more", f.Open)
	c.Need(check.FromZero(f.Above), "an outlet %g m above the use; it must be 0 or more", f.Above)
	p := f.Pumping
	for _, x := range p.Sizes {
		c.Need(check.AboveZero(x) && x < MostTank, "a surge tank of %g L is to be compared; it must be above 0", x)
	}
	c.Need(check.FromZero(p.Storm) && p.Storm <= 24, "a storm of %g hours; it must be from 0 to 24", p.Storm)
	c.Need(check.FromZero(p.Hours) && p.Hours <= 24, "pumps run %g hours a day; it must be from 0 to 24", p.Hours)
	c.Need(check.FromZero(p.Lift), "a lift of %g m; it must be 0 or more", p.Lift)
	return c.Err
}

// works is all that takes a tank through days: the site under one tank.
type works struct {
	rule  Rule
	roofs []Roof
	uses  []Use
	Fittings
}

// slow says whether what is asked can only be told tank by tank.
func (w *works) slow() bool {
	return w.TopUp.To != Level{} || w.Open > 0 || w.of() >= 0 && len(w.uses) > 1 ||
		slices.ContainsFunc(w.uses, func(u Use) bool { return u.Keep != Level{} }) ||
		slices.ContainsFunc(w.roofs, func(r Roof) bool { return r.Surge > 0 })
}

// of is the use that the measures are about, -1 for all.
func (w *works) of() int {
	if w.Of == "" {
		return -1
	}
	return slices.IndexFunc(w.uses, func(u Use) bool { return u.Name == w.Of })
}

// store is the store of a usable size, units.
func (w *works) store(usable int64) *store.Works {
	out := &store.Works{Rule: w.rule, Size: usable, Keep: make([]int64, len(w.uses))}
	for u := range w.uses {
		out.Keep[u] = w.uses[u].Keep.at(usable)
	}
	if w.TopUp.To != (Level{}) {
		out.TopUp = store.TopUp{Below: w.TopUp.Below.at(usable), To: w.TopUp.To.at(usable), Most: perDay(w.TopUp.Rate, 24)}
	}
	for _, r := range w.roofs {
		if r.Surge > 0 {
			storm := min(w.Pumping.Storm, w.Pumping.Hours)
			out.Pumps = append(out.Pumps, store.Pump{
				Size: store.Units(r.Surge), Storm: perDay(r.Pump, storm), After: perDay(r.Pump, w.Pumping.Hours-storm),
			})
		}
	}
	return out
}

// perDay is what so many litres a minute are in so many hours, units.
func perDay(rate, hours float64) int64 { return store.Units(float64(rate * 60 * hours)) }

// openWater is how much more than reference evapotranspiration open water loses,
// where it is less than 2 m deep (FAO-56 table 12, as quoted elsewhere).
const openWater = 1.05

// onOpen are what falls (of rain, mm) onto open water on days and what it would
// lose, units; nil without open water.
func (w *works) onOpen(depth, et0 []float64) (rain, dry []int64) {
	if w.Open == 0 {
		return nil, nil
	}
	rain, dry = make([]int64, len(depth)), make([]int64, len(depth))
	for t, p := range depth {
		if p > 0 { // not on days without a value
			rain[t] = store.Units(float64(w.Open * p))
		}
		dry[t] = store.Units(float64(openWater * float64(w.Open*et0[t])))
	}
	return rain, dry
}

// walk takes one tank through the days of one course.
type walk struct {
	rule           Rule
	size, held     int64
	inflow, demand []int64 // where the tank is alone

	works  *store.Works // nil where it is
	course *store.Course
	state  *store.Held
	of     int
}

// through gives it all that belongs to the tank, and the days of a course.
func (w *walk) through(site *works, c *store.Course) {
	w.works, w.course = site.store(w.size), c
	w.state = w.works.NewHeld(w.held)
}

// alone takes a tank by itself through day t: a short way for the many days of
// traces. It is day.
func (w *walk) alone(t int) (inflow, wanted, drawn, spilled int64) {
	inflow, wanted = w.inflow[t], w.demand[t]
	drawn, spilled, w.held = w.rule.Day(w.size, w.held, inflow, wanted)
	return inflow, wanted, drawn, spilled
}

// day takes the tank through day t, and says whether that is short.
func (w *walk) day(t int) (Water, bool) {
	if w.works == nil {
		q, d, y, o := w.alone(t)
		return Water{Inflow: store.Litres(q), Demand: store.Litres(d), Supplied: store.Litres(y), Spilled: store.Litres(o)}, y < d
	}
	f := w.works.Day(w.course, t, w.state)
	w.held = w.state.Tank
	out := Water{
		Inflow: store.Litres(f.Inflow), Demand: store.Litres(f.Wanted), Supplied: store.Litres(f.Drawn), Spilled: store.Litres(f.Spilled),
		LetIn: store.Litres(f.LetIn), Fell: store.Litres(f.Rain), Dried: store.Litres(f.Dried), Pumped: store.Litres(f.Pumped),
	}
	if w.of >= 0 {
		return out, w.state.Drawn[w.of] < w.course.Want[w.of][t] || f.LetIn > 0
	}
	return out, f.Drawn < f.Wanted || f.LetIn > 0
}

// all is what it holds with its surge tanks, units.
func (w *walk) all() int64 {
	if w.works == nil {
		return w.held
	}
	return w.state.All()
}

// wants is what each use wants on the days of a trace, as TraceDemand, units.
func wants(years int, start time.Month, uses []Use) [][]int64 {
	out := make([][]int64, len(uses))
	for u := range uses {
		out[u] = inUnits(TraceDemand(years, start, uses[u:u+1]))
	}
	return out
}

// sumOf adds up lists of one length.
func sumOf(lists [][]int64, n int) []int64 {
	out := make([]int64, n)
	for _, of := range lists {
		for t := range out {
			out[t] += of[t]
		}
	}
	return out
}
