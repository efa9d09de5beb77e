package rainfall

import (
	"errors"
	"fmt"
	"time"
)

// Date is a civil day, counted from 1970-01-01 (day 0), with no time zone.
type Date int32

// NoDate stands for a day that there is not.
const NoDate = Date(-1 << 31)

// MakeDate returns the civil day y-m-d, and false where no such day exists
// (30 February, month 13).
func MakeDate(y int, m time.Month, d int) (Date, bool) {
	if m < 1 || m > 12 || d < 1 || d > DaysIn(y, m) {
		return 0, false
	}
	return Day(y, m, d), true
}

// Day counts the days from 1970-01-01 to a day known to exist, by the
// proleptic Gregorian calendar: years are taken to begin in March, so that
// the leap day is the last of its year.
func Day(y int, m time.Month, d int) Date {
	if m <= 2 {
		y--
	}
	era := y / 400
	if y < 0 {
		era = (y - 399) / 400
	}
	yoe := y - era*400
	mp := (int(m) + 9) % 12
	doy := (153*mp+2)/5 + d - 1
	doe := yoe*365 + yoe/4 - yoe/100 + doy
	return Date(era*146097 + doe - 719468)
}

// YMD returns the year, month and day of the month: Day undone.
func (d Date) YMD() (int, time.Month, int) {
	z := int(d) + 719468
	era := z / 146097
	if z < 0 {
		era = (z - 146096) / 146097
	}
	doe := z - era*146097
	yoe := (doe - doe/1460 + doe/36524 - doe/146096) / 365
	doy := doe - (365*yoe + yoe/4 - yoe/100)
	mp := (5*doy + 2) / 153
	y, m := yoe+era*400, time.Month(mp+3)
	if m > 12 {
		y, m = y+1, m-12
	}
	return y, m, doy - (153*mp+2)/5 + 1
}

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday {
	return time.Weekday(((int(d)+4)%7 + 7) % 7) // 1970-01-01 was a Thursday
}

// String returns the day as YYYY-MM-DD (ISO 8601).
func (d Date) String() string {
	y, m, day := d.YMD()
	return fmt.Sprintf("%04d-%02d-%02d", y, m, day)
}

// MarshalText returns the same; NoDate has no text.
func (d Date) MarshalText() ([]byte, error) {
	if d == NoDate {
		return nil, errors.New("no date")
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what MarshalText wrote.
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = NoDate
		return nil
	}
	t, err := time.Parse(time.DateOnly, string(text))
	if err != nil {
		return fmt.Errorf("%q is not a day written as 2021-12-31", text)
	}
	*d = Day(t.Date())
	return nil
}

// Leap reports whether year y has a 29 February.
func Leap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

// DaysIn returns the number of days of a month, 28 to 31.
func DaysIn(y int, m time.Month) int {
	switch m {
	case time.February:
		if Leap(y) {
			return 29
		}
		return 28
	case time.April, time.June, time.September, time.November:
		return 30
	}
	return 31
}
