package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStudyCheck(t *testing.T) {
	require.NoError(t, question().Check())
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		set  func(*Study)
		want string
	}{
		{func(s *Study) { s.Roofs = nil }, "no roof"},
		{func(s *Study) { s.Roofs[0].Area = 0 }, `roof "shed": area is 0; it must be above 0 m²`},
		{func(s *Study) { s.Uses[0].Daily = -1 }, `use "taps": -1 L a day; it must be 0 or more`},
		{func(s *Study) { s.Uses = nil }, "the uses want no water"},
		{func(s *Study) { s.Uses[0].Daily = 0 }, "the uses want no water"},
		{func(s *Study) { s.Sizes = nil }, "no tank size or no roof area to simulate"},
		{func(s *Study) { s.Areas = nil }, "no tank size or no roof area to simulate"},
		{func(s *Study) { s.Sizes = []float64{0, 1} }, "tank sizes must be above 0 and rising; number 1 is 0 L"},
		{func(s *Study) { s.Sizes = []float64{5, 5} }, "tank sizes must be above 0 and rising; number 2 is 5 L"},
		{func(s *Study) { s.Sizes = []float64{5, nan} }, "tank sizes must be above 0 and rising; number 2 is NaN L"},
		{func(s *Study) { s.Sizes = []float64{5, inf} }, "tank sizes must be above 0 and rising; number 2 is +Inf L"},
		{func(s *Study) { s.Areas = []float64{50, -1} }, "roof area -1 m² is not above 0"},
		{func(s *Study) { s.Areas = []float64{inf} }, "roof area +Inf m² is not above 0"},
		{func(s *Study) { s.Dead = 1 }, "dead storage 1 is not a share from 0 to below 1"},
		{func(s *Study) { s.Dead = nan }, "dead storage NaN is not a share from 0 to below 1"},
		{func(s *Study) { s.Target = 1 }, "target 1 is not between 0 and 1"},
		{func(s *Study) { s.Target = 0 }, "target 0 is not between 0 and 1"},
		{func(s *Study) { s.Start = -1 }, "starting storage -1 L is below 0"},
		{func(s *Study) { s.Years = 49 }, "at least 50 years, 0 allowed short days and a horizon of 1 year are needed"},
		{func(s *Study) { s.Allow = -1 }, "at least 50 years, 0 allowed short days and a horizon of 1 year are needed"},
		{func(s *Study) { s.Horizon = 0 }, "at least 50 years, 0 allowed short days and a horizon of 1 year are needed"},
		{func(s *Study) { s.Horizon = 51 }, "a horizon of 51 years is longer than a trace (50)"},
		{func(s *Study) { s.GainStep = 0 }, "a step of 0 L of storage is not above 0"},
		{func(s *Study) { s.GainStop = nan }, "a gain of NaN of the demand is not between 0 and 1"},
		{func(s *Study) { s.Level = 0 }, "level 0 of the intervals is not between 0 and 1"},
		{func(s *Study) { s.Level = 1 }, "level 1 of the intervals is not between 0 and 1"},
		{func(s *Study) { s.Measure = 3 }, "measure number 3 is not known"},
	} {
		s := question()
		c.set(s)
		assert.EqualError(t, s.Check(), c.want)
		_, err := Size(t.Context(), usualYears(t, 2), coin(1, 0.5), s)
		assert.EqualError(t, err, c.want, "Size checks first")
	}
}

func TestWordsOfMeasuresAndRules(t *testing.T) {
	for m := Annual; m <= Volume; m++ {
		got, err := ParseMeasure(m.String())
		require.NoError(t, err)
		assert.Equal(t, m, got)
	}
	for r := YAS; r <= YBS; r++ {
		got, err := ParseRule(r.String())
		require.NoError(t, err)
		assert.Equal(t, r, got)
	}
	_, err := ParseMeasure("weekly")
	assert.EqualError(t, err, `measure "weekly" is none of annual, time, volume`)
	_, err = ParseRule("fifo")
	assert.EqualError(t, err, `rule "fifo" is neither yas nor ybs`)
}

func TestPreferredSizes(t *testing.T) {
	for _, use := range []float64{0.3, 1, 85.7, 300, 50000} {
		for _, unit := range []float64{1, 3.785411784} {
			s := PreferredSizes(use, unit)
			assert.GreaterOrEqual(t, len(s), 20)
			assert.LessOrEqual(t, s[0], 2*use)
			assert.Greater(t, s[1], 2*use)
			assert.GreaterOrEqual(t, s[len(s)-1], 400*use)
			assert.Less(t, s[len(s)-2], 400*use)
			for i := 1; i < len(s); i++ {
				step := s[i] / s[i-1]
				assert.True(t, step > 1.2 && step < 1.3, "R10 steps are about 1.26: %v", step)
			}
		}
	}
	// 600, 630 … in L: 500 is the last within two days; 125 gal is the same in gallons
	assert.Equal(t, 500.0, PreferredSizes(300, 1)[0])
	assert.InDelta(t, 125*3.785411784, PreferredSizes(300, 3.785411784)[0], 1e-9)
}

func TestNewStudy(t *testing.T) {
	roofs, uses := []Roof{NewRoof(100)}, []Use{{Daily: 300}}
	s, err := NewStudy(roofs, uses)
	require.NoError(t, err)
	assert.Equal(t, []float64{100}, s.Areas)
	assert.Equal(t, PreferredSizes(300, 1), s.Sizes)
	s, err = NewStudy(roofs, uses, 1000, 2000)
	require.NoError(t, err)
	assert.Equal(t, []float64{1000, 2000}, s.Sizes)
	_, err = NewStudy(roofs, nil)
	assert.EqualError(t, err, "the uses want no water")
	_, err = NewStudy(roofs, uses, 2000, 1000)
	assert.ErrorContains(t, err, "rising")
}
