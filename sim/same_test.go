package sim_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
)

// All that a study finds, in full precision, is the same for any number of workers and
// processors, and another with another seed.
func TestSameBytesForAnyWorkers(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 82))
	first, _ := rainfall.MakeDate(1990, time.January, 1)
	rec := &rainfall.Record{About: rainfall.About{File: "made"}, First: first, Depth: make([]float64, 12*365+3), Mark: make([]rainfall.Mark, 12*365+3)}
	for i := range rec.Depth {
		if rng.IntN(3) == 0 {
			rec.Depth[i] = 7 * rng.ExpFloat64()
		}
	}
	series, err := rec.Fill(time.January)
	require.NoError(t, err)
	run := func(workers int, seed uint64, g gen.Generator) string {
		s := &sim.Study{
			Roofs: []sim.Roof{sim.NewRoof(70), sim.NewRoof(30)}, Areas: []float64{60, 100, 140}, Uses: []sim.Use{{Daily: 110}},
			Sizes: []float64{300, 1000, 3000, 9000}, Target: 0.8, Years: 150, Seed: seed, RecordError: true, Replicates: 3,
			Horizon: 20, Level: 0.9, GainStep: 1000, GainStop: 0.01, Workers: workers,
			Costs: &sim.Costs{Sizes: []float64{300, 9000}, Prices: []float64{400, 4000}, Water: 3, Life: 25, Discount: 0.05},
		}
		r, err := sim.Size(context.Background(), series, g, s)
		require.NoError(t, err)
		require.NotNil(t, r.Peak)
		return fmt.Sprint(r.Main, r.Answers, r.Cells, r.Curve, r.Stops, *r.Outlook, *r.Season, r.Months, r.Real, *r.Peak, r.Thumbs, r.Params)
	}
	for i, g := range gen.All() {
		want := run(1, 3, g)
		require.Equal(t, want, run(2, 3, g), g.Name)
		if i > 0 {
			continue
		}
		for _, workers := range []int{5, 0} {
			require.Equal(t, want, run(workers, 3, g), "%s, %d workers", g.Name, workers)
		}
		before := runtime.GOMAXPROCS(1)
		same := run(0, 3, g)
		runtime.GOMAXPROCS(before)
		require.Equal(t, want, same, "%s, one processor", g.Name)
		require.NotEqual(t, want, run(2, 4, g), g.Name)
	}
}
