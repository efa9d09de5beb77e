package read

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

func TestSince(t *testing.T) {
	first, _ := rainfall.MakeDate(2019, 12, 30)
	r := &rainfall.Record{About: rainfall.About{File: "gauge.csv"}, First: first, Depth: []float64{1, 2, 3, 4}, Mark: []rainfall.Mark{0, rainfall.Trace, rainfall.Spread, rainfall.Spread},
		Totals: []rainfall.Total{{Last: first + 2, Days: 2, MM: 5}, {Last: first + 3, Days: 2, MM: 7}}}

	cut, err := Since(r, 2020)
	require.NoError(t, err)
	assert.Equal(t, "2020-01-01", cut.First.String())
	assert.Equal(t, []float64{3, 4}, cut.Depth)
	assert.Equal(t, []rainfall.Mark{rainfall.Spread, rainfall.Spread}, cut.Mark)
	assert.Equal(t, []rainfall.Total{{Last: first + 3, Days: 2, MM: 7}}, cut.Totals, "a total that began before is not whole")
	assert.Equal(t, r.Last(), cut.Last())
	assert.Len(t, r.Depth, 4, "the record itself stays as it was")

	same, err := Since(r, 2019)
	require.NoError(t, err)
	assert.Same(t, r, same)

	_, err = Since(r, 2021)
	require.EqualError(t, err, "gauge.csv: the record ends on 2020-01-02, before 2021")
}
