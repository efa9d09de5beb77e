package store

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

const year = 365 // days

// anyCase is rain and use for some years: any rain and any use, steady, weekly
// or by the day, with idle days. Small numbers make ties, large ones overflow.
func anyCase(rng *rand.Rand) (q, total []int64) {
	years := 1 + rng.IntN(5)
	every := []int{9999, 30, 7, 1}[rng.IntN(4)]
	top := math.Exp(1 + 14.2*rng.Float64()*rng.Float64())
	use := int64(top / 2)
	idle, wet := rng.Float64(), 0.005+math.Pow(rng.Float64(), 4)
	most := int64(math.Min(2e9, top*math.Exp(4*rng.Float64()-1)/wet)) + 1
	total = []int64{0}
	for range years * year {
		rain := int64(0)
		if rng.Float64() < wet {
			rain = rng.Int64N(most)
		}
		q = append(q, rain)
		total = append(total, total[len(total)-1]+use)
		if rng.IntN(every) == 0 {
			use = 0
			if rng.Float64() >= idle {
				use = rng.Int64N(int64(top) + 1)
			}
		}
	}
	return q, total
}

// cut cuts days into years and returns the inflow of each event.
func cut(days *Days, q, total []int64) []int64 {
	days.Cut(q, total, year)
	inflow := make([]int64, len(days.Ends))
	for e, t := range days.Ends {
		inflow[e] = q[t]
	}
	return inflow
}

// plain takes one tank through the days by the rule as it is written.
func plain(rule Rule, size, start int64, q, total []int64) (v, supplied int64, short []int) {
	v = min(start, size)
	short = make([]int, max(1, len(q)/year))
	for t := range q {
		var y int64
		d := total[t+1] - total[t]
		y, _, v = rule.Day(size, v, q[t], d)
		supplied += y
		if y < d {
			short[min(t/year, len(short)-1)]++
		}
	}
	return v, supplied, short
}

// All sizes at once give what the rule gives size by size: both rules, any use,
// any allowance, any start; sizes from 0, about what the years need, and any.
func TestSweepIsTheRuleAtEverySize(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	tanks := 0
	for n := range 400 {
		q, total := anyCase(rng)
		rule, allow := Rule(n%2), []int{0, 0, 1, 3, 20, 400}[rng.IntN(6)]
		start := []int64{0, 1, rng.Int64N(1 << 22), Most}[rng.IntN(4)]
		w := NewSweep(rule, start)
		var days Days
		inflow := cut(&days, q, total)
		var needs []int64
		for y := range len(q) / year {
			needs = append(needs, w.Year(&days, y, inflow, allow, nil))
		}
		at := []int64{0, 1}
		if n%4 < 2 { // in the other cases days ask for more than the largest size
			at = append(at, Most)
		}
		for range 12 {
			near := needs[rng.IntN(len(needs))] + rng.Int64N(3) - 1
			at = append(at, min(max(0, near), Most), int64(math.Exp(24*rng.Float64())/2))
		}
		slices.Sort(at)
		sizes := NewSizes(slices.Compact(at))
		w.Fill(start)
		tally := NewTally(sizes)
		for y := range len(q) / year {
			require.Equal(t, needs[y], w.Year(&days, y, inflow, allow, tally), "with a tally and without")
		}
		sums := NewSums(len(sizes.At))
		tally.Sum(sums)
		held := make([]int64, len(sizes.At))
		w.Held(held, sizes.At)
		for k, size := range sizes.At {
			v, supplied, short := plain(rule, size, start, q, total)
			days, good := 0, 0
			for y, s := range short {
				days += s
				if (s <= allow) != (needs[y] <= size) {
					require.Fail(t, "a need is wrong", "case %d: year %d with %d short days needs %d, and the tank has %d", n, y, s, needs[y], size)
				}
				if s <= allow {
					good++
				}
			}
			require.Equal(t, []int64{v, supplied, int64(days), int64(good)},
				[]int64{held[k], sums.Supplied[k], sums.Short[k], sums.Good[k]}, "case %d: held, supplied, short days, good years of size %d", n, size)
			tanks++
		}
	}
	require.Greater(t, tanks, 5000)
}

// A size is found among sizes as a search finds it.
func TestTallyFindsSizes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		var at []int64
		for range 1 + rng.IntN(300) {
			at = append(at, int64(math.Exp(31*rng.Float64())))
		}
		slices.Sort(at)
		at = slices.Compact(at)
		tally := NewTally(NewSizes(at))
		for range 300 {
			x := at[rng.IntN(len(at))] + rng.Int64N(3) - 1
			if want, _ := slices.BinarySearch(at, x); find(tally.first, tally.cells, x) != want {
				require.Equal(t, want, find(tally.first, tally.cells, x), "%d among %v", x, at)
			}
		}
	}
}

// BenchmarkSweep times all sizes at once in ns a day, over twenty traces of fifty
// years: what every year needs, and with what the tanks of 2,000 sizes give and
// lack.
func BenchmarkSweep(b *testing.B) {
	const years, traces = 50, 20
	at := make([]int64, 2000)
	for k := range at {
		at[k] = int64(100 * 100 * math.Pow(1000, float64(k)/1999))
	}
	for _, c := range []struct {
		name             string
		wet, follows, mm float64
		use              int64
	}{{"humid", 0.35, 0.55, 8, 300}, {"dry", 0.08, 0.35, 14, 300}} {
		total := make([]int64, years*year+1)
		for t := range total[1:] {
			total[t+1] = total[t] + c.use*PerLitre
		}
		rng := rand.New(rand.NewPCG(5, 6))
		var days [traces]Days
		var inflow [traces][]int64
		for k := range traces {
			q, wet := make([]int64, years*year), false
			for t := range q { // 150 m² that yield 0.85, depths to 0.1 mm
				chance := c.follows
				if !wet {
					chance = c.wet * (1 - c.follows) / (1 - c.wet)
				}
				if wet = rng.Float64() < chance; wet {
					q[t] = int64(10*c.mm*rng.ExpFloat64()+0.5) * 1275
				}
			}
			inflow[k] = cut(&days[k], q, total)
		}
		for _, rule := range []Rule{YAS, YBS} {
			for _, tally := range []*Tally{nil, NewTally(NewSizes(at))} {
				name := rule.String() + "/" + c.name + "/needs"
				if tally != nil {
					name = rule.String() + "/" + c.name + "/curves"
				}
				b.Run(name, func(b *testing.B) {
					w := NewSweep(rule, 0)
					for b.Loop() {
						for k := range traces {
							for y := range years {
								w.Year(&days[k], y, inflow[k], 0, tally)
							}
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*traces*years*year), "ns/day")
				})
			}
		}
	}
}
