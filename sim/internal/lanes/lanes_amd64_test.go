//go:build amd64 && !noasm

package lanes

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A feature that GODEBUG hides is not there for the kernels either: the
// fastest of what is left is taken, and what is hidden is refused as on a
// machine without it.
func TestMaskedKernels(t *testing.T) {
	useKernel(t, "auto")
	t.Setenv("GODEBUG", "")
	whole := Kernels()
	without := func(hidden string) []string {
		var left []string
		for _, k := range whole {
			if k != hidden {
				left = append(left, k)
			}
		}
		return left
	}
	for _, c := range []struct {
		godebug string
		left    []string
	}{
		{"cpu.avx512f=off", without("avx512")},
		{"gctrace=0,cpu.avx512f=off", without("avx512")},
		{"cpu.avx2=off", []string{"go"}},
		{"cpu.all=off", []string{"go"}},
		{"cpu.all=off,cpu.all=on", whole},
		{"cpu.avx2=on", whole},
		{"cpu.avx=off,avx2=off", whole},
	} {
		t.Setenv("GODEBUG", c.godebug)
		assert.Equal(t, c.left, Kernels(), c.godebug)
		assert.NoError(t, UseKernel("auto"))
		assert.Equal(t, c.left[0], Kernel(), c.godebug)
	}
	t.Setenv("GODEBUG", "cpu.avx2=off")
	assert.EqualError(t, UseKernel("avx512"), `no kernel "avx512" on this machine; there are go`)
	assert.EqualError(t, UseKernel("avx2"), `no kernel "avx2" on this machine; there are go`)
}
