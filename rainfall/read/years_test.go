package read

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The first and the last year of which there may be rain are read, and those beside
// them are refused on their line, in whatever form the date is written.
func TestYearsThatMayBeRead(t *testing.T) {
	for form, file := range map[string]func(y int) string{
		"a date":              func(y int) string { return fmt.Sprintf("date,rain_mm\n%04d-06-01,1.5\n", y) },
		"day first":           func(y int) string { return fmt.Sprintf("date,rain_mm\n13.06.%04d,1.5\n", y) },
		"day and month":       func(y int) string { return fmt.Sprintf("date,rain_mm\n13/06/%04d,1.5\n", y) },
		"year, month and day": func(y int) string { return fmt.Sprintf("year,month,day,rain_mm\n%d,6,1,1.5\n", y) },
		"day of the year":     func(y int) string { return fmt.Sprintf("year,doy,rain_mm\n%d,150,1.5\n", y) },
		"fixed width": func(y int) string {
			return dlyLine("XX000000001", 2001, 6, "TMAX", "150") + dlyLine("XX000000001", y, 6, "PRCP", "   15")
		},
	} {
		for _, y := range []int{FirstYear, LastYear} {
			r, err := Bytes("f", []byte(file(y)), Options{})
			if assert.NoError(t, err, "%s, %d", form, y) {
				got, _, _ := rainfall.Date(r.First).YMD()
				assert.Equal(t, y, got, form)
			}
		}
		for _, y := range []int{0, 1, FirstYear - 1, LastYear + 1, 9999} {
			_, err := Bytes("f", []byte(file(y)), Options{})
			var e *Error
			require.ErrorAs(t, err, &e, "%s, %d", form, y)
			assert.Equal(t, 2, e.Line, "%s: %v", form, e)
			assert.Contains(t, e.Text, fmt.Sprintf("is of the year %d: daily records lie between 1600 and 2200", y), form)
			assert.NotEmpty(t, e.Hint)
		}
	}
}
