package lanes

import (
	"math"
	"math/rand/v2"
	"testing"

	"tankodds/sim/internal/store"
)

// climate is rain of wet and dry days in a Markov chain with exponential
// depths.
type climate struct {
	name         string
	wet, p11, mm float64
}

var climates = []climate{{"humid", 0.35, 0.55, 8}, {"dry", 0.08, 0.35, 14}}

// trace draws days of inflow of 150 m² at a coefficient of 0.85, depths to
// 0.1 mm, and a demand of 300 L/day.
func (c climate) trace(days int) (wet, demand []int64) {
	rng := rand.New(rand.NewPCG(1, 2))
	wet, demand = make([]int64, days), make([]int64, days)
	rains := false
	for t := range wet {
		p := c.wet * (1 - c.p11) / (1 - c.wet)
		if rains {
			p = c.p11
		}
		if rains = rng.Float64() < p; rains {
			wet[t] = int64(math.Round(-10*c.mm*math.Log(1-rng.Float64()))) * 1275
		}
		demand[t] = 30000
	}
	return wet, demand
}

// inflows returns the inflow of each event.
func inflows(e *Events, inflow []int64) []int32 {
	q := make([]int32, e.Len())
	for k := range q {
		q[k] = int32(inflow[e.Day(k)])
	}
	return q
}

// BenchmarkLanes/RULE/CLIMATE/KERNEL times 128 tanks over 1,000 years with each
// kernel of this machine.
func BenchmarkLanes(b *testing.B) {
	const years = 1000
	sizes := make([]int64, 128)
	for j := range sizes {
		sizes[j] = 25000 * int64(j+1)
	}
	l := New(sizes)
	for _, rule := range []store.Rule{store.YAS, store.YBS} {
		for _, c := range climates {
			wet, demand := c.trace(years * Year)
			var e Events
			e.Build(rule, wet, demand)
			q := inflows(&e, wet)
			for _, name := range Kernels() {
				b.Run(rule.String()+"/"+c.name+"/"+name, func(b *testing.B) {
					useKernel(b, name)
					for b.Loop() {
						l.Fill(0)
						l.Run(&e, q, 0, years, 0)
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/years/Year/float64(len(sizes)), "ns/tank-day")
				})
			}
		}
	}
}

// BenchmarkBuild/RULE/CLIMATE times making the events of 1,000 years.
func BenchmarkBuild(b *testing.B) {
	const days = 1000 * Year
	for _, rule := range []store.Rule{store.YAS, store.YBS} {
		for _, c := range climates {
			wet, demand := c.trace(days)
			b.Run(rule.String()+"/"+c.name, func(b *testing.B) {
				var e Events
				e.Build(rule, wet, demand) // has its memory then
				for b.Loop() {
					e.Build(rule, wet, demand)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/days, "ns/day")
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
