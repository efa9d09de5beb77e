package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/gen"
)

// Where no size meets a target, the roof that is said to do does, a day at a
// time, with the largest tank asked about, one a little smaller does not, and so
// does the use under the own roof. The roof yields a third of what is wanted.
func TestRemedy(t *testing.T) {
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Uses, s.Sizes, s.Measure, s.Target = []Use{{Daily: 200}}, []float64{5000, 40_000}, m, [3]float64{0.8, 0.97, 0.95}[m]
		r := sized(t, usualYears(t, 20), gen.WaterYears(), s)
		require.Equal(t, OutOfReach, r.Main.Grade)
		require.NotNil(t, r.Remedy)
		assert.Equal(t, 40_000.0, r.Remedy.Tank)
		q := asked(t, usualYears(t, 20), gen.WaterYears(), s)
		assert.GreaterOrEqual(t, measured(t, q, r.Remedy.Roof, 40_000)[0], s.Target, "%v", m)
		assert.Less(t, measured(t, q, r.Remedy.Roof*0.97, 40_000)[0], s.Target, "%v", m)
		assert.InEpsilon(t, 200*60, r.Remedy.Roof*r.Remedy.Use, 1e-9, "one is the other")
		less := *s
		less.Uses = []Use{{Daily: r.Remedy.Use}}
		assert.GreaterOrEqual(t, measured(t, asked(t, usualYears(t, 20), gen.WaterYears(), &less), 60, 40_000)[0], s.Target, "%v", m)
	}
}

// None is said where a size meets the target, where the record is too short to
// tell, and where sixteen times the roof is too small.
func TestNoRemedy(t *testing.T) {
	assert.Nil(t, solved(t, aiming(Annual, 0.9)).Remedy)
	s := question()
	s.Uses = []Use{{Daily: 200}}
	assert.Nil(t, sized(t, usualYears(t, 3), gen.WaterYears(), s).Remedy)
	s.Uses = []Use{{Daily: 20_000}}
	assert.Nil(t, sized(t, usualYears(t, 12), gen.WaterYears(), s).Remedy)
}
