package main

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/near"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// What is a neighbour of a real station, as somebody would choose it.
const (
	mostKM     = 80
	mostHigher = 300 // m, either way
	mostNear   = 3   // the nearest
	leastYears = 30  // of its record
)

// station is one of a file of monthly totals.
type station struct {
	name             string
	lon, lat, height float64
	years            *rainfall.Years
}

// realNeighbours asks real records with and without their neighbours, learns from
// some years and is judged by those that follow. A month's rain falls on four days of
// it: how years and months differ, and how gauges go together, is real.
func realNeighbours(ctx context.Context, file string, learn, years int) error {
	all, err := readStations(file)
	if err != nil {
		return err
	}
	alone, with := recordsOf(all, learn)
	b := backtest.NewStudy()
	b.Learn, b.Step, b.Least, b.Years, b.Tanks = []int{learn}, 10, 15, years, nil
	var results [2]*backtest.Result
	for k, records := range [][]backtest.Record{alone, with} {
		if results[k], err = backtest.Run(ctx, b, records, gen.All()[:1]); err != nil {
			return err
		}
	}
	type key struct {
		record         string
		from           int
		m              sim.Measure
		demand, target float64
	}
	keyOf := func(c *backtest.Case) key { return key{c.Record, c.LearnFrom, c.Measure, c.Demand, c.Target} }
	other := map[key]*backtest.Case{}
	for i := range results[1].Cases {
		other[keyOf(&results[1].Cases[i])] = &results[1].Cases[i]
	}
	fmt.Printf("%d stations with neighbours, %d windows, years to learn from: %d\n\n", len(alone), windows(results[0]), learn)
	fmt.Println("| where something was borrowed | | cases | outcomes in the 90 % interval | error | width of the claim | interval score |")
	fmt.Println("|---|---|---|---|---|---|---|")
	for m := sim.Annual; m <= sim.Volume; m++ {
		var sums [2][5]float64
		for i := range results[0].Cases {
			a := &results[0].Cases[i]
			w := other[keyOf(a)]
			if a.Measure != m || w == nil || !w.Lent {
				continue
			}
			for k, c := range []*backtest.Case{a, w} {
				off := c.Claim.Estimate - (1 - c.Failed)
				in := 0.0
				if c.Inside90 {
					in = 1
				}
				for j, x := range []float64{1, in, off * off, c.Claim.High - c.Claim.Low, backtest.Winkler(c.Low90, c.High90, c.Failed, 0.9)} {
					sums[k][j] += x
				}
			}
		}
		for k, s := range sums {
			fmt.Printf("| %v | %s | %.0f | %.3f | %.4f | %.4f | %.4f |\n", m, []string{"alone", "with"}[k], s[0], s[1]/s[0], math.Sqrt(s[2]/s[0]), s[3]/s[0], s[4]/s[0])
		}
	}
	return nil
}

func windows(r *backtest.Result) (n int) {
	for _, x := range r.Records {
		n += x.Windows
	}
	return n
}

// recordsOf lists the stations that have neighbours, without and with them.
func recordsOf(all []*station, learn int) (alone, with []backtest.Record) {
	for _, a := range all {
		var beside []*station
		for _, b := range all {
			if d := a.km(b); b != a && d > 1 && d < mostKM && math.Abs(a.height-b.height) < mostHigher && b.years.Len() >= leastYears {
				beside = append(beside, b)
			}
		}
		if len(beside) == 0 || a.years.Len() < learn+15 {
			continue
		}
		slices.SortFunc(beside, func(b, c *station) int { return cmp.Compare(a.km(b), a.km(c)) })
		r := backtest.Record{Name: a.name, Years: a.years}
		alone = append(alone, r)
		for _, b := range beside[:min(len(beside), mostNear)] {
			r.Near = append(r.Near, near.Station{Name: b.name, Years: b.years})
		}
		with = append(with, r)
	}
	return alone, with
}

func (a *station) km(b *station) float64 {
	const degree = 111.2
	return degree * math.Hypot(a.lat-b.lat, (a.lon-b.lon)*math.Cos(a.lat*math.Pi/180))
}

// readStations reads stations, each with its years together and in order.
func readStations(file string) ([]*station, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var out []*station
	lines, starts := bufio.NewScanner(f), rainfall.Calendar(1).Starts()
	for n := 1; lines.Scan(); n++ {
		cells := strings.Split(lines.Text(), ",")
		if n == 1 {
			continue
		}
		if len(cells) != 17 {
			return nil, fmt.Errorf("%s:%d: %d cells; there are station, lon, lat, elevation_m, year and twelve depths", file, n, len(cells))
		}
		var x [17]float64
		for k := 1; k < len(x); k++ {
			if x[k], err = strconv.ParseFloat(strings.TrimSpace(cells[k]), 64); err != nil {
				return nil, fmt.Errorf("%s:%d: %q is no number", file, n, cells[k])
			}
		}
		if len(out) == 0 || out[len(out)-1].name != cells[0] {
			out = append(out, &station{cells[0], x[1], x[2], x[3], &rainfall.Years{Start: 1}})
		}
		y, rain := out[len(out)-1].years, make([]float64, rainfall.DaysPerYear)
		for m := range 12 {
			for q := range 4 {
				rain[starts[m]+3+q*(starts[m+1]-starts[m])/4] = math.Round(10*x[5+m]/4) / 10
			}
		}
		y.Label, y.Rain, y.Filled = append(y.Label, int(x[4])), append(y.Rain, rain), append(y.Filled, 0)
	}
	return out, lines.Err()
}
