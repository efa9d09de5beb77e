package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseRainScale(t *testing.T) {
	all, err := parseRainScale("0.9")
	require.NoError(t, err)
	assert.Equal(t, [12]float64{.9, .9, .9, .9, .9, .9, .9, .9, .9, .9, .9, .9}, all)
	some, err := parseRainScale("nov-feb=1.1,jun=0.5")
	require.NoError(t, err)
	assert.Equal(t, [12]float64{1.1, 1.1, 1, 1, 1, .5, 1, 1, 1, 1, 1.1, 1.1}, some)
	for _, bad := range []string{"", "wet", "jun", "juno=0.8", "jun=", "jun-=0.8"} {
		_, err := parseRainScale(bad)
		assert.Error(t, err, bad)
	}
}
