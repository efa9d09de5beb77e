package known

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
)

// The interval of the ratio of two sizes holds the true ratio nine times in ten, of
// records of one climate and of two. Two bands that overlap are no test: of two
// climates whose sizes differ many overlap.
func TestDifferencesHoldInKnownClimates(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	cases, err := smallCases()
	require.NoError(t, err)
	held, told := [2]share{}, [2]share{}
	for i, a := range cases {
		for _, b := range cases[i+1:] {
			same := a.World == b.World
			if a.Target != b.Target || a.Usable != b.Usable || a.Record == b.Record || same && a.Demand != b.Demand {
				continue
			}
			d := sim.Differ(gauged(a), gauged(b), a.Share, a.Measure == sim.Annual)
			truth := b.Needs / a.Needs
			if d.Sizes == "" || math.IsNaN(truth) || math.IsInf(truth, 0) || truth == 0 {
				continue
			}
			k := map[bool]int{true: 0, false: 1}[same]
			held[k].add(!(d.Ratio.Low > truth || d.Ratio.High < truth))
			told[k].add(d.Sizes != sim.CannotTell)
		}
	}
	t.Logf("one climate: held %.3f of %d, said to differ %.3f; two climates: held %.3f of %d, said to differ %.3f",
		held[0].is(), held[0].of, told[0].is(), held[1].is(), held[1].of, told[1].is())
	require.Greater(t, held[0].of, 300)
	assert.Greater(t, held[0].is(), 0.86)
	assert.Less(t, told[0].is(), 0.14, "said to differ where they do not")
	assert.Greater(t, held[1].is(), 0.86)
	assert.Greater(t, told[1].is(), 0.4, "said to differ where they do")
}

// Two gauges that stand near each other have the same droughts: their interval is
// narrower than that of records which have not, and holds all the same.
func TestDifferenceOfPairedYears(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	t.Parallel()
	const years, pairs = 25, 20
	held, narrower := share{}, 0.0
	for k := range pairs {
		w := Worlds()[k%4*2] // every other climate
		rng := gen.Source(7, streamRecord, uint64(k))
		here := w.Years(years, rng)
		a, b := answerOf(t, w, here), answerOf(t, w, beside(here, rng))
		d := sim.Differ(a, b, 0.9, true)
		if d.Sizes == "" || math.IsNaN(d.Ratio.High) || math.IsNaN(d.Ratio.Low) || d.Ratio.Low == 0 || math.IsInf(d.Ratio.High, 0) {
			continue
		}
		assert.Greater(t, d.Together, 0.3)
		held.add(d.Ratio.Low <= 1 && 1 <= d.Ratio.High)
		a.Years = nil
		alone := sim.Differ(a, b, 0.9, true)
		narrower += math.Log(d.Ratio.High/d.Ratio.Low) / math.Log(alone.Ratio.High/alone.Ratio.Low)
	}
	require.GreaterOrEqual(t, held.of, 10)
	t.Logf("held %.2f of %d; width %.2f of that of records that share no year", held.is(), held.of, narrower/float64(held.of))
	assert.Greater(t, held.is(), 0.85)
	assert.Less(t, narrower/float64(held.of), 0.9)
}

// share counts how often something is so.
type share struct{ so, of int }

func (s *share) add(so bool) {
	s.of++
	if so {
		s.so++
	}
}

func (s *share) is() float64 { return float64(s.so) / float64(s.of) }

func gauged(c Case) sim.Gauged {
	a := c.Answer
	return sim.Gauged{Size: sim.Interval{Estimate: a.Tank, Low: a.Low, High: a.High}, Share: a.Cell.Of(c.Measure)}
}

// beside is the rain of a gauge near by: each day's times a factor of its own.
func beside(y *rainfall.Years, rng *rand.Rand) *rainfall.Years {
	const spread = 0.5
	out := *y
	out.Rain = nil
	for _, rain := range y.Rain {
		own := make([]float64, len(rain))
		for d, x := range rain {
			own[d] = x * math.Exp(spread*rng.NormFloat64()-spread*spread/2)
		}
		out.Rain = append(out.Rain, own)
	}
	return &out
}

// answerOf sizes a tank for 9 years in 10 by a record.
func answerOf(t *testing.T, w *World, y *rainfall.Years) sim.Gauged {
	p := &site{world: w, demand: 0.4, roof: 100}
	total := 0.0
	for _, rain := range y.Rain {
		for _, x := range rain {
			total += x / float64(len(y.Rain))
		}
	}
	s := p.study(1000, 1)
	s.Measure, s.Target = sim.Annual, 0.9
	s.Uses[0].Daily = 0.4 * 0.85 * 100 * total / 365
	if y.Label[0] == 0 {
		t.Fatal("years have labels")
	}
	r, err := sim.Size(t.Context(), Series(y), gen.All()[0], s)
	require.NoError(t, err)
	out := sim.Gauged{Size: sim.Interval{Estimate: r.Main.Tank, Low: r.Main.Low, High: r.Main.High}}
	for _, real := range r.Real {
		out.Years = append(out.Years, sim.Year{Year: real.Label, Needs: real.Needs})
	}
	return out
}
