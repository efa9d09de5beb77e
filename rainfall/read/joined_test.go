package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The header of a second file that was joined on is passed over however its letters
// are written and whatever blanks stand round its names; a row that only begins like it
// is none.
func TestJoinedFiles(t *testing.T) {
	const first, second = "date,rain_mm\n2001-01-01,1.5\n2001-01-02,0.0\n", "2001-01-03,2.5\n"
	want := mustRead(t, first+second, Options{})
	for _, head := range []string{"date,rain_mm\n", "Date,RAIN_MM\n", " date , rain_mm \n", "DATE,Rain_mm\r\n"} {
		got := mustRead(t, first+head+second, Options{})
		assert.Equal(t, want.Depth, got.Depth, head)
		assert.Equal(t, want.First, got.First, head)
	}
	for _, head := range []string{"date,snow_mm\n", "date\n"} {
		_, err := Bytes("f", []byte(first+head+second), Options{})
		var e *Error
		require.ErrorAs(t, err, &e, head)
		assert.Equal(t, 4, e.Line, head)
	}
}

// Of a file no column is held in memory that is not asked for.
func TestColumnsHeld(t *testing.T) {
	held := func(o Options) []int {
		in := newInput("f", strings.NewReader("date,snow,rain_mm,wind,tmax_c,tmin_c,lat,flow\n2001-01-01,1,2.5,3,4,5,6,7\n"), 90, o)
		h := in.plainHead()
		p := plainTable{table: &table{in: in, heading: h.heading, header: h.cells, station: -1, comments: true}}
		p.findColumns()
		return p.held
	}
	assert.Subset(t, []int{0, 2, 3}, held(Options{}), "the date and the rain, and what may be its flag")
	assert.Subset(t, []int{0, 2, 3, 4, 5, 6}, held(Options{Temperatures: true}))
	assert.Subset(t, held(Options{Temperatures: true}), []int{0, 2, 4, 5, 6})
}
