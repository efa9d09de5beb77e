package store

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/testdata"
)

// TestDams runs every published dam, a store whose inflow is independent from
// step to step, through Lanes on one long random inflow. The exact values of its
// Markov chain lie within the interval of 200 batch means, at 99.99 %: batches of
// 5,000 steps are long against the stores' memory, so their means are as good as
// independent. Spill-first is YBS with a store smaller by D, and draw-first a
// step later is spill-first (TestRulesBracket); in the long run a step's delay
// is nothing.
func TestDams(t *testing.T) {
	const batches, length = 200, 5000
	student := distuv.StudentsT{Sigma: 1, Nu: batches - 1}.Quantile(0.99995)
	for i, row := range testdata.Table(t, "dams.csv") {
		rng := rand.New(rand.NewPCG(uint64(i), 1959))
		rule, size, demand := YBS, testdata.Number(t, row["size"]), testdata.Number(t, row["demand"])
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
		l := newLanes([]float64{size}, 0)
		q, d := make([]float64, length), constant(demand, length)
		need := needs(d)
		got := map[string][]float64{}
		var y0, o0 float64
		for b := -1; b < batches; b++ { // the first batch fills the store and is dropped
			draw(q, chance, rng)
			l.Run(rule, q, d, need)
			if b >= 0 {
				got["yield"] = append(got["yield"], (l.Supplied[0]-y0)/length)
				got["spill"] = append(got["spill"], (l.Spilled[0]-o0)/length)
				got["short"] = append(got["short"], l.Short[0]/length)
			}
			y0, o0 = l.Supplied[0], l.Spilled[0]
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

// draw fills q with independent inflows of 0, 1, … by chance.
func draw(q, chance []float64, rng *rand.Rand) {
	for t := range q {
		u := rng.Float64()
		i := 0
		for i < len(chance)-1 && u >= chance[i] {
			u -= chance[i]
			i++
		}
		q[t] = float64(i)
	}
}
