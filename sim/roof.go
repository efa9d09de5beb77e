package sim

import (
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/store"
)

// Roof is one catchment.
type Roof struct {
	Name       string  `key:"name,omitempty" doc:"what it is called"`
	Area       float64 `key:"area_m2" doc:"plan area, above 0"`
	Runoff     float64 `key:"runoff" doc:"runoff coefficient, above 0 and at most 1"`
	Wetting    float64 `key:"wetting_mm" doc:"wetting loss off each day's rain"`
	FirstFlush float64 `key:"first_flush_mm" doc:"depth of runoff that the diverter takes"`
	Filter     float64 `key:"filter" doc:"share of the rest that reaches the tank, above 0 and at most 1"`
	Drains     int     `key:"drains_days" doc:"whole days without runoff that empty the diverter"`
	Surface    string  `key:"surface,omitempty" doc:"its covering, by name"`
	Surge      float64 `key:"surge_l,omitzero" doc:"size of the surge tank that it drains to, 0 where it drains to the tank itself"`
	Pump       float64 `key:"pump_l_per_min,omitzero" doc:"what the pump moves from there into the tank"`
}

// Check returns the first thing wrong with the roof.
func (r Roof) Check() error {
	var f check.First
	need := func(holds bool, key, what string, x float64, want string) {
		f.Of("%s", key)
		f.Need(holds, "roof %q: %s is %g; it must be %s", r.Name, what, x, want)
	}
	need(check.AboveZero(r.Area), "area_m2", "area", r.Area, "above 0")
	need(check.Share(r.Runoff), "runoff", "runoff coefficient", r.Runoff, "above 0 and at most 1")
	need(check.FromZero(r.Wetting), "wetting_mm", "wetting loss", r.Wetting, "0 mm or more")
	need(check.FromZero(r.FirstFlush), "first_flush_mm", "first flush", r.FirstFlush, "0 mm or more")
	need(check.Share(r.Filter), "filter", "filter share", r.Filter, "above 0 and at most 1")
	need(r.Drains >= 1, "drains_days", "drains", float64(r.Drains), "1 day or more")
	need(check.FromZero(r.Surge) && r.Surge < MostTank, "surge_l", "surge tank", r.Surge, "0 L or more")
	need(r.Surge == 0 || check.AboveZero(r.Pump) && r.Pump < MostTank, "pump_l_per_min", "pump of the surge tank", r.Pump, "above 0 L a minute")
	return f.Err
}

// run is the depth, mm, that runs off of rain p. It is rounded: fused into what
// is taken from it, it would leave a residue, of either sign, where all is.
func (r *Roof) run(p float64) float64 { return float64(r.Runoff * max(0, p-r.Wetting)) }

// diverter is the state of a roof's first-flush diverter.
type diverter struct {
	held float64 // mm
	ran  int     // the last day with runoff
}

// yield is the depth, mm, that the roof gives the tank of rain p on day t:
//
//	r = C·max(0, P − w);  f = min(r, F − b);  b += f;  q = e·(r − f)
//
// b is what the diverter holds; after Drains whole days without runoff it is
// empty again.
func (r *Roof) yield(b *diverter, t int, p float64) float64 {
	run := r.run(p)
	if run == 0 {
		return 0
	}
	if t-b.ran > r.Drains {
		b.held = 0
	}
	b.ran = t
	flush := min(run, r.FirstFlush-b.held)
	b.held += flush
	return float64(r.Filter * (run - flush))
}

// Inflow sets dst to the units a day that all roofs together give the tank of
// rain (mm a day, no NaN), the diverters empty at first. What each roof gives is
// rounded to a whole unit, once. len(dst) must be len(rain).
func Inflow(dst []int64, rain []float64, roofs []Roof) {
	clear(dst)
	for _, r := range roofs {
		var b diverter
		for t, p := range rain {
			if p > 0 {
				dst[t] += store.Units(float64(r.Area * r.yield(&b, t, p)))
			}
		}
	}
}

// TotalArea returns the roofs' plan area, m².
func TotalArea(roofs []Roof) float64 {
	sum := 0.0
	for _, r := range roofs {
		sum += r.Area
	}
	return sum
}

// DefaultFirstFlush is the depth that a first-flush diverter takes where none
// is stated, mm: for a clean roof, by a manufacturer's guide (0.2 at least, 2 for a
// dirty one).
const DefaultFirstFlush = 0.5

// NewRoof returns a roof of that plan area, m², with everything else as it is
// taken where nothing is stated: the default surface's runoff coefficient, no
// wetting loss, DefaultFirstFlush, no filter loss, and a diverter that one dry
// day empties.
func NewRoof(area float64) Roof {
	s, _ := FindSurface(DefaultSurface)
	return Roof{Area: area, Surface: s.Name, Runoff: s.Runoff, FirstFlush: DefaultFirstFlush, Filter: 1, Drains: 1}
}
