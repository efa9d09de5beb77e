package report_test

import (
	"context"
	"fmt"
	"log"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/units"
	"tankodds/sim"
)

// A result becomes a sheet, whose words are in the units asked for; the page
// and the PDF are renderings of the same sheet.
func ExampleSizing() {
	must := func(err error) {
		if err != nil {
			log.Fatal(err)
		}
	}
	record, err := read.File("../cmd/tankodds/demo.csv", read.Options{})
	must(err)
	study, err := sim.NewStudy([]sim.Roof{sim.NewRoof(140)}, []sim.Use{{Name: "toilets", Daily: 60}}, 5000, 10000, 20000)
	must(err)
	start, _ := study.StorageYear(record)
	series, err := record.Fill(start)
	must(err)
	study.Years, study.Unit = 500, units.LPerGallon // quick, and read in gallons
	result, err := sim.Size(context.Background(), series, gen.WaterYears(), study)
	must(err)
	answer := report.Sizing{Title: "A shed", Record: rainfall.Summarise(record, series), Result: result, Units: units.US}
	for _, sentence := range answer.Sheet().Answer {
		fmt.Println(sentence)
	}
	// Output:
	// For 1,510 ft² of roof and 15.9 gal/day of use on average, a tank of 2,750 gal is the smallest that meets 90 % of years without a short day.
	// From 58 usable years of record the size needed lies between 2,510 and 2,850 gal; the safe size is 2,850 gal: even the lower bound of its reliability meets the target.
}
