package read

import "tankodds/rainfall"

// warnDoubtful says how many days of the record are marked Doubtful, and why.
func warnDoubtful(r *rainfall.Record, why string) {
	if n := r.Count(rainfall.Doubtful); n > 0 {
		warn(r, "doubtful", "%s kept though %s (%.1f %% of the record)", count(n, "value is", "values are"), why, 100*float64(n)/float64(len(r.Depth)))
	}
}

// doubtTotal marks the shares of the total read on day last, which its
// publisher calls estimated or not yet checked. A total that covers no other
// day is that day's own value.
func doubtTotal(r *rainfall.Record, last rainfall.Date) {
	days := 1
	for _, t := range r.Totals {
		if t.Last == last {
			days = t.Days
		}
	}
	for d := last - rainfall.Date(days) + 1; d <= last; d++ {
		if i := int(d - r.First); i >= 0 && i < len(r.Mark) && r.Depth[i] >= 0 && (r.Mark[i]&rainfall.Spread != 0 || days == 1) {
			r.Mark[i] |= rainfall.Doubtful
		}
	}
}

// modelled marks the record as a grid cell of a model.
func modelled(r *rainfall.Record, source string) {
	r.Modelled = true
	warn(r, "modelled", "these are values of a modelled grid cell (%s), not of a gauge; compare them with a gauge nearby before relying on them", source)
}
