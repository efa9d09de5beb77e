package rainfall

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSeriesBetween(t *testing.T) {
	first := Day(2001, time.March, 1)
	r := &Record{First: first, Depth: []float64{1, 2, 3, 4, 5}, Mark: make([]Mark, 5)}
	s, err := r.Fill(time.January)
	require.NoError(t, err)
	for _, c := range []struct {
		from, to Date
		first    Date
		want     []float64
	}{
		{first, first + 4, first, []float64{1, 2, 3, 4, 5}},
		{first + 1, first + 2, first + 1, []float64{2, 3}},
		{first - 9, first + 9, first, []float64{1, 2, 3, 4, 5}},
		{first + 3, first + 1, first + 3, []float64{}},
		{first + 9, first + 12, first + 5, []float64{}},
		{first - 9, first - 3, first, []float64{}},
	} {
		got := s.Between(c.from, c.to)
		assert.Equal(t, c.first, got.First)
		assert.Equal(t, c.want, got.Depth)
		assert.Len(t, got.Mark, len(c.want))
	}
}
