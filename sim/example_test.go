package sim_test

import (
	"context"
	"fmt"
	"log"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/sim"
)

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// demo reads the record of the examples, sixty invented years, and makes the
// study that is put to it.
func demo() (*rainfall.Series, *sim.Study) {
	record, err := read.File("../cmd/tankodds/demo.csv", read.Options{})
	check(err)
	study, err := sim.NewStudy([]sim.Roof{sim.NewRoof(140)}, []sim.Use{{Name: "toilets", Daily: 60}}, 5000, 10000, 20000)
	check(err)
	start, known := study.StorageYear(record) // March, when its stores are fullest
	if !known {
		start = record.StartMonth()
	}
	series, err := record.Fill(start)
	check(err)
	study.Years = 500 // quick; as they are for an answer to rest on
	return series, study
}

// A record, a study, its answer and its curve.
func ExampleSize() {
	series, study := demo()
	study.RecordError = false
	result, err := sim.Size(context.Background(), series, gen.WaterYears(), study)
	check(err)
	for _, c := range result.Cells {
		fmt.Printf("%.0f L: %.2f of years without a short day\n", c.Tank, c.Annual.Estimate)
	}
	fmt.Printf("a good year in %.0f %% of years needs %.0f L\n", 100*study.Target, result.Main.Tank)
	// Output:
	// 5000 L: 0.03 of years without a short day
	// 10000 L: 0.90 of years without a short day
	// 20000 L: 1.00 of years without a short day
	// a good year in 90 % of years needs 9680 L
}

// The stages of Size one by one, and what each gives the next.
func ExampleQuestion() {
	ctx := context.Background()
	series, study := demo()
	q, err := sim.Ask(series, gen.WaterYears(), study)
	check(err)
	tank := study.NewSizes([]float64{5000})
	run, err := q.Simulate(ctx, sim.Row{Scale: 1, Sizes: tank}, sim.Row{Scale: 2, Sizes: tank})
	check(err)
	for row, roof := range []string{"the site's roof", "one twice as large"} {
		fmt.Printf("%s: %.3f of days are not short\n", roof, run.MonteCarlo(sim.Time, row, 0, 0.9).Estimate)
	}
	curves, err := q.Curves(ctx)
	check(err)
	fmt.Printf("%d sizes asked about, %d of the curve of %.0f m²\n", len(curves.Listed[0]), len(curves.Listed[1]), curves.Areas[1])
	sizes, err := q.Solve(ctx, curves)
	check(err)
	fmt.Printf("%.0f L, exactly %.2f L; the site's own roofs %.0f L\n", sizes[0].Tank, sizes[0].Exact, sizes[1].Tank)
	claims := q.Claim(curves, sizes)
	for _, c := range claims.Rows[0] {
		met := c.MonteCarlo.Time
		fmt.Printf("%.0f L: %.2f, from %.2f to %.2f of years; %.4f to %.4f of days by the simulation alone, %.4f to %.4f with the record\n",
			c.Tank, c.Annual.Estimate, c.Annual.Low, c.Annual.High, met.Low, met.High, c.Time.Low, c.Time.High)
	}
	answers := q.Answer(sizes, claims)
	fmt.Printf("from %.0f to %.0f L; safe with %.0f L\n", answers[1].Low, answers[1].High, answers[1].Safe)
	stop := study.Stop(curves)
	fmt.Printf("to %.0f L, or %.0f to %.0f L, the last litre is used every other year\n", stop.Tank, stop.Low, stop.High)
	ahead := study.Outlook(claims.At[1])
	fmt.Printf("%g to %g of the next %d years\n", ahead.Low, ahead.High, ahead.Horizon)
	season, months, err := q.Season(ctx, 5000)
	check(err)
	fmt.Printf("half-way through the year from %v it holds %.0f L in half of the years\n", months[0].Month, season.Mid[182])
	past, err := q.Past(5000)
	check(err)
	fmt.Printf("%d real years, that of %d the hardest\n", len(past.Years), past.DriestLabel)
	// Output:
	// the site's roof: 0.855 of days are not short
	// one twice as large: 0.893 of days are not short
	// 3 sizes asked about, 128 of the curve of 140 m²
	// 10400 L, exactly 10377.20 L; the site's own roofs 10400 L
	// 5000 L: 0.03, from 0.01 to 0.08 of years; 0.8513 to 0.8592 of days by the simulation alone, 0.8409 to 0.8690 with the record
	// 10000 L: 0.90, from 0.82 to 0.96 of years; 0.9958 to 0.9973 of days by the simulation alone, 0.9907 to 0.9980 with the record
	// 20000 L: 0.99, from 0.96 to 1.00 of years; 1.0000 to 1.0000 of days by the simulation alone, 0.9955 to 0.9999 with the record
	// from 9480 to 10800 L; safe with 10800 L
	// to 8310 L, or 7820 to 8630 L, the last litre is used every other year
	// 0 to 6 of the next 30 years
	// half-way through the year from March it holds 0 L in half of the years
	// 58 real years, that of 2007 the hardest
}
