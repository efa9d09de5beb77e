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

// demo is the record of the examples: sixty invented years.
const demo = "../cmd/tankodds/demo.csv"

// A record, a study, its answer and its curve.
func ExampleSize() {
	record, err := read.File(demo, read.Options{})
	if err != nil {
		log.Fatal(err)
	}
	series, err := record.Fill(record.StartMonth())
	if err != nil {
		log.Fatal(err)
	}
	study, err := sim.NewStudy([]sim.Roof{sim.NewRoof(140)}, []sim.Use{{Name: "toilets", Daily: 60}}, 5000, 10000, 20000)
	if err != nil {
		log.Fatal(err)
	}
	study.Years, study.RecordError = 500, false // quick; as they are for an answer to rest on
	result, err := sim.Size(context.Background(), series, gen.WaterYears(), study)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range result.Cells {
		fmt.Printf("%.0f L: %.2f of years without a short day\n", c.Tank, c.Annual.Estimate)
	}
	fmt.Printf("a good year in %.0f %% of years needs %.0f L\n", 100*study.Target, result.Main.Tank)
	// Output:
	// 5000 L: 0.00 of years without a short day
	// 10000 L: 0.90 of years without a short day
	// 20000 L: 1.00 of years without a short day
	// a good year in 90 % of years needs 10018 L
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// demoSeries reads that record.
func demoSeries() *rainfall.Series {
	record, err := read.File(demo, read.Options{})
	check(err)
	series, err := record.Fill(record.StartMonth())
	check(err)
	return series
}

// asked is a quick question put to it.
func asked() *sim.Question {
	study, err := sim.NewStudy([]sim.Roof{sim.NewRoof(140)}, []sim.Use{{Name: "toilets", Daily: 60}}, 5000, 10000, 20000)
	check(err)
	study.Years, study.Replicates = 500, 10
	q, err := sim.Ask(demoSeries(), gen.WaterYears(), study)
	check(err)
	return q
}

// What the stages give one another.
type stages struct {
	curves *sim.Curves
	sizes  []sim.Solved
	reps   *sim.Replicates
	claims *sim.Claims
}

// through runs the stages that the last ones need.
func through(q *sim.Question) (s stages) {
	ctx := context.Background()
	var err error
	s.curves, err = q.Curves(ctx)
	check(err)
	s.sizes, err = q.Solve(ctx, s.curves)
	check(err)
	s.reps, err = q.Resample(ctx, s.curves, s.sizes[1].Look)
	check(err)
	s.claims = q.Claim(s.curves, s.sizes, s.reps)
	return s
}

func ExampleAsk() {
	study, err := sim.NewStudy([]sim.Roof{sim.NewRoof(140)}, []sim.Use{{Daily: 60}})
	check(err)
	study.Target = 1
	_, err = sim.Ask(demoSeries(), gen.Guided(), study)
	fmt.Println(err)
	// Output:
	// target 1 is not between 0 and 1
}

func ExampleQuestion_Simulate() {
	run, err := asked().Simulate(context.Background(), []sim.Row{{Scale: 1, Usable: []float64{5000}}, {Scale: 2, Usable: []float64{5000}}})
	check(err)
	for row, roof := range []string{"the site's roof", "one twice as large"} {
		fmt.Printf("%s: %.3f of days are not short\n", roof, run.MonteCarlo(sim.Time, row, 0, 0.9).Estimate)
	}
	// Output:
	// the site's roof: 0.856 of days are not short
	// one twice as large: 0.892 of days are not short
}

func ExampleQuestion_Curves() {
	curves, err := asked().Curves(context.Background())
	check(err)
	for i, sizes := range curves.Sizes {
		fmt.Printf("%d sizes of %.0f m²\n", len(sizes), curves.Areas[i])
	}
	// Output:
	// 3 sizes of 140 m²
	// 64 sizes of 140 m²
}

func ExampleQuestion_Solve() {
	sizes := through(asked()).sizes
	fmt.Printf("%.0f L; the site's own roofs %.0f L\n", sizes[0].Tank, sizes[1].Tank)
	// Output:
	// 10018 L; the site's own roofs 10018 L
}

func ExampleQuestion_Resample() {
	q := asked()
	s := through(q)
	alone := q.Claim(s.curves, s.sizes, nil) // as if no record had been resampled
	fmt.Printf("time met at %.0f L: %.4f to %.4f by the simulation alone, %.4f to %.4f with the record\n", s.claims.At[0].Tank,
		alone.Rows[0][1].Time.Low, alone.Rows[0][1].Time.High, s.claims.Rows[0][1].Time.Low, s.claims.Rows[0][1].Time.High)
	// Output:
	// time met at 10018 L: 0.9973 to 0.9988 by the simulation alone, 0.9966 to 0.9992 with the record
}

func ExampleQuestion_Claim() {
	for _, c := range through(asked()).claims.Rows[0] {
		fmt.Printf("%.0f L: %.2f, from %.2f to %.2f\n", c.Tank, c.Annual.Estimate, c.Annual.Low, c.Annual.High)
	}
	// Output:
	// 5000 L: 0.00, from 0.00 to 0.04
	// 10000 L: 0.88, from 0.77 to 0.96
	// 20000 L: 0.99, from 0.96 to 1.00
}

func ExampleQuestion_Answer() {
	q := asked()
	s := through(q)
	read := q.Answer(s.sizes, s.claims)
	closed, err := q.Close(context.Background(), read, s.claims, s.reps)
	check(err)
	fmt.Printf("%.0f L, safe with %.0f L as read off the curve, %.0f L closed on\n", read[1].Tank, read[1].Safe, closed[1].Safe)
	// Output:
	// 10018 L, safe with 10607 L as read off the curve, 10595 L closed on
}

func ExampleStudy_Stops() {
	s := through(asked())
	for _, stop := range sim.Defaults().Stops(s.claims.Rows[1], s.reps) {
		fmt.Printf("%s: %.0f L\n", stop.Method, stop.Tank)
	}
	// Output:
	// knee: 9259 L
	// gain: 8860 L
}

func ExampleStudy_Outlook() {
	s := through(asked())
	ahead := sim.Defaults().Outlook(s.claims.At[1])
	fmt.Printf("%g to %g of the next %d years\n", ahead.Low, ahead.High, ahead.Horizon)
	// Output:
	// 0 to 7 of the next 30 years
}

func ExampleQuestion_Season() {
	season, months, err := asked().Season(context.Background(), 5000)
	check(err)
	fmt.Printf("half-way through the year from %v it holds %.0f L in half of the years\n", months[0].Month, season.Mid[182])
	// Output:
	// half-way through the year from October it holds 4760 L in half of the years
}

func ExampleQuestion_Past() {
	past, err := asked().Past(5000)
	check(err)
	fmt.Printf("%d real years, that of %d the hardest\n", len(past.Years), past.DriestLabel)
	// Output:
	// 58 real years, that of 1991 the hardest
}
