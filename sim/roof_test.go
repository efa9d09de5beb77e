package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Days worked by hand, in numbers that binary holds exactly.
func TestInflowByHand(t *testing.T) {
	plain := Roof{Area: 10, Runoff: 0.5, Filter: 1, Drains: 1}
	flush := plain
	flush.FirstFlush = 2
	slow := flush
	slow.Drains = 2
	wet := flush
	wet.Wetting = 1
	filtered := flush
	filtered.Filter = 0.75
	for _, c := range []struct {
		name string
		roof Roof
		rain []float64 // mm
		want []float64 // L
	}{
		// 10 m² · 0.5 · P
		{"no loss", plain, []float64{0, 4, 1, 0.5}, []float64{0, 20, 5, 2.5}},
		// Runoff 1, 1, 1 mm: the first two fill the diverter, the third passes.
		{"filled over days", flush, []float64{2, 2, 2}, []float64{0, 0, 10}},
		// 1.5 mm into the diverter, then 0.5 of 1.5.
		{"filled within a day", flush, []float64{3, 3}, []float64{0, 10}},
		// One dry day empties it: it takes 2 mm once more.
		{"emptied by a day", flush, []float64{8, 0, 8}, []float64{20, 0, 20}},
		{"emptied by a day, not full", flush, []float64{3, 0, 3, 3}, []float64{0, 0, 0, 10}},
		// Two are needed: after one the diverter is still full.
		{"not emptied by one day of two", slow, []float64{8, 0, 8}, []float64{20, 0, 40}},
		{"emptied by two days", slow, []float64{8, 0, 0, 8}, []float64{20, 0, 0, 20}},
		{"dry days count anew", slow, []float64{8, 0, 8, 0, 8}, []float64{20, 0, 40, 0, 40}},
		// Of 1 mm nothing runs off: a dry day, and the diverter empties.
		{"wetting", wet, []float64{9, 1, 9, 0.5}, []float64{20, 0, 20, 0}},
		// The filter's share is of what the diverter leaves: 0.75 · (4 − 2).
		{"filter", filtered, []float64{8}, []float64{15}},
		// What is given is the nearest whole unit of 0.01 L, once a roof.
		{"rounded", plain, []float64{0.0009, 0.001, 0.0029, 0.003}, []float64{0, 0.01, 0.01, 0.02}},
	} {
		require.NoError(t, c.roof.Check(), c.name)
		got := make([]int64, len(c.rain))
		for i := range got {
			got[i] = 99 // Inflow sets, it does not add
		}
		Inflow(got, c.rain, []Roof{c.roof})
		assert.Equal(t, c.want, litres(got), c.name)
	}
}

// Several roofs add up, each with a diverter of its own.
func TestInflowOfSeveralRoofs(t *testing.T) {
	a := Roof{Area: 10, Runoff: 0.5, FirstFlush: 2, Filter: 1, Drains: 1}
	b := Roof{Area: 4, Runoff: 1, Wetting: 1, FirstFlush: 1, Filter: 0.5, Drains: 3}
	rain := []float64{8, 0, 8, 2, 0, 0, 0, 4}
	// a: 4−2, –, 4−2, 1, –, –, –, 2−2 mm on 10 m²
	// b: runoff 7, 0, 7, 1, 0, 0, 0, 3; its diverter takes 1 mm of the first and
	// the last alone: 6, –, 7, 1, –, –, –, 2 mm, half of it, on 4 m²
	want := []float64{20 + 12, 0, 20 + 14, 10 + 2, 0, 0, 0, 0 + 4}
	got := make([]int64, len(rain))
	Inflow(got, rain, []Roof{a, b})
	assert.Equal(t, want, litres(got))
	Inflow(got, rain, []Roof{b, a})
	assert.Equal(t, want, litres(got))
	Inflow(got, rain, nil)
	assert.Equal(t, make([]int64, len(rain)), got, "no roof, no inflow")
}

// Every surface makes a roof that holds, and states where its number is from.
func TestSurfaces(t *testing.T) {
	names := map[string]bool{}
	for _, s := range Surfaces() {
		names[s.Name] = true
		assert.NotEmpty(t, s.Source, s.Name)
		assert.NoError(t, Roof{Area: 1, Runoff: s.Runoff, Filter: 1, Drains: 1}.Check(), s.Name)
	}
	assert.Len(t, names, len(Surfaces()), "no name twice")
	assert.True(t, names[DefaultSurface])
	_, ok := FindSurface("thatch")
	assert.False(t, ok)
}
