package store

import (
	"math/rand/v2"
	"testing"
)

// kernelWidth is how many bits the registers hold that a kernel works in: the
// pure-Go one takes a tank at a time, a float64.
var kernelWidth = map[string]string{"avx512": "512", "avx2": "256", "go": "64"}

// BenchmarkStore/RULE/WIDTH times the store on 64 tanks over 1,000 years, with
// each kernel of this machine, named by the width of its registers in bits:
// 512 is AVX-512, 256 AVX2, 64 Go alone.
func BenchmarkStore(b *testing.B) {
	const days = 365000
	rng := rand.New(rand.NewPCG(1, 2))
	q, d := make([]float64, days), make([]float64, days)
	for t := range q {
		if rng.Float64() < 0.2 {
			q[t] = 1500 * rng.Float64()
		}
		d[t] = 100
		if t%365 > 120 && t%365 < 300 {
			d[t] = 400
		}
	}
	need := needs(d)
	sizes := make([]float64, 64)
	for j := range sizes {
		sizes[j] = 500 * float64(j+1)
	}
	for _, rule := range []Rule{YAS, YBS} {
		for _, name := range Kernels() {
			b.Run(rule.String()+"/"+kernelWidth[name], func(b *testing.B) {
				useKernel(b, name)
				l := newLanes(sizes, 0)
				for b.Loop() {
					for y := 0; y < days; y += 365 {
						l.Run(rule, q[y:y+365], d[y:y+365], need[y:y+365])
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/days/float64(len(sizes)), "ns/tank-day")
			})
		}
	}
}

// useKernel chooses a kernel for one test.
func useKernel(t testing.TB, name string) {
	was := inUse
	t.Cleanup(func() { inUse = was })
	if err := UseKernel(name); err != nil {
		t.Fatal(err)
	}
}
