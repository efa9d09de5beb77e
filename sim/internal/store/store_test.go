package store

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// guarded returns a slice of n values between guard values, and a check that
// the guards still stand.
func guarded(t testing.TB, values []float64) ([]float64, func()) {
	const pad, mark = 8, 12345.678
	block := make([]float64, len(values)+2*pad)
	for i := range block {
		block[i] = mark
	}
	copy(block[pad:], values)
	return block[pad : pad+len(values)], func() {
		for i := range pad {
			require.Equal(t, mark, block[i], "guard before")
			require.Equal(t, mark, block[len(block)-1-i], "guard after")
		}
	}
}

// sameBits runs every kernel of the machine over one input, in several calls,
// and requires the bits of the Go code of each.
func sameBits(t testing.TB, rule Rule, roofs, sizes, q, d, need []float64, start float64, calls int) {
	want := NewLanes(roofs, sizes, start)
	var wantShort []float64
	per := max(1, len(q)/calls)
	each := func(run func(a, z int)) {
		for a := 0; a < len(q); a += per {
			run(a, min(len(q), a+per))
		}
	}
	each(func(a, z int) {
		want.runGo(rule, q[a:z], d[a:z], need[a:z])
		wantShort = append(wantShort, want.Short[:want.tanks]...)
	})
	for _, k := range machineKernels() {
		got := NewLanes(roofs, sizes, start)
		var checks []func()
		for _, s := range []*[]float64{&got.Roof, &got.Size, &got.Storage, &got.Supplied, &got.Spilled, &got.Short} {
			var check func()
			*s, check = guarded(t, *s)
			checks = append(checks, check)
		}
		var short []float64
		each(func(a, z int) {
			k.run(got, rule, q[a:z], d[a:z], need[a:z])
			short = append(short, got.Short[:got.tanks]...)
		})
		for _, check := range checks {
			check()
		}
		for name, pair := range map[string][2][]float64{
			"storage":  {want.Storage[:want.tanks], got.Storage},
			"supplied": {want.Supplied[:want.tanks], got.Supplied},
			"spilled":  {want.Spilled[:want.tanks], got.Spilled},
			"short":    {wantShort, short},
		} {
			for j := range pair[0] {
				require.Equal(t, math.Float64bits(pair[0][j]), math.Float64bits(pair[1][j]), "%s %s: %s of lane %d: %g, not %g", k.name, rule, name, j, pair[1][j], pair[0][j])
			}
		}
	}
}

// FuzzKernels reads sizes, inflows and demands from the bytes, any pattern of
// bits but negative numbers and NaN, which are refused before the store. It
// begins with numbers of every kind: none, whole, tiny, huge and usual ones.
func FuzzKernels(f *testing.F) {
	rng := rand.New(rand.NewPCG(11, 12))
	value := func() float64 {
		switch rng.IntN(8) {
		case 0, 1, 2:
			return 0
		case 3:
			return math.Float64frombits(rng.Uint64N(1 << 52)) // a denormal
		case 4:
			return float64(rng.IntN(5)) * 100
		case 5:
			return math.Exp(rng.NormFloat64() * 20)
		}
		return 1000 * rng.Float64()
	}
	for _, lanes := range []int{1, 2, 7, 8, 9, 16, 31, 32, 33, 40, 47, 48, 64, 65, 100} {
		for range 2 {
			days := 1 + rng.IntN(800)
			idle := rng.IntN(4) == 0 // nothing is wanted
			var b []byte
			for k := range 2 * (lanes + days) {
				x := value()
				if k < lanes && rng.IntN(2) == 0 {
					x = 1 // the site's own roofs
				}
				if idle && k >= 2*lanes+days {
					x = 0
				}
				b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
			}
			f.Add(b, uint8(lanes-1), uint8(rng.IntN(5)))
		}
	}
	f.Fuzz(func(t *testing.T, b []byte, n, calls uint8) {
		var x []float64
		for ; len(b) >= 8; b = b[8:] {
			v := math.Abs(math.Float64frombits(binary.LittleEndian.Uint64(b)))
			if math.IsNaN(v) || math.IsInf(v, 0) || v > 1e150 {
				v = 1
			}
			x = append(x, v)
		}
		lanes := 1 + int(n)
		if len(x) < 2*lanes+2 {
			return
		}
		roofs, sizes, rest := x[:lanes], x[lanes:2*lanes], x[2*lanes:]
		days := len(rest) / 2
		q, d := rest[:days], rest[days:2*days]
		for _, rule := range []Rule{YAS, YBS} {
			sameBits(t, rule, roofs, sizes, q, d, needs(d), sizes[0], 1+int(calls)%5)
		}
	})
}

func TestUseKernel(t *testing.T) {
	useKernel(t, "go")
	assert.Equal(t, "go", inUse.name)
	assert.ErrorContains(t, UseKernel("abacus"), "there are")
	assert.Equal(t, "go", inUse.name, "a name that is none changes nothing")
	assert.NoError(t, UseKernel("auto"))
	assert.Equal(t, Kernels()[0], inUse.name, "the fastest")
	assert.Equal(t, "go", Kernels()[len(Kernels())-1], "the specification is always there, last")
	for _, k := range Kernels() {
		assert.NotEmpty(t, kernelWidth[k], "%s has a benchmark", k)
	}
	l := newLanes([]float64{5}, 0)
	l.Short[0] = 7
	l.Run(YAS, nil, nil, nil)
	assert.Zero(t, l.Short[0], "of no day none is short")
}
