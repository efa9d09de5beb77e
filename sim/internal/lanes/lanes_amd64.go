//go:build amd64 && !noasm

package lanes

import (
	"os"
	"strings"

	"tankodds/sim/internal/store"
)

//go:noescape
func yas512x4(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func ybs512x4(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func yas512x1(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func ybs512x1(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func yas256x2(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func ybs256x2(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func yas256x1(groups *group, list *event, q *int32, years *span, n int, allow int32)

//go:noescape
func ybs256x1(groups *group, list *event, q *int32, years *span, n int, allow int32)

func cpuid(leaf, sub uint32) (a, b, c, d uint32)
func xgetbv() uint32

// machineKernels lists the kernels that this processor can run, the fastest
// first, but those that GODEBUG masks. The bits are those of the processor's
// manual: leaf 7, EBX bit 5 AVX2, 16 AVX-512F; leaf 1, ECX bit 27 OSXSAVE; XCR0
// bits 1–2 and 5–7 say that the operating system keeps the wide registers.
func machineKernels() []kernel {
	top, _, _, _ := cpuid(0, 0)
	if top < 7 {
		return nil
	}
	_, _, c1, _ := cpuid(1, 0)
	if c1&(1<<27) == 0 {
		return nil
	}
	kept := xgetbv()
	_, b7, _, _ := cpuid(7, 0)
	if kept&0x6 != 0x6 || b7&(1<<5) == 0 || masked("avx2") {
		return nil // what has AVX-512 has AVX2 too
	}
	var out []kernel
	if kept&0xe6 == 0xe6 && b7&(1<<16) != 0 && !masked("avx512f") {
		out = append(out, blocks("avx512", 4, [...]block{store.YAS: yas512x4, store.YBS: ybs512x4}, [...]block{store.YAS: yas512x1, store.YBS: ybs512x1}))
	}
	return append(out, blocks("avx2", 2, [...]block{store.YAS: yas256x2, store.YBS: ybs256x2}, [...]block{store.YAS: yas256x1, store.YBS: ybs256x1}))
}

// masked reports whether GODEBUG hides a feature of the processor from the
// program, as it does from Go's own code: cpu.NAME=off or cpu.all=off, the last
// counting. So a machine is tried that is not at hand.
func masked(feature string) bool {
	off := false
	for field := range strings.SplitSeq(os.Getenv("GODEBUG"), ",") {
		if name, value, _ := strings.Cut(field, "="); name == "cpu."+feature || name == "cpu.all" {
			off = value == "off"
		}
	}
	return off
}
