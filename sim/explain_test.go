package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
)

// What an input is worth is what the study says when it is asked with that input:
// each end by itself, against a plain study of the same rain.
func TestExplain(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("takes seconds")
	}
	series, s := usualYears(t, 25), question()
	s.Target, s.RecordError, s.Years = 0.8, true, 2000
	s.Uses = append(s.Uses, Use{People: 2, Each: 3, Monthly: [12]float64{5: 60}})
	q := asked(t, series, gen.WaterYears(), s)
	got, err := q.Explain(t.Context())
	require.NoError(t, err)
	require.Len(t, got, 8)
	base := sized(t, series, gen.WaterYears(), s).Main.Exact
	by := map[string]Influence{}
	for k, x := range got {
		by[x.What] = x
		if k > 0 {
			assert.LessOrEqual(t, x.Worth(), got[k-1].Worth(), "the most first")
		}
	}
	plain := func(change func(*Study)) float64 {
		other := *s
		other.Roofs = append([]Roof(nil), s.Roofs...)
		other.Uses = append([]Use(nil), s.Uses...)
		change(&other)
		other.Areas = []float64{TotalArea(other.Roofs)}
		return sized(t, series, gen.WaterYears(), &other).Main.Exact / base
	}
	assert.InDelta(t, plain(func(s *Study) { s.Roofs[0].Runoff -= 0.05 }), by["runoff"].A, 1e-9)
	assert.InDelta(t, plain(func(s *Study) { s.Roofs[0].FirstFlush = 2 }), by["first-flush"].B, 1e-9)
	assert.InDelta(t, plain(func(s *Study) { s.Roofs[0].Filter = 0.9 }), by["filter"].A, 1e-9)
	assert.InDelta(t, plain(func(s *Study) { s.Roofs[0].Area *= 1.05 }), by["roof"].B, 1e-9)
	assert.InDelta(t, plain(func(s *Study) { s.Rule = YBS }), by["rule"].B, 1e-9)
	assert.InDelta(t, plain(func(s *Study) {
		for i := range s.Uses {
			s.Uses[i].Daily *= 1.1
			s.Uses[i].Each *= 1.1
			s.Uses[i].Monthly[5] *= 1.1
		}
	}), by["use"].B, 1e-9)
	more := sized(t, series.Times(1.1), gen.WaterYears(), s).Main.Exact / base
	assert.InDelta(t, more, by["rain"].B, 1e-9)

	// More water never asks for more storage, more use never for less.
	assert.True(t, by["runoff"].A >= by["runoff"].B && by["roof"].A >= by["roof"].B && by["use"].A <= by["use"].B && by["first-flush"].A <= by["first-flush"].B)
	assert.True(t, math.IsInf(Influence{A: 1, B: math.NaN()}.Worth(), 1))
	assert.InDelta(t, 1.2/0.9, Influence{A: 0.9, B: 1.2}.Worth(), 1e-12)
	assert.InDelta(t, 1.2, Influence{A: 1.1, B: 1.2}.Worth(), 1e-12)
}
