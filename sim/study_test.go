package sim

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWordsOfMeasuresAndReasons(t *testing.T) {
	var m Measure
	var w Why
	var g Grade
	for k, words := range []string{"annual meets shown", "time yield-too-small indicated", "volume none-within-reach too-short", "volume too-few-years out-of-reach"} {
		measure, why, _ := strings.Cut(words, " ")
		why, grade, _ := strings.Cut(why, " ")
		require.NoError(t, m.UnmarshalText([]byte(measure)))
		require.NoError(t, w.UnmarshalText([]byte(why)))
		require.NoError(t, g.UnmarshalText([]byte(grade)))
		assert.Equal(t, []any{min(Measure(k), Volume), Why(k), Grade(k)}, []any{m, w, g})
		said, err := g.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, grade, string(said))
		text, err := m.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, measure, string(text))
		text, err = w.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, why, string(text))
	}
	assert.EqualError(t, m.UnmarshalText([]byte("weekly")), `measure "weekly" is none of annual, time, volume`)
	assert.EqualError(t, w.UnmarshalText([]byte("because")), `"because" is no reason of an answer`)
}

func TestPreferredSizes(t *testing.T) {
	for _, use := range []float64{0.3, 1, 85.7, 300, 50000} {
		for _, unit := range []float64{1, 3.785411784} {
			s := PreferredSizes(use, unit)
			last := len(s) - 1
			assert.GreaterOrEqual(t, last, 19)
			assert.True(t, s[0] <= 2*use && s[1] > 2*use && s[last-1] < 400*use && s[last] >= 400*use, "%g: %v", use, s)
			for i := range last {
				step := s[i+1] / s[i]
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
	for _, sizes := range [][]float64{nil, {1000, 2000}} {
		s, err := NewStudy(roofs, uses, sizes...)
		require.NoError(t, err)
		assert.Equal(t, []float64{100}, s.Areas)
		if sizes == nil {
			sizes = PreferredSizes(300, 1)
		}
		assert.Equal(t, sizes, s.Sizes)
	}
	_, err := NewStudy(roofs, nil)
	assert.EqualError(t, err, "the uses want no water")
	_, err = NewStudy(roofs, uses, 2000, 1000)
	assert.ErrorContains(t, err, "rising")
}
