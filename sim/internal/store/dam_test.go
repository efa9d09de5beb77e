package store

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/internal/published"
)

// dam is a store whose inflow is independent from step to step.
type dam struct {
	rule   string
	size   int
	demand int
	inflow []*big.Rat // P(Q = 0), P(Q = 1), …
}

// longRun holds a dam's exact stationary values.
type longRun struct{ yield, short, spill *big.Rat }

// solve returns the long-run values of the dam's Markov chain of storages at
// the steps' ends, exactly: it sets up π = πP with the scalar rule and
// eliminates in fractions.
func (m dam) solve(t testing.TB) (longRun, []*big.Rat) {
	t.Helper()
	n := m.size + 1
	a := make([][]*big.Rat, n) // rows: π(P − I) = 0, the last replaced by Σπ = 1
	for i := range a {
		a[i] = make([]*big.Rat, n+1)
		for j := range a[i] {
			a[i][j] = new(big.Rat)
		}
	}
	step := rules[m.rule]
	each := func(f func(v, next int, y, o float64, p *big.Rat)) {
		for v := range n {
			for q, p := range m.inflow {
				y, o, w := step(float64(v), float64(q), float64(m.demand), float64(m.size))
				f(v, int(w), y, o, p)
			}
		}
	}
	each(func(v, next int, _, _ float64, p *big.Rat) { a[next][v].Add(a[next][v], p) })
	for i := range n {
		a[i][i].Sub(a[i][i], big.NewRat(1, 1))
		a[n-1][i].SetInt64(1)
	}
	a[n-1][n].SetInt64(1)
	pi := eliminate(t, a)
	out := longRun{new(big.Rat), new(big.Rat), new(big.Rat)}
	each(func(v, _ int, y, o float64, p *big.Rat) {
		w := new(big.Rat).Mul(pi[v], p)
		add := func(to *big.Rat, x float64) {
			to.Add(to, new(big.Rat).Mul(w, new(big.Rat).SetFloat64(x)))
		}
		add(out.yield, y)
		add(out.spill, o)
		if y < float64(m.demand) {
			add(out.short, 1)
		}
	})
	return out, pi
}

// eliminate solves the linear equations a, the right side its last column, by
// Gauss and Jordan's elimination in fractions.
func eliminate(t testing.TB, a [][]*big.Rat) []*big.Rat {
	t.Helper()
	n := len(a)
	for c := range n {
		at := c
		for at < n && a[at][c].Sign() == 0 {
			at++
		}
		require.Less(t, at, n, "singular")
		a[c], a[at] = a[at], a[c]
		scale := new(big.Rat).Inv(a[c][c])
		for j := range a[c] {
			a[c][j] = new(big.Rat).Mul(a[c][j], scale)
		}
		for i := range n {
			if i == c {
				continue
			}
			f := new(big.Rat).Set(a[i][c])
			for j := range a[i] {
				a[i][j] = new(big.Rat).Sub(a[i][j], new(big.Rat).Mul(f, a[c][j]))
			}
		}
	}
	x := make([]*big.Rat, n)
	for i := range x {
		x[i] = a[i][n]
	}
	return x
}

func fraction(t testing.TB, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, "%q is no fraction", s)
	return r
}

func readDam(t testing.TB, row map[string]string) dam {
	t.Helper()
	m := dam{rule: row["rule"], size: int(published.Number(t, row["size"])), demand: int(published.Number(t, row["demand"]))}
	for _, p := range strings.Fields(row["inflow"]) {
		m.inflow = append(m.inflow, fraction(t, p))
	}
	return m
}

// TestDamChains: the published fractions are the chains' own.
func TestDamChains(t *testing.T) {
	for _, row := range published.Table(t, "dams.csv") {
		got, _ := readDam(t, row).solve(t)
		for _, c := range []struct {
			head string
			x    *big.Rat
		}{{"yield", got.yield}, {"short", got.short}, {"spill", got.spill}} {
			if want := row[c.head]; want != "" {
				assert.Zero(t, fraction(t, want).Cmp(c.x), "%s of %v is %v", c.head, row, c.x)
			}
		}
	}
}

// TestDamStates: the stationary storages of the finite dam (COMP), and its cost
// of 10 a unit short and 2.5 a week: 105/16.
func TestDamStates(t *testing.T) {
	for _, c := range []struct{ rule, pi string }{
		{"draw-first", "3/32 7/32 14/32 8/32"},
		{"ybs", "33/47 10/47 3/47 1/47"},
		{"yas", "8/65 32/65 24/65 1/65"},
	} {
		m := dam{rule: c.rule, size: 3, demand: 2}
		for _, p := range []string{"1/8", "1/4", "1/2", "1/8"} {
			m.inflow = append(m.inflow, fraction(t, p))
		}
		got, pi := m.solve(t)
		for v, want := range strings.Fields(c.pi) {
			assert.Zero(t, fraction(t, want).Cmp(pi[v]), "%s, storage %d: %v", c.rule, v, pi[v])
		}
		if c.rule == "draw-first" {
			missed := new(big.Rat).Sub(big.NewRat(2, 1), got.yield)
			assert.Zero(t, big.NewRat(13, 32).Cmp(missed))
			cost := new(big.Rat).Add(new(big.Rat).Mul(missed, big.NewRat(10, 1)), big.NewRat(5, 2))
			assert.Zero(t, big.NewRat(105, 16).Cmp(cost))
		}
	}
}

// TestRandomWalkClosedForm: the same fractions from the birth-death chain's
// formula: with r = p/(1−p), P(fail) of YBS is (1−p)(1−r)/(1−r^(S+1)), and
// spill-first is YBS with a store smaller by D = 1.
func TestRandomWalkClosedForm(t *testing.T) {
	for _, row := range published.Table(t, "dams.csv") {
		if row["source"] != "walk" || row["rule"] == "yas" {
			continue
		}
		m := readDam(t, row)
		states := m.size + 1
		if m.rule == "spill-first" {
			states--
		}
		up, _ := m.inflow[2].Float64()
		r := up / (1 - up)
		sum := 0.0 // (1−r^(S+1))/(1−r), also where r is 1
		for j := range states {
			sum += math.Pow(r, float64(j))
		}
		short, _ := fraction(t, row["short"]).Float64()
		assert.InEpsilon(t, (1-up)/sum, short, 1e-12, "%v", row)
	}
}

// TestDamMonteCarlo runs every dam through Lanes on one long random inflow.
// The exact values lie within the interval of 200 batch means, at 99.99 %:
// batches of 5,000 steps are long against the stores' memory, so their means
// are as good as independent. Spill-first is YBS with a store smaller by D,
// and draw-first a step later is spill-first (TestRulesBracket); in the long
// run a step's delay is nothing.
func TestDamMonteCarlo(t *testing.T) {
	const batches, length = 200, 5000
	student := distuv.StudentsT{Sigma: 1, Nu: batches - 1}.Quantile(0.99995)
	for i, row := range published.Table(t, "dams.csv") {
		m := readDam(t, row)
		rng := rand.New(rand.NewPCG(uint64(i), 1959))
		rule, size, demand := YBS, float64(m.size), float64(m.demand)
		switch m.rule {
		case "yas":
			rule = YAS
		case "spill-first", "draw-first":
			size -= demand
		}
		l := newLanes([]float64{size}, 0)
		q, d, need := make([]float64, length), constant(demand, length), make([]float64, length)
		Need(need, d)
		var yield, short, spill []float64
		var y0, o0 float64
		for b := -1; b < batches; b++ { // the first batch fills the store and is dropped
			draw(q, m.inflow, rng)
			l.Run(rule, q, d, need)
			if b >= 0 {
				yield = append(yield, (l.Supplied[0]-y0)/length)
				spill = append(spill, (l.Spilled[0]-o0)/length)
				short = append(short, l.Short[0]/length)
			}
			y0, o0 = l.Supplied[0], l.Spilled[0]
		}
		exact, _ := m.solve(t)
		for _, c := range []struct {
			what string
			mean []float64
			want *big.Rat
		}{{"yield", yield, exact.yield}, {"short", short, exact.short}, {"spill", spill, exact.spill}} {
			want, _ := c.want.Float64()
			mean, sd := stat.MeanStdDev(c.mean, nil)
			half := student * sd / math.Sqrt(batches)
			assert.InDelta(t, want, mean, half, "%s of %v", c.what, row)
			assert.Less(t, half, 0.01, "the interval is too wide to say anything")
		}
	}
}

// draw fills q with independent inflows.
func draw(q []float64, p []*big.Rat, rng *rand.Rand) {
	cum := make([]float64, len(p))
	sum := 0.0
	for i, x := range p {
		f, _ := x.Float64()
		sum += f
		cum[i] = sum
	}
	for t := range q {
		u := rng.Float64() * sum
		i := 0
		for cum[i] <= u {
			i++
		}
		q[t] = float64(i)
	}
}
