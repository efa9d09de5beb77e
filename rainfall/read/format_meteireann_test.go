package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Written by hand to the publisher's description; the values and the station
// are invented.
const metEireannSample = `Station Name: CARROW HILL
Station Height: 71 M
Latitude:53.000  ,Longitude: -6.000


date:  -  00 to 00 utc
rain:  -  Precipitation Amount (mm)
maxtp: -  Maximum Air Temperature (C)
mintp: -  Minimum  Air Temperature (C)
gmin:  -  09utc Grass Minimum Temperature (C)
ind:   -  Indicator (i)

date,ind,maxtp,ind,mintp,igmin,gmin,ind,rain,cbl,wdsp
30-dec-1941,0,9.7,0,6.8,0,4.7, , ,1020.3,17.2
31-dec-1941,0,9.7,0,6.8,0,4.7,0,0.0,1020.3,17.2
01-jan-1942,0,9.9,0,7.9,0,6.7,2,0.0,1016.2,15.2
02-jan-1942,0,11.2,0,8.9,0,7.2, , ,1006.8,14.0
03-jan-1942,0,9.2,0,2.7,0,3.4,0,3.5,1001.5,17.0
`

func TestMetEireann(t *testing.T) {
	r := readWorld(t, metEireannSample)
	assert.Equal(t, "CARROW HILL", r.Place)
	assert.Equal(t, "mm", r.Unit)
	assert.Equal(t, "1941-12-31", r.First.String())
	assertDepths(t, []float64{0, 0, math.NaN(), 3.5}, r)
	assertTold(t, r, "indicator", "count=1 2 (1)")
}

// A spreadsheet's copy without preamble and indicators, the years cut to two
// digits.
const metEireannShortSample = "date,maxtp,mintp,gmin,rain,cbl,wdsp\r\n" +
	"30-Dec-99,9.7,6.8,4.7,1.5,1020.3,17.2\r\n" +
	"31-Dec-99,9.7,6.8,4.7, ,1020.3,17.2\r\n" +
	"01-Jan-00,9.9,7.9,6.7,0.1,1016.2,15.2\r\n"

func TestMetEireannTwoDigits(t *testing.T) {
	r := readWorld(t, metEireannShortSample)
	assert.Equal(t, "1999-12-30", r.First.String())
	assertDepths(t, []float64{1.5, math.NaN(), 0.1}, r)
	assertTold(t, r, "two-digit-years", "pivot=40")
}

// The century is followed through the file: only the last year's is set by a
// rule.
func TestFollowCentury(t *testing.T) {
	for _, c := range []struct{ short, want []int }{
		{[]int{42, 43, 99, 0, 1, 25}, []int{1942, 1943, 1999, 2000, 2001, 2025}},
		{[]int{42, 42, 68}, []int{1942, 1942, 1968}},          // closed before 2000
		{[]int{10, 25}, []int{2010, 2025}},                    // begun after
		{[]int{85, 3}, []int{1985, 2003}},                     // a long hole over the turn
		{[]int{90, 99, 0, 50}, []int{1890, 1899, 1900, 1950}}, // an older record
		{[]int{90, 0, 60, 99, 0, 20}, []int{1890, 1900, 1960, 1999, 2000, 2020}},
		{[]int{41}, []int{1941}},
	} {
		years := append([]int(nil), c.short...)
		assert.Equal(t, -1, followCentury(years), "%v", c.short)
		assert.Equal(t, c.want, years)
	}
	assert.Equal(t, 2, followCentury([]int{42, 43, 42}), "out of order is no turn of the century")
}

func TestMetEireannErrors(t *testing.T) {
	head := strings.SplitAfter(metEireannShortSample, "\r\n")[0]
	row := func(date, rain string) string { return fmt.Sprintf("%s,9.7,6.8,4.7,%s,1020.3,17.2\r\n", date, rain) }
	for _, c := range []struct{ rows, text string }{
		{row("30-Feb-1999", "1"), `record.txt:2: date "30-Feb-1999" is no day of the year 1999`},
		{row("29-Feb-99", "1"), `record.txt:2: date "29-Feb-99" is no day of the year 1999`},
		{row("01-Jan-99", "1") + row("01-Jun-98", "1"), "record.txt:3: the year goes from 99 to 98"},
		{row("01-Jan-99", "1") + row("02-Jan-1999", "1"), "record.txt:3: a year of two digits and a year of four"},
		{row("01-Jan-99", "1") + row("02-Abc-99", "1"), `record.txt:3: "Abc" is no month`},
		{row("01-Jan-99", "1") + row("1999-01-02", "1"), `record.txt:3: date "1999-01-02" is no day of the form 01-jan-1942`},
		{row("01-jan-1999 01:00", "1"), "record.txt:2: the values are of hours"},
		{row("01-Jan-99", "x"), `record.txt:2: rain "x" is not a number`},
	} {
		assert.Contains(t, failWorld(t, head+c.rows).Error(), c.text)
	}
}
