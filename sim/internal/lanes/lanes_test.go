package lanes

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim/internal/store"
)

// result is what a tank is asked for.
type result struct{ supplied, short, good, storage int64 }

// plain is the rules as they are written, one tank and one day at a time: the
// tallies of the years from the run-in on.
func plain(rule store.Rule, q, d []int64, s, start int64, runIn, allow int) (r result, shorts []int) {
	v := min(start, s)
	for t := range q {
		var give int64
		if rule == store.YBS {
			give = min(d[t], v+q[t])
			v = min(v+q[t]-give, s)
		} else {
			give = min(d[t], v)
			v = min(v+q[t]-give, s-give)
		}
		if t%Year == 0 {
			shorts = append(shorts, 0)
		}
		if give < d[t] {
			shorts[t/Year]++
		}
		if t >= runIn*Year {
			r.supplied += give
		}
	}
	for _, n := range shorts[runIn:] {
		r.short += int64(n)
		if n <= allow {
			r.good++
		}
	}
	r.storage = v
	return r, shorts
}

// study is a case: days, tanks and what is asked of them.
type study struct {
	q, d         []int64
	sizes        []int64
	start        int64
	runIn, allow int
}

// anyStudy draws any rain and any use, steady, weekly or by the day, with
// idle days; small numbers make ties, large ones overflow.
func anyStudy(rng *rand.Rand) study {
	years := 1 + rng.IntN(6)
	days := years * Year
	any := func(scale float64) int64 { return int64(math.Exp(scale * rng.Float64() * rng.Float64())) }
	top := 1 + any(15.2) // ≤ most, now and then close to it
	s := study{
		q: make([]int64, days), d: make([]int64, days), sizes: make([]int64, 1+rng.IntN(140)),
		start: any(22) - 1, runIn: rng.IntN(years), allow: []int{0, 0, 1, 10, 100, 364, 365}[rng.IntN(7)],
	}
	every := []int{9999, 30, 7, 1}[rng.IntN(4)]
	idle, wet := rng.Float64(), 0.005+math.Pow(rng.Float64(), 4)
	deep := int64(min(math.MaxInt32, float64(top)*math.Exp(4*rng.Float64()-1)/wet)) + 1
	use := top / 2
	for t := range s.q {
		if rng.Float64() < wet {
			s.q[t] = min(rng.Int64N(deep), math.MaxInt32)
		}
		if rng.IntN(every) == 0 {
			if use = rng.Int64N(top); rng.Float64() < idle {
				use = 0
			}
		}
		s.d[t] = min(use, most)
		if every == 30 && t%7 > 4 {
			s.d[t] /= 2
		}
	}
	for j := range s.sizes {
		s.sizes[j] = min(int64(math.Exp(22*rng.Float64())/2), math.MaxInt32)
	}
	s.sizes[0] = []int64{0, 1, math.MaxInt32}[rng.IntN(3)]
	return s
}

// around puts tanks a unit around the size that a year needs to be good.
func (s study) around(rule store.Rule, rng *rand.Rand) {
	y, low, high := rng.IntN(len(s.q)/Year), int64(-1), int64(math.MaxInt32)
	for high-low > 1 {
		mid := (low + high) / 2
		if _, shorts := plain(rule, s.q, s.d, mid, s.start, 0, 0); shorts[y] <= s.allow {
			high = mid
		} else {
			low = mid
		}
	}
	for k := range min(3, len(s.sizes)-1) {
		s.sizes[1+k] = min(max(0, high+int64(k)-1), math.MaxInt32)
	}
}

// check compares every kernel of the machine with the plain loop.
func (s study) check(t *testing.T, rule store.Rule, e *Events) {
	var want []result
	for _, size := range s.sizes {
		r, _ := plain(rule, s.q, s.d, size, s.start, s.runIn, s.allow)
		want = append(want, r)
	}
	wet := make([]int64, len(s.q))
	for t, q := range s.q {
		wet[t] = 3*q - 1 // another roof's, and less than none
	}
	require.True(t, e.Build(rule, wet, s.d))
	q := inflows(e, s.q)
	for _, k := range Kernels() {
		useKernel(t, k)
		l := New(s.sizes)
		n := len(l.groups)
		guarded := make([]group, n+2)
		for i := range side {
			guarded[0].bad[i], guarded[n+1].size[i], guarded[n+1].held[i] = 7, 7, 7
		}
		before, after := guarded[0], guarded[n+1]
		copy(guarded[1:], l.groups)
		l.groups = guarded[1 : n+1]
		years := len(s.q) / Year
		half := (s.runIn + years) / 2
		l.Fill(s.start)
		l.Run(e, q, 0, s.runIn, s.allow)
		l.Clear()
		l.Run(e, q, s.runIn, half, s.allow)
		l.Run(e, q, half, years, s.allow)
		for j, w := range want {
			require.Equal(t, w, result{l.Supplied[j], l.Short[j], l.Good[j], l.Storage(j)}, "%s, %s: tank %d of %d units", k, rule, j, s.sizes[j])
		}
		require.Equal(t, before, guarded[0], "memory before")
		require.Equal(t, after, guarded[n+1], "memory after")
	}
}

func TestLanesArePlain(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var e Events
	for range 200 {
		s := anyStudy(rng)
		for _, rule := range []store.Rule{store.YAS, store.YBS} {
			s.around(rule, rng)
			s.check(t, rule, &e)
		}
	}
}

// The limits: the largest demand, inflow and tank, over more years than one
// call of a kernel takes.
func TestLimits(t *testing.T) {
	days := (2*chunk + 3) * Year
	s := study{q: make([]int64, days), d: make([]int64, days), sizes: []int64{0, 1, most - 1, most, most + 1, math.MaxInt32 - 1, math.MaxInt32}, start: math.MaxInt64, runIn: chunk + 1, allow: 300}
	for t := range s.q {
		s.d[t] = most
		if t%500 > 400 {
			s.q[t] = math.MaxInt32
		}
	}
	var e Events
	s.check(t, store.YAS, &e)
	s.check(t, store.YBS, &e)
	for t := range s.d { // the longest events
		s.d[t] = most / Year
		s.q[t] = 0
	}
	s.check(t, store.YAS, &e)
	assert.Equal(t, days/Year, e.Len(), "an event a year")
	s.check(t, store.YBS, &e)

	for _, d := range []int64{-1, most + 1, math.MinInt64, math.MaxInt64} {
		s.d[days-1] = d
		assert.False(t, e.Build(store.YAS, s.q, s.d), "%d", d)
		assert.Zero(t, e.Len())
	}
	assert.True(t, e.Build(store.YAS, nil, nil))
	l := New(nil)
	l.Run(&e, nil, 0, 0, 0)
	assert.Empty(t, l.Good)
	for _, size := range []int64{-1, math.MaxInt32 + 1} {
		assert.False(t, Fits(size))
		assert.Panics(t, func() { New([]int64{size}) })
	}
	assert.True(t, Fits(0) && Fits(math.MaxInt32))
}

// The count of full days, and that by the exact product, is right at the first
// and the last volume that has so many, of every demand and number of days that
// an event can have; in between it is too, as it never falls.
func TestFullDays(t *testing.T) {
	step := int64(1)
	if testing.Short() {
		step = 61
	}
	for d := int64(1); d <= most; d += step {
		per, longest := inverse(d)
		// Rounded up, as the proof wants it: the least float32 whose product with d,
		// which a float64 holds exactly, is not below 1.
		if below := math.Nextafter32(per, 0); float64(per)*float64(d) < 1 || float64(below)*float64(d) >= 1 {
			t.Fatalf("1/%d is not %g rounded up", d, per)
		}
		x := event{per: per}
		is := func(u, days int64) bool {
			product := float64(int32(u)) * float64(per) // exact
			return int64(x.full(uint32(u))) == days && int64(int32(product)) == days
		}
		most := min(most, Year*d)
		for k := int64(1); k*d <= most; k++ {
			if !is(k*d-1, k-1) || !is(k*d, k) {
				t.Fatalf("%d units at %d a day are not %d days", k*d, d, k)
			}
		}
		if !is(most, most/d) || min(longest, Year) != int(most/d) {
			t.Fatalf("%d units at %d a day are not %d days", most, d, most/d)
		}
	}
}

// Making events again needs no memory.
func TestBuildAllocatesOnce(t *testing.T) {
	wet, demand := climates[0].trace(20 * Year)
	var e Events
	e.Build(store.YAS, wet, demand)
	assert.Zero(t, testing.AllocsPerRun(5, func() { e.Build(store.YBS, wet, demand) }))
}

func TestUseKernel(t *testing.T) {
	useKernel(t, "go")
	assert.Equal(t, "go", Kernel())
	assert.ErrorContains(t, UseKernel("abacus"), "there are")
	assert.Equal(t, "go", Kernel(), "a name that is none changes nothing")
	assert.NoError(t, UseKernel("auto"))
	assert.Equal(t, Kernels()[0], Kernel(), "the fastest")
	assert.Equal(t, "go", Kernels()[len(Kernels())-1], "the specification is always there, last")
}
