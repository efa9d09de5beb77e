package words

import (
	"fmt"
	"math"

	"tankodds/report/units"
	"tankodds/sim"
)

// Influence says an uncertain input and its two ends.
func Influence(u units.System, x sim.Influence) (what, from, to string) {
	share := func(v float64) string {
		if v < 1 {
			return units.Percent(1-v) + " less"
		}
		return units.Percent(v-1) + " more"
	}
	switch x.What {
	case "runoff":
		return "runoff coefficient", fmt.Sprintf("%g lower", -x.From), fmt.Sprintf("%g higher", x.To)
	case "first-flush":
		return "first flush", Depth(u, x.From, 1, 2), Depth(u, x.To, 0, 2)
	case "filter":
		return "filter passes on", units.Percent(x.From), "all"
	case "use":
		return "water used", share(x.From), share(x.To)
	case "roof":
		return "roof area", share(x.From), share(x.To)
	case "rain":
		return "rain at the site", share(x.From), share(x.To)
	case "start":
		return "tank at first", "empty", "full"
	}
	return "order of the day", "yield after spillage", "yield before spillage"
}

// Resized says how much larger or smaller the tank must be.
func Resized(ratio float64) string {
	switch {
	case math.IsNaN(ratio):
		return "never large enough"
	case math.Abs(ratio-1) < 0.005:
		return "as it is"
	case ratio > 1:
		return units.Fixed(100*(ratio-1), 0) + " % larger"
	}
	return units.Fixed(100*(1-ratio), 0) + " % smaller"
}
