package words

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/rainfall"
	"tankodds/report/units"
)

func TestPosition(t *testing.T) {
	assert.Equal(t, "36.04° N, 95.99° W, 189 m above the sea", Position(units.SI, &rainfall.Position{Latitude: 36.04243, Longitude: -95.99016, Elevation: 189.1}))
	assert.Equal(t, "33.50° S, 70.25° E", Position(units.US, &rainfall.Position{Latitude: -33.5, Longitude: 70.25, Elevation: math.NaN()}))
	assert.Contains(t, Position(units.US, &rainfall.Position{Latitude: 1, Longitude: 2, Elevation: 304.8}), "1,000 ft above the sea")
}
