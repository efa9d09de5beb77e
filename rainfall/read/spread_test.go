package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a multi-day total is: the catch of the gauge since it was last read,
// for reading it empties it ("the rainfall has been accumulating in the rain
// gauge since the last reading", definitions of the Bureau of Meteorology,
// READ). A day of the stated span that has a value of its own was read, so its
// rain is in that value and not in the total: the days without one hold all of
// the total between them, and the days with one keep what they have. So no
// rain is lost and none is counted twice.
func TestTotalOverDaysPartlyValued(t *testing.T) {
	const total = "; 12 over 4 to 2001-01-06"
	for _, c := range []struct {
		name string
		prcp string // the days of January 2001, mm
		mm   float64
		want string
	}{
		{"none has its own", "1 – – – – – – 2", 12, "1 – 3S 3S 3S 3S – 2" + total},
		{"the first is wet", "1 – 5 – – – – 2", 12, "1 – 5 4S 4S 4S – 2" + total},
		{"the first is dry", "1 – 0 – – – – 2", 12, "1 – 0 4S 4S 4S – 2" + total},
		{"the first two, and more than the total", "1 – 20 7 – – – 2", 12, "1 – 20 7 6S 6S – 2" + total},
		{"all but the last", "1 – 0 5 0.5 – – 2", 12, "1 – 0 5 0.5 12S – 2" + total},
		{"no rain", "1 – 5 – – – – 2", 0, "1 – 5 0S 0S 0S – 2; 0 over 4 to 2001-01-06"},
		// A day read within the span ends what the total covers: the days
		// before it stay missing. Where the day read has a value of its own
		// too, the rest of the total fell before it, and a total below that
		// value is left out.
		{"one within is wet", "1 – – 5 – – – 2", 12, "1 – – 5 6S 6S – 2" + total},
		{"the last has a part", "1 – – – – 3 – 2", 12, "1 – 3S 3S 3S 3 – 2" + total},
		{"the last has more", "1 – – – – 13 – 2", 12, "1 – – – – 13 – 2; total-lost count=1"},
	} {
		days := strings.Fields(c.prcp)
		var csv strings.Builder
		for d, mm := range days {
			days[d] = "-9999"
			if x, err := strconv.ParseFloat(mm, 64); err == nil {
				days[d] = fmt.Sprintf("%.0f", 10*x)
				fmt.Fprintf(&csv, "XX000000001,200101%02d,PRCP,%s,,,7,\n", d+1, days[d])
			}
		}
		fmt.Fprintf(&csv, "XX000000001,20010106,MDPR,%.0f,,,7,\nXX000000001,20010106,DAPR,4,,,7,\n", 10*c.mm)
		none := slices.Repeat([]string{"-9999"}, 5)
		dly := dlyLine("XX000000001", 2001, 1, "PRCP", days...) +
			dlyLine("XX000000001", 2001, 1, "MDPR", append(none, fmt.Sprintf("%.0f", 10*c.mm))...) +
			dlyLine("XX000000001", 2001, 1, "DAPR", append(none, "4")...)
		for _, text := range []string{dly, csv.String()} {
			assert.Equal(t, "XX000000001, , 0.1 mm, from 2001-01-01: "+c.want, described(mustRead(t, text, Options{})), c.name)
		}
	}
}
