//go:build amd64 && !noasm

package store

import (
	"math"
	"os"
	"strings"
)

// block runs a fixed number of lanes through days ≥ 1 days: the signature of
// the assembly in store_amd64.s.
type block func(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func yas512x32(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func ybs512x32(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func yas512x8(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func ybs512x8(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func yas256x16(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func ybs256x16(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func yas256x8(q, d, need *float64, days int, r, s, v, y, o, b *float64)

//go:noescape
func ybs256x8(q, d, need *float64, days int, r, s, v, y, o, b *float64)

func cpuid(leaf, sub uint32) (a, b, c, d uint32)
func xgetbv() uint32

// machineKernels lists the kernels that this processor can run, the fastest
// first, but those that GODEBUG masks. The bits are those of the processor's
// manual: leaf 7, EBX bit 5 AVX2, 16 AVX-512F, 17 AVX-512DQ; leaf 1, ECX bit 12
// FMA, 27 OSXSAVE; XCR0 bits 1–2 and 5–7 say that the operating system keeps the
// wide registers.
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
	if kept&0x6 != 0x6 || b7&(1<<5) == 0 || c1&(1<<12) == 0 || masked("avx2") {
		return nil // what has AVX-512 has AVX2 too
	}
	var out []kernel
	if kept&0xe6 == 0xe6 && b7&(1<<16) != 0 && b7&(1<<17) != 0 && !masked("avx512f") {
		out = append(out, blocks("avx512", 32, [...]block{YAS: yas512x32, YBS: ybs512x32}, [...]block{YAS: yas512x8, YBS: ybs512x8}, false))
	}
	return append(out, blocks("avx2", 16, [...]block{YAS: yas256x16, YBS: ybs256x16}, [...]block{YAS: yas256x8, YBS: ybs256x8}, true))
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

// blocks is the kernel that runs the lanes by wide blocks of a width and what is
// left by narrow ones of 8, each by rule. Where counted is set the assembly
// leaves the short days as integers.
func blocks(name string, width int, wide, narrow [2]block, counted bool) kernel {
	return kernel{name, func(l *Lanes, rule Rule, q, d, need []float64) {
		clear(l.Short) // +0 is the integer 0
		if len(q) == 0 {
			return
		}
		for j := 0; j < len(l.Size); {
			f, w := wide[rule], width
			if j+w > len(l.Size) {
				f, w = narrow[rule], 8
			}
			f(&q[0], &d[0], &need[0], len(q), &l.Roof[j], &l.Size[j], &l.Storage[j], &l.Supplied[j], &l.Spilled[j], &l.Short[j])
			j += w
		}
		if counted {
			for j, x := range l.Short {
				l.Short[j] = float64(math.Float64bits(x))
			}
		}
	}}
}
