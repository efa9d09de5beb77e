package read

import "tankodds/rainfall"

// told is a finding that is still being made.
type told struct{ *rainfall.Finding }

// tell adds a finding to a record: what a file's reader doubts or has done, to
// n days, lines or values.
func tell(r *rainfall.Record, code string, n int, texts ...string) told {
	r.Findings = append(r.Findings, rainfall.Finding{Code: code, From: rainfall.NoDate, Texts: texts})
	f := told{&r.Findings[len(r.Findings)-1]}
	if n > 0 {
		f.value(rainfall.InCount.Of("count", float64(n)))
	}
	return f
}

func (f told) value(all ...rainfall.Value) { f.Values = append(f.Values, all...) }

// share adds the share that the days told of have in the record.
func (f told) share(r *rainfall.Record) {
	f.value(rainfall.InShare.Of("share", f.Of("count")/float64(len(r.Depth))))
}

// doubtful tells how many days of the record are marked Doubtful, and why.
func doubtful(r *rainfall.Record, why string) {
	if n := r.Count(rainfall.Doubtful); n > 0 {
		tell(r, "doubtful", n, why).share(r)
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
	tell(r, "modelled", 0, source)
}
