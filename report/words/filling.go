package words

import (
	"fmt"
	"math"

	"tankodds/report/units"
	"tankodds/sim"
)

// Filling says how long the tank takes to fill from empty, and how long a reserve
// to be there again; "" where the record is too short to tell.
func Filling(u units.System, r *sim.Result) string {
	var fast, slow *sim.Filling
	for i := range r.Filling {
		f := &r.Filling[i]
		if f.Starts == 0 {
			continue
		}
		if !math.IsNaN(f.Half) && (fast == nil || f.Half < fast.Half) {
			fast = f
		}
		if slow == nil || math.IsNaN(f.Half) || !math.IsNaN(slow.Half) && f.Half > slow.Half {
			slow = f
		}
	}
	if fast == nil {
		return ""
	}
	tank := u.Volume(r.Season.Tank)
	if m := r.Study.Begins; m > 0 {
		for _, f := range r.Filling {
			switch {
			case int(f.Month) != m || f.Starts == 0:
			case math.IsNaN(f.Half):
				return fmt.Sprintf("If %s is installed empty on 1 %v and used from that day, it is not half full within three years (median over the record).", tank, f.Month) + again(u, r)
			default:
				full := "it first runs over after " + days(f.Full)
				if math.IsNaN(f.Full) {
					full = "it does not run over within three years"
				}
				return fmt.Sprintf("If %s is installed empty on 1 %v and used from that day, it is half full after %s, and %s (medians over the record).", tank, f.Month, days(f.Half), full) + again(u, r)
			}
		}
	}
	out := fmt.Sprintf("If %s is installed empty and used from the first day, it is half full after %s when that is 1 %v", tank, days(fast.Half), fast.Month)
	switch {
	case math.IsNaN(slow.Half):
		out += fmt.Sprintf(", and not within three years when it is 1 %v (medians over the record).", slow.Month)
	case slow.Half > fast.Half:
		out += fmt.Sprintf(", and after %s when it is 1 %v (medians over the record).", days(slow.Half), slow.Month)
	default:
		out += " or any other month (medians over the record)."
	}
	return out + again(u, r)
}

// again says how long a reserve takes to be there again, "" where there is none.
func again(u units.System, r *sim.Result) string {
	kept := r.Study.Under.Kept(r.Season.Tank)
	if kept == 0 {
		return ""
	}
	worst := &sim.Filling{}
	for i := range r.Filling {
		if f := &r.Filling[i]; f.Starts > 0 && (math.IsNaN(f.Worst) || !math.IsNaN(worst.Worst) && f.Worst > worst.Worst) {
			worst = f
		}
	}
	reserve := u.Volume(kept)
	if math.IsNaN(worst.Worst) {
		return fmt.Sprintf(" A reserve of %s that has been used up may not be there again within three years.", reserve)
	}
	return fmt.Sprintf(" A reserve of %s that has been used up is there again after %s at worst, when that happens at the beginning of %v.", reserve, days(worst.Worst), worst.Month)
}

// days says a number of days.
func days(n float64) string { return Plural(int(math.Round(n)), "day") }

// Ends says the sizes for the fewest and the most people.
func Ends(u units.System, r *sim.Result) string {
	if len(r.Ends) != 2 {
		return ""
	}
	size := func(e sim.End) string {
		if math.IsNaN(e.Lead) {
			return "no size is enough"
		}
		return "it is " + u.Volume(e.Lead)
	}
	few, many := r.Ends[0], r.Ends[1]
	return fmt.Sprintf("this is for the middle of the people stated. With the fewest (%s) %s; with the most (%s) %s. That comes on top of what the record leaves open.",
		u.Flow(few.Use), size(few), u.Flow(many.Use), size(many))
}
