package sim

import (
	"math"

	"tankodds/sim/internal/check"
)

// Part is one of several tanks that are joined at their outlets and stand at one
// level of water.
type Part struct {
	Area   float64 `key:"area_m2" doc:"plan area inside"`
	Base   float64 `key:"base_m" doc:"height of its floor above the lowest floor"`
	Height float64 `key:"height_m" doc:"height of its overflow above its floor"`
	Outlet float64 `key:"outlet_m" doc:"height of its outlet above its floor"`
}

// Check returns the first thing wrong with it.
func (p Part) Check() error {
	var f check.First
	f.Of("area_m2")
	f.Need(check.AboveZero(p.Area), "a joined tank of %g m²; it must be above 0", p.Area)
	f.Of("base_m")
	f.Need(check.FromZero(p.Base), "a joined tank whose floor lies %g m above the lowest; it must be 0 or more", p.Base)
	f.Of("height_m")
	f.Need(check.AboveZero(p.Height), "a joined tank that overflows at %g m; it must be above 0", p.Height)
	f.Of("outlet_m")
	f.Need(check.FromZero(p.Outlet) && p.Outlet < p.Height, "a joined tank whose outlet lies at %g m and its overflow at %g m", p.Outlet, p.Height)
	return f.Err
}

// Joined is what joined tanks hold together, L: holds of all of them filled to
// their own overflows, and usable between the lowest overflow and the highest
// outlet, where all of them stand at one level z:
//
//	V(z) = Σ A·clip(z − base, 0, height);  usable = V(full) − V(empty)
//
// It is 0 where no level lies between. How fast water moves from one to the other
// is not reckoned (common practice, no source).
func Joined(parts []Part) (holds, usable float64) {
	full, empty := math.Inf(1), 0.0
	for _, p := range parts {
		holds += float64(1000 * float64(p.Area*p.Height))
		full, empty = min(full, p.Base+p.Height), max(empty, p.Base+p.Outlet)
	}
	if !(full > empty) {
		return holds, 0
	}
	at := func(z float64) (v float64) {
		for _, p := range parts {
			v += float64(1000 * float64(p.Area*min(max(0, z-p.Base), p.Height)))
		}
		return v
	}
	return holds, at(full) - at(empty)
}
