package store

import (
	"math"
	"slices"
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
func smallest(q, d []int64, passes int) (most int64) {
	w := NewSweep(YBS, Most)
	for range passes {
		most = max(most, w.Run(q, d, 0, nil))
	}
	return most
}

// scale is the units of a published one: drafts are given to a hundredth, or
// are a twelfth of a whole number.
const scale = 1200

// scaled reads a published volume.
func scaled(t testing.TB, s string) int64 { return int64(math.Round(scale * testdata.Number(t, s))) }

// The published storages: small records and, for five drafts, the Nile.
func TestSequentPeakPublished(t *testing.T) {
	check := func(q []int64, draft string, passes int, want string) {
		d := slices.Repeat([]int64{scaled(t, draft)}, len(q))
		assert.InDelta(t, testdata.Number(t, want), float64(smallest(q, d, passes))/scale, 5e-5, "draft %s, %d passes", draft, passes)
	}
	for _, row := range testdata.Table(t, "sequent-peak.csv") {
		var q []int64
		for _, f := range strings.Fields(row["flows"]) {
			q = append(q, scaled(t, f))
		}
		check(q, row["draft"], 1, row["one_pass"])
		check(q, row["draft"], 2, row["two_passes"])
	}
	for _, row := range testdata.Table(t, "nile-storage.csv") {
		check(nile(t, scale), row["draft"], 1, row["storage"])
		check(nile(t, scale), row["draft"], 2, row["storage"])
	}
}

// nile is the river's annual flows, in so many units of the table's.
func nile(t testing.TB, units int64) (q []int64) {
	for _, x := range testdata.Column(t, "nile.csv", "flow") {
		q = append(q, units*int64(x))
	}
	return q
}

// TestNile runs the Nile's 100 annual flows through one store in one step a
// year.
func TestNile(t *testing.T) {
	q := nile(t, 1)
	steady := func(draft int64) []int64 { return slices.Repeat([]int64{draft}, len(q)) }
	for _, row := range testdata.Table(t, "nile-behaviour.csv") {
		size := int64(testdata.Number(t, row["size"]))
		d := steady(int64(testdata.Number(t, row["draft"])))
		got := followSweep(YBS, q, d, size, size)[size]
		n, wanted, supplied := float64(len(q)), float64(sum(d)), float64(got.supplied)
		for head, x := range map[string]float64{
			"failures": float64(got.short), "time": 1 - float64(got.short)/n, "volumetric": supplied / wanted,
			"deficit": wanted - supplied, "spill": float64(got.spilled), "final": float64(got.storage[len(q)-1]),
		} {
			if row[head] != "" {
				assert.InDelta(t, testdata.Number(t, row[head]), x, 6e-11, "%s of %v", head, row)
			}
		}
		balanced(t, got, q, size)
	}
	// A step as long as the store's own cycle makes YAS useless: YBS meets every
	// year, YAS 9 % (COMP).
	assert.Zero(t, followSweep(YBS, q, steady(850), 1000, 1000)[1000].short)
	assert.EqualValues(t, 91, followSweep(YAS, q, steady(850), 1000, 1000)[1000].short)
}
