package store

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/testdata"
)

// TestDams runs every published dam, a store whose inflow is independent from
// step to step, through a Sweep on one long random inflow. The exact values of its
// Markov chain lie within the interval of 200 batch means, at 99.99 %: batches of
// 5,000 steps are long against the stores' memory, so their means are as good as
// independent. Spill-first is YBS with a store smaller by D, and draw-first a
// step later is spill-first (TestRulesBracket); in the long run a step's delay
// is nothing.
func TestDams(t *testing.T) {
	t.Parallel()
	const batches, length = 200, 5000
	student := distuv.StudentsT{Sigma: 1, Nu: batches - 1}.Quantile(0.99995)
	for i, row := range testdata.Table(t, "dams.csv") {
		rng := rand.New(rand.NewPCG(uint64(i), 1959))
		rule, size, demand := YBS, int64(testdata.Number(t, row["size"])), int64(testdata.Number(t, row["demand"]))
		switch row["rule"] {
		case "yas":
			rule = YAS
		case "spill-first", "draw-first":
			size -= demand
		}
		var chance []float64
		inflow := 0.0
		for q, p := range strings.Fields(row["inflow"]) {
			chance = append(chance, testdata.Number(t, p))
			inflow += float64(q) * chance[q]
		}
		w, tally, sums := NewSweep(rule, 0), NewTally(NewSizes([]int64{size})), NewSums(1)
		q, d := make([]int64, length), slices.Repeat([]int64{demand}, length)
		got := map[string][]float64{}
		was, held := []int64{0}, []int64{0}
		for b := -1; b < batches; b++ { // the first batch fills the store and is dropped
			toss(q, chance, rng)
			w.Run(q, d, 0, tally)
			tally.Sum(sums)
			w.Held(held, []int64{size})
			if b >= 0 {
				for what, x := range map[string]int64{"yield": sums.Supplied[0], "short": sums.Short[0], "spill": was[0] + sum(q) - sums.Supplied[0] - held[0]} {
					got[what] = append(got[what], float64(x)/length)
				}
			}
			was, held = held, was
		}
		want := map[string]float64{"yield": testdata.Number(t, row["yield"]), "short": testdata.Number(t, row["short"])}
		want["spill"] = inflow - want["yield"] // nothing else becomes of it in the long run
		if row["spill"] != "" {
			assert.InDelta(t, testdata.Number(t, row["spill"]), want["spill"], 1e-12)
		}
		for what, x := range want {
			mean, sd := stat.MeanStdDev(got[what], nil)
			half := student * sd / math.Sqrt(batches)
			assert.InDelta(t, x, mean, half, "%s of %v", what, row)
			assert.Less(t, half, 0.01, "the interval is too wide to say anything")
		}
	}
}

// toss fills q with independent inflows of 0, 1, … by chance.
func toss(q []int64, chance []float64, rng *rand.Rand) {
	for t := range q {
		u := rng.Float64()
		i := 0
		for i < len(chance)-1 && u >= chance[i] {
			u -= chance[i]
			i++
		}
		q[t] = int64(i)
	}
}
