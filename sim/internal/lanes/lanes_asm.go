//go:build (amd64 || arm64) && !noasm

package lanes

import "tankodds/sim/internal/store"

// block is a kernel in assembly: it runs a fixed number of groups through n
// years ≥ 1, each of an event or more.
type block func(groups *group, list *event, q *int32, years *span, n int, allow int32)

// blocks is the kernel that runs so many groups at once by wide, and what is
// left one by one by narrow, each by rule.
func blocks(name string, groups int, wide, narrow [2]block) kernel {
	return kernel{name, func(l *Lanes, rule store.Rule, list []event, q []int32, years []span, allow int32) {
		for j := 0; j < len(l.groups); {
			f, n := wide[rule], groups
			if j+n > len(l.groups) {
				f, n = narrow[rule], 1
			}
			f(&l.groups[j], &list[0], &q[0], &years[0], len(years), allow)
			j += n
		}
	}}
}
