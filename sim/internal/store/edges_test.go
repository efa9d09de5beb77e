package store

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// sameAsTheRule requires that a sweep through days, in years of any length,
// tells of tanks of rising sizes what the rule does to each.
func sameAsTheRule(t testing.TB, rule Rule, start int64, allow, year int, q, d, sizes []int64) {
	w, tally := NewSweep(rule, start), NewTally(NewSizes(sizes))
	var needs []int64
	for a := 0; a < len(q); a += year {
		z := min(a+year, len(q))
		needs = append(needs, w.Run(q[a:z], d[a:z], allow, tally))
	}
	sums, held := NewSums(len(sizes)), make([]int64, len(sizes))
	tally.Sum(sums)
	w.Held(held, sizes)
	for k, s := range sizes {
		want := follow(dayStep(rule), q, d, min(start, s), s)
		balanced(t, want, q, min(start, s))
		good := int64(0)
		for y, need := range needs {
			a, short := y*year, 0
			for i := a; i < min(a+year, len(q)); i++ {
				if want.yield[i] < d[i] {
					short++
				}
			}
			require.Equal(t, short <= allow, need <= s, "%s: year %d with %d short days needs %d, and the tank has %d", rule, y, short, need, s)
			if short <= allow {
				good++
			}
		}
		require.Equal(t, []int64{want.storage[len(q)-1], want.supplied, want.short, good},
			[]int64{held[k], sums.Supplied[k], sums.Short[k], sums.Good[k]}, "%s: held, supplied, short days, good years of size %d", rule, s)
	}
}

// Years of the largest days there may be, and of the smallest among them, at
// sizes up to the largest.
func TestSweepOfTheLargestVolumes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 8))
	volume := func() int64 { return []int64{0, 0, 1, Most / 2, Most - 1, Most, rng.Int64N(Most)}[rng.IntN(7)] }
	sizes := []int64{0, 1, 2, Most / 3, Most / 2, Most - 2, Most - 1, Most}
	for n := range 48 {
		q, d := make([]int64, 40*year), make([]int64, 40*year)
		for t := range q {
			switch n / 2 % 4 {
			case 0:
				q[t], d[t] = volume(), volume()
			case 1:
				q[t] = Most
			case 2:
				d[t] = Most
			case 3:
				q[t], d[t] = Most, Most-rng.Int64N(2)
			}
		}
		sameAsTheRule(t, Rule(n%2), volume(), []int{0, 3, 200}[n%3], year, q, d, sizes)
	}
}

// FuzzSweep reads a small case from the bytes: the rule, what may be short, the
// start, the length of a year, and two bytes a day, most of them dry. Every size
// is looked at.
func FuzzSweep(f *testing.F) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range 200 {
		b := make([]byte, rng.IntN(200))
		for k := range b {
			b[k] = byte(rng.Uint32())
		}
		f.Add(b)
	}
	sizes := make([]int64, 150)
	for k := range sizes {
		sizes[k] = int64(k)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) < 6 {
			return
		}
		var q, d []int64
		for day := range slices.Chunk(b[4:], 2) {
			if len(day) == 2 {
				q, d = append(q, max(0, int64(day[0])-180)), append(d, int64(day[1])%32)
			}
		}
		sameAsTheRule(t, Rule(b[0]%2), int64(b[2]), int(b[1])%4, 1+int(b[3])%64, q, d, sizes)
	})
}
