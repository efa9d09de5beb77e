package read

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestPositionsOutOfRangeAreNotKnown(t *testing.T) {
	for _, s := range []string{"", "-999.9", "9999", "x"} {
		assert.NotEqual(t, longitude(s), longitude(s), s) // NaN
		assert.NotEqual(t, elevation(s), elevation(s), s)
	}
	assert.Equal(t, -87.9, longitude("-87.900"))
	assert.Equal(t, -85.0, elevation(" -85.0"))
}
