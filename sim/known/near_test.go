package known

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/sim"
)

// Neighbours of one climate narrow the band of the share of good years by a tenth
// and more, make what is stated err less, and the band still holds; those of another
// climate are found out for the most part and do no harm. Of days and of water what
// is stated errs no more. "go run ./scripts/worlds -near" runs the whole.
func TestNeighboursInKnownClimates(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	t.Parallel()
	s := small()
	s.Lengths, s.Records, s.Years, s.Truth = []int{20}, 5, 500, 5000
	s.Targets = []Target{{sim.Annual, 0.8}, {sim.Annual, 0.9}, {sim.Volume, 0.8}}
	all := Regions()
	s.Worlds = []*World{s.Worlds[0], s.Worlds[2], s.Worlds[4], s.Worlds[6]} // years that do not depend on each other
	var regions []Region
	for _, r := range all {
		if r.Name == "nearly the same" || r.Name == "trap: years differ more" {
			regions = append(regions, r)
		}
	}
	require.Len(t, regions, 2)
	cases, err := Near(t.Context(), s, regions)
	require.NoError(t, err)
	require.Len(t, cases, 2*4*5*3)
	lines := map[string]NearLine{}
	for _, l := range NearTable(cases) {
		lines[l.Name] = l
	}
	near, trap, water := lines["annual, one climate"], lines["annual, traps"], lines["volume, one climate"]
	assert.Greater(t, near.Lent, 0.6, "%+v", near)
	assert.Less(t, near.With.Width, 0.9*near.Alone.Width, "%+v", near)
	assert.Less(t, near.Errors[1], near.Errors[0], "%+v", near)
	assert.Greater(t, near.With.Held.Value, 0.9-2.5*near.With.Held.Error-0.02, "%+v", near)
	assert.Less(t, trap.Kept, near.Kept/2, "%+v", trap)
	assert.Less(t, water.Errors[1], 1.1*water.Errors[0], "%+v", water)
}

// Climates drawn together are what each is by itself, and go together.
func TestTogether(t *testing.T) {
	const n = 400
	w := Worlds()[0]
	all := together([]*World{w, w}, n, rand.New(rand.NewPCG(1, 1)))
	alone := w.Years(n, rand.New(rand.NewPCG(2, 2)))
	totals, wet := [3][]float64{}, [3]float64{}
	for k, y := range [][][]float64{all[0].Rain, all[1].Rain, alone.Rain} {
		require.Len(t, y, n)
		for _, rain := range y {
			sum := 0.0
			for _, x := range rain {
				sum += x
				if x > 0 {
					wet[k] += 1.0 / n
				}
			}
			totals[k] = append(totals[k], sum)
		}
	}
	mean := func(x []float64) (sum float64) {
		for _, v := range x {
			sum += v / float64(len(x))
		}
		return sum
	}
	product := func(a, b []float64) (sum float64) {
		for k := range a {
			sum += (a[k] - mean(a)) * (b[k] - mean(b)) / n
		}
		return sum
	}
	assert.InEpsilon(t, mean(totals[2]), mean(totals[0]), 0.04)
	assert.InEpsilon(t, wet[2], wet[0], 0.04)
	assert.InEpsilon(t, product(totals[2], totals[2]), product(totals[0], totals[0]), 0.25)
	r := product(totals[0], totals[1])
	assert.Greater(t, r*r, 0.5*product(totals[0], totals[0])*product(totals[1], totals[1]))
	other := w.twisted(1, 0.7, 0)
	assert.InEpsilon(t, 0.7*w.wet[3], other.wet[3], 1e-9)
	assert.InEpsilon(t, w.depth[3]/0.7, other.depth[3], 1e-9)
	later := w.twisted(1, 1, 365.0/12)
	assert.InEpsilon(t, w.wet[3], later.wet[4], 1e-9)
}
