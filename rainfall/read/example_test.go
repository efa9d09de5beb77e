package read_test

import (
	"fmt"
	"log"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// invented is a table of three years in which it rains 3 mm every third day,
// and never in July.
func invented() string {
	var b strings.Builder
	b.WriteString("date,rain (mm)\n")
	for d := rainfall.Day(2019, time.January, 1); d < rainfall.Day(2022, time.January, 1); d++ {
		_, month, _ := d.YMD()
		mm := 0
		if d%3 == 0 && month != time.July {
			mm = 3
		}
		fmt.Fprintf(&b, "%v,%d\n", d, mm)
	}
	return b.String()
}

// A record is read, cut into water years and summed up.
func ExampleFrom() {
	record, err := read.From("invented.csv", strings.NewReader(invented()), read.Options{})
	if err != nil {
		log.Fatal(err)
	}
	series, err := record.Fill(record.StartMonth())
	if err != nil {
		log.Fatal(err)
	}
	m := rainfall.Summarise(record, series)
	fmt.Printf("%s (%s), %v to %v\n", m.Name(), m.Format, m.First, m.Last)
	fmt.Printf("%.0f mm a year; %d usable water years from %v\n", m.MeanAnnual, m.UsableN, m.Start)
	fmt.Printf("longest dry spell: %d days from %v\n", m.DrySpell.Days, m.DrySpell.From)
	// Output:
	// invented.csv (plain table of dates and rain), 2019-01-01 to 2021-12-31
	// 333 mm a year; 2 usable water years from July
	// longest dry spell: 35 days from 2019-06-29
}
