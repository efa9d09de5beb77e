package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
