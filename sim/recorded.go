package sim

import (
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// past is a site on the days of a record, units.
type past struct {
	*works
	inflow, demand []int64
	course         *store.Course // nil where the tank is alone
}

// recorded is what flows in and is wanted on the days of a record from a day on,
// under a tank of whatever size; the diverters are empty after days that it lacks.
// Daily is ET₀ of the days, nil where that is not known.
func recorded(first rainfall.Date, depth, daily []float64, roofs []Roof, uses []Use, tank Tank) (*past, error) {
	n := len(depth)
	out := &past{works: &works{tank.Rule, roofs, uses, tank.Fittings}, inflow: inflowOf(depth, roofs)}
	if n > 0 && slices.Max(out.inflow) >= store.Most {
		return nil, errTooMuchWater
	}
	wanted := make([]float64, n)
	var et0 []float64
	ask := func(uses []Use) {
		Demand(wanted, first, uses)
		for i := range uses {
			if u := &uses[i]; u.Bed.Area > 0 {
				u.Bed.asks(wanted, depth, et0, u.onDays(first, n))
			}
		}
	}
	if tank.Air.Known() {
		et0 = tank.Air.onDays(first, n, daily)
	}
	if !out.slow() {
		ask(uses)
		out.demand = inUnits(wanted)
		return out, nil
	}
	c := &store.Course{}
	direct, surging := out.byTank()
	c.Inflow = inflowOf(depth, direct)
	for _, r := range surging {
		c.Into(inflowOf(depth, []Roof{r}))
	}
	for u := range uses {
		ask(uses[u : u+1])
		c.Want = append(c.Want, inUnits(wanted))
	}
	out.demand = sumOf(c.Want, n)
	c.Rain, c.Dry = out.onOpen(depth, et0)
	if out.Pumping.Days != (Weekdays{}) {
		c.Idle = make([]bool, n)
		for t := range c.Idle {
			c.Idle[t] = !out.Pumping.Days.on((first + rainfall.Date(t)).Weekday())
		}
	}
	out.course = c
	return out, nil
}

// inflowOf is what roofs give on the days of a record, units, their diverters empty
// after days that it lacks.
func inflowOf(depth []float64, roofs []Roof) []int64 {
	n := len(depth)
	out := make([]int64, n)
	for a := 0; a < n; {
		z := a
		for z < n && !math.IsNaN(depth[z]) {
			z++
		}
		Inflow(out[a:z], depth[a:z], roofs)
		for a = z; a < n && math.IsNaN(depth[a]); {
			a++
		}
	}
	return out
}

// byTank parts the roofs that drain to the tank itself from those with a surge
// tank.
func (w *works) byTank() (direct, surging []Roof) {
	for _, r := range w.roofs {
		if r.Surge > 0 {
			surging = append(surging, r)
		} else {
			direct = append(direct, r)
		}
	}
	return direct, surging
}

// walk takes a tank of a usable size that holds min(start, size) through the days.
func (p *past) walk(size, start int64) *walk {
	out := &walk{rule: p.rule, size: size, held: min(start, size), inflow: p.inflow, demand: p.demand, of: p.of()}
	if p.course != nil {
		out.through(p.works, p.course)
	}
	return out
}
