package store

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/testdata"
)

// smallest is the smallest store that, full at the start, meets every step's
// demand, yield before spillage: what the literature finds by Rippl's mass
// curve (1883) or, as a recursion, by the sequent peak (Thomas & Burden 1963).
// With two passes the record runs on into itself, which charges the store for a
// fall that the record's end cuts off.
func smallest(q, d []float64, passes int) float64 {
	w := NewSweep(YBS, 0, 1e6, math.Inf(1))
	most := 0.0
	for range passes {
		most = max(most, w.Year(1, q, d, 0))
	}
	return most
}

func numbers(t testing.TB, s string) []float64 {
	t.Helper()
	var out []float64
	for _, f := range strings.Fields(s) {
		out = append(out, testdata.Number(t, f))
	}
	return out
}

// The published storages: small records and, for five drafts, the Nile.
func TestSequentPeakPublished(t *testing.T) {
	for _, row := range testdata.Table(t, "sequent-peak.csv") {
		q := numbers(t, row["flows"])
		d := constant(testdata.Number(t, row["draft"]), len(q))
		assert.InDelta(t, testdata.Number(t, row["one_pass"]), smallest(q, d, 1), 5e-5, "%v", row)
		assert.InDelta(t, testdata.Number(t, row["two_passes"]), smallest(q, d, 2), 5e-5, "%v", row)
	}
	q := testdata.Column(t, "nile.csv", "flow")
	for _, row := range testdata.Table(t, "nile-storage.csv") {
		d := constant(testdata.Number(t, row["draft"]), len(q))
		for passes := 1; passes <= 2; passes++ {
			assert.InDelta(t, testdata.Number(t, row["storage"]), smallest(q, d, passes), 1e-5, "%v", row)
		}
	}
}

func mean(x []float64) float64 {
	m := 0.0
	for _, v := range x {
		m += v / float64(len(x))
	}
	return m
}

// TestNile runs the Nile's 100 annual flows through one store in one step a
// year.
func TestNile(t *testing.T) {
	q := testdata.Column(t, "nile.csv", "flow")
	for _, row := range testdata.Table(t, "nile-behaviour.csv") {
		size := testdata.Number(t, row["size"])
		d := constant(testdata.Number(t, row["draft"]), len(q))
		got := followLanes(YBS, q, d, size, size)[0]
		n, final := float64(len(q)), got.storage[len(q)-1]
		wanted := d[0] * n
		for head, x := range map[string]float64{
			"failures": float64(got.short), "time": 1 - float64(got.short)/n, "volumetric": got.supplied / wanted,
			"deficit": wanted - got.supplied, "spill": got.spilled, "final": final,
		} {
			if row[head] != "" {
				assert.InDelta(t, testdata.Number(t, row[head]), x, 6e-11, "%s of %v", head, row)
			}
		}
		assert.InDelta(t, size+n*mean(q), got.supplied+got.spilled+final, 1e-6)
	}
	// A step as long as the store's own cycle makes YAS useless: YBS meets every
	// year, YAS 9 % (COMP).
	d := constant(850, len(q))
	assert.Equal(t, 0, followLanes(YBS, q, d, 1000, 1000)[0].short)
	assert.Equal(t, 91, followLanes(YAS, q, d, 1000, 1000)[0].short)
}
