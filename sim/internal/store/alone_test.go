package store

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A tank alone does what it does day by day: with days that want nothing, and
// through years in two parts.
func TestAloneIsDayByDay(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for trial := range 400 {
		const years, year = 4, 30
		rule, allow := Rule(trial%2), trial%3
		rain, want := make([]int64, years*year), make([]int64, years*year)
		use := make([]int64, len(rain)+1)
		for k := range rain {
			if rng.IntN(3) == 0 {
				rain[k] = rng.Int64N(40)
			}
			if rng.IntN(4) > 0 {
				want[k] = rng.Int64N(12)
			}
			use[k+1] = use[k] + want[k]
		}
		var days Days
		days.Cut(rain, use, year)
		inflow := make([]int64, len(days.Ends))
		for e, day := range days.Ends {
			inflow[e] = rain[day]
		}
		a := Alone{Size: rng.Int64N(80), Held: 0}
		a.Held = rng.Int64N(a.Size + 1)
		w := a
		a.Run(rule, &days, 0, 1, inflow, allow)
		a.Run(rule, &days, 1, years, inflow, allow)
		for y := range years {
			short := int64(0)
			for k := y * year; k < (y+1)*year; k++ {
				yield, _, held := rule.Day(w.Size, w.Held, rain[k], want[k])
				w.Held = held
				w.Supplied += yield
				if yield < want[k] {
					short++
				}
			}
			w.Short += short
			if short <= int64(allow) {
				w.Good++
			}
		}
		assert.Equal(t, w, a, "trial %d", trial)
	}
}
