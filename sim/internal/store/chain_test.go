package store

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"tankodds/testdata"
)

// chain solves the Markov chain of a store's whole storages at the steps' ends,
// π = πP with Σπ = 1, where chance is that of an inflow of 0, 1, …; and returns
// π with the yield, the spill and the chance of a short step that come of it.
func chain(t testing.TB, step rule, size, demand int, chance []float64) (pi []float64, yield, spill, short float64) {
	t.Helper()
	n := size + 1
	a, one := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	each := func(f func(v, next int, y, o int64, p float64)) {
		for v := range n {
			for q, p := range chance {
				y, o, next := step(int64(v), int64(q), int64(demand), int64(size))
				f(v, int(next), y, o, p)
			}
		}
	}
	each(func(v, next int, _, _ int64, p float64) { a.Set(next, v, a.At(next, v)+p) })
	for i := range n {
		a.Set(i, i, a.At(i, i)-1)
		a.Set(n-1, i, 1) // one equation follows from the others
	}
	one.SetVec(n-1, 1)
	var x mat.VecDense
	require.NoError(t, x.SolveVec(a, one))
	pi = x.RawVector().Data
	each(func(v, _ int, y, o int64, p float64) {
		yield += pi[v] * p * float64(y)
		spill += pi[v] * p * float64(o)
		if y < int64(demand) {
			short += pi[v] * p
		}
	})
	return pi, yield, spill, short
}

// ruleSteps are the rules of dams.csv.
var ruleSteps = map[string]rule{"yas": yasStep, "ybs": ybsStep, "spill-first": spillFirstStep, "draw-first": drawFirstStep}

// TestDamChains: the fractions of the table are those of the chains and, of the
// random walk, of the birth-death chain's formula too: with r = p/(1−p) a step
// of YBS is short with (1−p)(1−r)/(1−r^(S+1)), and spill-first is YBS with a
// store smaller by D = 1.
func TestDamChains(t *testing.T) {
	for _, row := range testdata.Table(t, "dams.csv") {
		var chance []float64
		for _, p := range strings.Fields(row["inflow"]) {
			chance = append(chance, testdata.Number(t, p))
		}
		size := int(testdata.Number(t, row["size"]))
		_, yield, spill, short := chain(t, ruleSteps[row["rule"]], size, int(testdata.Number(t, row["demand"])), chance)
		for head, x := range map[string]float64{"yield": yield, "spill": spill, "short": short} {
			if row[head] != "" {
				assert.InDelta(t, testdata.Number(t, row[head]), x, 1e-12, "%s of %v", head, row)
			}
		}
		if row["source"] != "walk" || row["rule"] == "yas" {
			continue
		}
		if row["rule"] == "spill-first" {
			size--
		}
		up, sum := chance[2], 0.0
		for j := range size + 1 { // (1−r^(S+1))/(1−r), also where r is 1
			sum += math.Pow(up/(1-up), float64(j))
		}
		assert.InEpsilon(t, (1-up)/sum, short, 1e-12, "%v", row)
	}
}

// TestDamStates: the stationary storages of the finite dam (COMP), and its cost
// of 10 a unit short and 2.5 a week: 105/16.
func TestDamStates(t *testing.T) {
	for name, want := range map[string][]float64{
		"draw-first": {3. / 32, 7. / 32, 14. / 32, 8. / 32},
		"ybs":        {33. / 47, 10. / 47, 3. / 47, 1. / 47},
		"yas":        {8. / 65, 32. / 65, 24. / 65, 1. / 65},
	} {
		pi, yield, _, _ := chain(t, ruleSteps[name], 3, 2, []float64{1. / 8, 1. / 4, 1. / 2, 1. / 8})
		assert.InDeltaSlice(t, want, pi, 1e-12, name)
		if name == "draw-first" {
			assert.InDelta(t, 105./16, 10*(2-yield)+2.5, 1e-12)
		}
	}
}
