//go:build arm64 && !noasm

package lanes

import "tankodds/sim/internal/store"

//go:noescape
func yasNEON(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func ybsNEON(groups *group, list *event, q *int32, years *span, n int, allow int32)

// machineKernels lists NEON, which every arm64 processor has.
func machineKernels() []kernel {
	one := [...]block{store.YAS: yasNEON, store.YBS: ybsNEON}
	return []kernel{blocks("neon", 1, one, one)}
}
