package store

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// course is one of so many days without anything but inflow and one use.
func course(inflow, want []int64) *Course {
	return &Course{Inflow: inflow, Want: [][]int64{want}}
}

// steady is a list of equal days.
func steady(n int, x int64) []int64 {
	out := make([]int64, n)
	for t := range out {
		out[t] = x
	}
	return out
}

// Two uses, of which the second is not served below 30 (worked by hand from the
// rule).
func TestKeepLevelByHand(t *testing.T) {
	w := &Works{Size: 100, Keep: []int64{0, 30}}
	c := &Course{Inflow: []int64{0, 0, 0, 50, 0}, Want: [][]int64{steady(5, 10), steady(5, 20)}}
	h := w.NewHeld(60)
	var held, garden []int64
	house := int64(0)
	for day := range 5 {
		w.Day(c, day, h)
		held, garden = append(held, h.Tank), append(garden, h.Drawn[1])
		house += h.Drawn[0]
	}
	assert.Equal(t, []int64{30, 20, 10, 50, 30}, held)
	assert.Equal(t, []int64{20, 0, 0, 0, 10}, garden)
	assert.Equal(t, int64(50), house)
}

// Mains let into the tank in the evening, and straight to the use (worked by hand
// from the rule).
func TestTopUpByHand(t *testing.T) {
	inflow, want := []int64{0, 0, 80, 0}, steady(4, 30)
	w := &Works{Size: 100, Keep: []int64{0}, TopUp: TopUp{20, 40, Most}}
	h := w.NewHeld(50)
	var drawn, in, over []int64
	for day := range 4 {
		f := w.Day(course(inflow, want), day, h)
		drawn, in, over = append(drawn, f.Drawn), append(in, f.LetIn), append(over, f.Spilled)
	}
	assert.Equal(t, []int64{30, 20, 30, 30}, drawn)
	assert.Equal(t, []int64{0, 40, 0, 0}, in)
	assert.Equal(t, []int64{0, 0, 20, 0}, over)
	assert.Equal(t, int64(40), h.Tank)
	w.TopUp = TopUp{}
	h = w.NewHeld(50)
	g := w.Run(course(inflow, want), h, 0, 4, 4, 0, -1, nil)
	assert.Equal(t, int64(40), 120-g.Drawn, "mains to the use")
	assert.Equal(t, int64(0), g.Spilled)
	assert.Equal(t, int64(50), h.Tank)
}

// One surge tank of 10 pumped into a tank of 30 (worked by hand from the rule).
func TestSurgeByHand(t *testing.T) {
	w := &Works{Size: 30, Keep: []int64{0}, Pumps: []Pump{{10, 8, 6}}}
	c := &Course{Inflow: steady(3, 0), Want: [][]int64{steady(3, 5)}}
	c.Into([]int64{25, 0, 0})
	h := w.NewHeld(0)
	var over, drawn, main, surge []int64
	for day := range 3 {
		f := w.Day(c, day, h)
		over, drawn, main, surge = append(over, f.Spilled), append(drawn, f.Drawn), append(main, h.Tank), append(surge, h.Surge[0])
	}
	assert.Equal(t, []int64{7, 0, 0}, over)
	assert.Equal(t, []int64{0, 5, 5}, drawn)
	assert.Equal(t, []int64{14, 13, 8}, main)
	assert.Equal(t, []int64{4, 0, 0}, surge)
}

// case of works drawn at random, with a course of so many days.
func randomWorks(rng *rand.Rand, days int) (*Works, *Course) {
	pick := func(n int64) int64 { return rng.Int64N(n + 1) }
	w := &Works{Rule: Rule(rng.IntN(2)), Size: 1 + pick(3000)}
	c := &Course{Inflow: make([]int64, days)}
	wet := func(most int64) []int64 {
		out := make([]int64, days)
		for t := range out {
			if rng.IntN(4) == 0 {
				out[t] = pick(most)
			}
		}
		return out
	}
	if rng.IntN(3) > 0 {
		c.Inflow = wet(1500)
	}
	for range 1 + rng.IntN(3) {
		w.Keep = append(w.Keep, pick(800)*pick(1))
		want := make([]int64, days)
		for t := range want {
			want[t] = pick(200)
		}
		c.Want = append(c.Want, want)
	}
	for range rng.IntN(4) {
		w.Pumps = append(w.Pumps, Pump{pick(500), pick(400), pick(400)})
		c.Into(wet(900))
	}
	if rng.IntN(2) == 0 {
		w.TopUp = TopUp{Below: pick(w.Size / 2), Most: pick(300)}
		w.TopUp.To = w.TopUp.Below + pick(w.Size-w.TopUp.Below)
	}
	if rng.IntN(2) == 0 {
		c.Rain, c.Dry = wet(60), steady(days, pick(30))
	}
	if rng.IntN(3) == 0 {
		c.Idle = make([]bool, days)
		for t := range c.Idle {
			c.Idle[t] = rng.IntN(2) == 0
		}
	}
	return w, c
}

// V₀ + W₀ + ΣQ + ΣG + ΣR = ΣY + ΣO + ΣE + Vₙ + Wₙ, to the unit, with everything
// on; nothing is below 0 or above its tank.
func TestWorksBalance(t *testing.T) {
	t.Parallel()
	const days = 300
	for seed := range uint64(2000) {
		rng := rand.New(rand.NewPCG(seed, 1))
		w, c := randomWorks(rng, days)
		h := w.NewHeld(rng.Int64N(4000))
		for day := range days {
			before := h.All()
			f := w.Day(c, day, h)
			if in, out := before+f.Inflow+f.LetIn+f.Rain, f.Drawn+f.Spilled+f.Dried+h.All(); in != out {
				t.Fatalf("seed %d day %d: %d and %d", seed, day, in, out)
			}
			if h.Tank < 0 || h.Tank > w.Size || min(f.Drawn, f.Spilled, f.Dried, f.LetIn, f.Pumped) < 0 {
				t.Fatalf("seed %d day %d: %+v holds %d of %d", seed, day, f, h.Tank, w.Size)
			}
			for j, x := range h.Surge {
				if x < 0 || x > w.Pumps[j].Size {
					t.Fatalf("seed %d day %d: surge tank %d holds %d", seed, day, j, x)
				}
			}
			sum := int64(0)
			for u, y := range h.Drawn {
				if y < 0 || y > c.Want[u][day] {
					t.Fatalf("seed %d day %d: use %d is given %d of %d", seed, day, u, y, c.Want[u][day])
				}
				sum += y
			}
			if f.Drawn != sum {
				t.Fatalf("seed %d day %d: %d drawn, %d given", seed, day, f.Drawn, sum)
			}
		}
	}
}

// Run adds up what Day does.
func TestRunIsDayAfterDay(t *testing.T) {
	const years, year = 4, 90
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 6))
		w, c := randomWorks(rng, years*year)
		allow, of := rng.IntN(20), rng.IntN(len(w.Keep)+1)-1
		a, b := w.NewHeld(500), w.NewHeld(500)
		var want Gave
		var good []bool
		for y := range years {
			short := 0
			for day := range year {
				f := w.Day(c, y*year+day, a)
				want.Drawn, want.Spilled, want.LetIn = want.Drawn+f.Drawn, want.Spilled+f.Spilled, want.LetIn+f.LetIn
				met, wanted := f.Drawn, f.Wanted
				if of >= 0 {
					met, wanted = a.Drawn[of], c.Want[of][y*year+day]
				}
				want.Met += met
				if met < wanted || f.LetIn > 0 {
					short++
				}
			}
			want.Short += int64(short)
			good = append(good, short <= allow)
			if short <= allow {
				want.Good++
			}
		}
		want.Met = max(0, want.Met-want.LetIn)
		var told []bool
		got := w.Run(c, b, 0, years*year, year, allow, of, func(y int, is bool) { told = append(told, is) })
		require.Equal(t, want, got, "seed %d", seed)
		require.Equal(t, good, told, "seed %d", seed)
		require.Equal(t, []int64{a.Tank, a.All()}, []int64{b.Tank, b.All()}, "seed %d", seed)
	}
}

// Works with every part switched off are the plain store, whatever the number
// of uses among which its draw is shared.
func TestPlainWorksAreTheStore(t *testing.T) {
	const days = 200
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 2))
		w, c := randomWorks(rng, days)
		w.Pumps, w.TopUp, c.Surge, c.Rain, c.Dry = nil, TopUp{}, nil, nil, nil
		clear(w.Keep)
		require.True(t, w.Plain())
		h := w.NewHeld(700)
		held := h.Tank
		for day := range days {
			d := int64(0)
			for _, want := range c.Want {
				d += want[day]
			}
			var y, o int64
			y, o, held = w.Rule.Day(w.Size, held, c.Inflow[day], d)
			f := w.Day(c, day, h)
			require.Equal(t, []int64{y, o, held}, []int64{f.Drawn, f.Spilled, h.Tank}, "seed %d day %d", seed, day)
		}
	}
}

// What holds exactly of surge tanks (DERIV): pumps without limit and surge tanks
// in proportion to what flows into them are one tank as large as all together; no
// surge tanks and pumps without limit are the main tank; without pumps the main
// tank gets nothing.
func TestSurgeLimits(t *testing.T) {
	const days = 400
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 3))
		all, share := make([]int64, days), []int64{1 + rng.Int64N(5), 1 + rng.Int64N(5), 1 + rng.Int64N(5)}
		want := steady(days, 50+rng.Int64N(300))
		c := &Course{Inflow: make([]int64, days), Want: [][]int64{want}}
		into := [3][]int64{make([]int64, days), make([]int64, days), make([]int64, days)}
		for day := range all {
			if rng.IntN(4) == 0 {
				x := rng.Int64N(500)
				for j := range share {
					into[j][day] = x * share[j]
					all[day] += x * share[j]
				}
			}
		}
		for _, of := range into {
			c.Into(of)
		}
		unit := rng.Int64N(300)
		main := 350 + rng.Int64N(5000) // a day's use is less
		w := &Works{Size: main, Keep: []int64{0}}
		for _, k := range share {
			w.Pumps = append(w.Pumps, Pump{unit * k, Most, Most})
		}
		single := &Works{Size: main + unit*(share[0]+share[1]+share[2]), Keep: []int64{0}}
		a, b := w.Run(c, w.NewHeld(0), 0, days, days, 0, -1, nil), single.Run(course(all, want), single.NewHeld(0), 0, days, days, 0, -1, nil)
		// A surge tank whose share is rounded to a unit may run over by one.
		require.InDelta(t, b.Drawn, a.Drawn, 2*days/4, "seed %d", seed)
		require.InEpsilon(t, 1+float64(b.Drawn), 1+float64(a.Drawn), 2e-3)
		for j := range w.Pumps {
			w.Pumps[j].Size = 0
		}
		single.Size = main
		a, b = w.Run(c, w.NewHeld(0), 0, days, days, 0, -1, nil), single.Run(course(all, want), single.NewHeld(0), 0, days, days, 0, -1, nil)
		require.Equal(t, b, a, "seed %d: no surge tanks", seed)
		for j := range w.Pumps {
			w.Pumps[j] = Pump{Size: 500}
		}
		require.Equal(t, int64(0), w.Run(c, w.NewHeld(0), 0, days, days, 0, -1, nil).Drawn, "no pump")
	}
}

// More storage never serves less: in all and, where keep-levels are volumes, each
// use; nor does a larger surge tank (DERIV). That a stronger pump never does is
// not so, and is not asked.
func TestMoreStorageServesNoLess(t *testing.T) {
	const days = 300
	for seed := range uint64(1000) {
		rng := rand.New(rand.NewPCG(seed, 4))
		w, c := randomWorks(rng, days)
		c.Rain, c.Dry, w.TopUp, w.Rule = nil, nil, TopUp{}, YAS
		drawn := func(w *Works) (out []int64) {
			h := w.NewHeld(0)
			out = make([]int64, len(w.Keep))
			for day := range days {
				w.Day(c, day, h)
				for u, y := range h.Drawn {
					out[u] += y
				}
			}
			return out
		}
		sum := func(x []int64) (s int64) {
			for _, v := range x {
				s += v
			}
			return s
		}
		larger := *w
		larger.Size += 1 + rng.Int64N(1000)
		a, b := drawn(w), drawn(&larger)
		if len(w.Pumps) == 0 {
			for u := range a {
				require.GreaterOrEqual(t, b[u], a[u], "seed %d use %d", seed, u)
			}
		}
		slack := int64(len(w.Pumps) * days) // of whole units shared among pumps
		require.GreaterOrEqual(t, sum(b)+slack, sum(a), "seed %d", seed)
		if len(w.Pumps) > 0 {
			surge := *w
			surge.Pumps = append([]Pump(nil), w.Pumps...)
			surge.Pumps[0].Size += 1 + rng.Int64N(500)
			require.GreaterOrEqual(t, sum(drawn(&surge))+slack, sum(a), "seed %d: surge", seed)
		}
	}
}

func BenchmarkWorks(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 5))
	const days = 365 * 50
	full, c := randomWorks(rng, days)
	for len(full.Pumps) < 2 {
		full, c = randomWorks(rng, days)
	}
	few := *c
	few.Surge, few.Rain, few.Dry = nil, nil, nil
	for _, x := range []struct {
		name string
		w    Works
		c    *Course
	}{{"keep", Works{Size: 2000, Keep: full.Keep}, &few}, {"pumps", *full, c}} {
		b.Run(fmt.Sprint(x.name, len(x.w.Keep), len(x.w.Pumps)), func(b *testing.B) {
			for range b.N {
				x.w.Run(x.c, x.w.NewHeld(0), 0, days, 365, 0, -1, nil)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/days, "ns/day")
		})
	}
}
