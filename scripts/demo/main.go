// Command demo makes the record that tankodds carries inside: sixty years of
// daily rain at Carrow Hill, a place that does not exist. Every value is
// invented. Run it from the top of the repository:
//
//	go run ./scripts/demo > cmd/tankodds/demo.csv
//
// The climate is one of wet winters and long dry summers. A day is wet or dry
// by a chain of first order whose odds change with the month; a wet day's
// depth is a mixture of two exponentials; each winter is wetter or drier than
// the mean by a factor that remembers a little of the winter before. The
// record has the blemishes of a real one, so that a report on its quality has
// something to find: see blemish.
package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"time"

	"tankodds/rainfall"
)

const (
	firstYear = 1965
	lastYear  = 2024
	seed      = 5
)

// season gives, for each month from January: the chance that a wet day
// follows a dry one, that one follows a wet one, and the mean depth of a wet
// day, mm. Chosen by hand for about 750 mm a year, five months of it nearly
// dry.
var season = [12]struct{ afterDry, afterWet, depth float64 }{
	{.34, .62, 9.4}, {.33, .60, 9.2}, {.27, .54, 8.2}, {.16, .44, 6.6},
	{.080, .32, 5.0}, {.024, .22, 4.4}, {.009, .15, 4.0}, {.012, .18, 5.0},
	{.042, .28, 6.6}, {.15, .44, 8.6}, {.28, .56, 9.4}, {.35, .62, 9.8},
}

// The mixture of a wet day's depth: the share of heavy days, and the means of
// the heavy and the light ones over the month's mean. The shares and means
// multiply out to 1.
const (
	heavyShare = 0.50
	heavyMean  = 1.56
	lightMean  = 0.44
)

// The winter factor: its spread, and how much of its departure from 1 it
// keeps to the next year.
const (
	factorSpread = 0.11
	factorMemory = 0.30
)

func main() {
	if err := write(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

// write prints the record as date,rain_mm; a missing day's depth is blank.
func write(to io.Writer) error {
	w := bufio.NewWriter(to) // it keeps its first error
	fmt.Fprintln(w, "date,rain_mm")
	first, last := rainfall.Day(firstYear, time.January, 1), rainfall.Day(lastYear, time.December, 31)
	rng := rand.New(rand.NewPCG(seed, 0))
	depth := rain(first, last, rng)
	blemish(first, depth, rng)
	for i, x := range depth {
		cell := ""
		if x >= 0 {
			cell = fmt.Sprintf("%d.%d", x/10, x%10)
		}
		fmt.Fprintf(w, "%v,%s\n", first+rainfall.Date(i), cell)
	}
	return w.Flush()
}

// rain returns a depth for every day, in tenths of a millimetre: whole
// numbers, so that the last bit of a logarithm cannot differ between
// processors.
func rain(first, last rainfall.Date, rng *rand.Rand) []int {
	depth := make([]int, 0, last-first+1)
	departure := factorSpread * normal(rng)
	wet := false
	for day := first; day <= last; day++ {
		_, m, d := day.YMD()
		if m == time.September && d == 1 { // in the dry, before the next winter
			shock := factorSpread * math.Sqrt(1-factorMemory*factorMemory)
			departure = float64(factorMemory*departure) + float64(shock*normal(rng))
		}
		factor := max(0.4, 1+departure)
		// Half of a wet winter is more wet days, half is wetter ones.
		odds := season[m-1].afterDry
		if wet {
			odds = season[m-1].afterWet
		}
		half := math.Sqrt(factor)
		wet = rng.Float64() < min(0.95, odds*half)
		if !wet {
			depth = append(depth, 0)
			continue
		}
		mean := lightMean
		if rng.Float64() < heavyShare {
			mean = heavyMean
		}
		mm := -math.Log(1-rng.Float64()) * mean * season[m-1].depth * half
		depth = append(depth, max(1, int(math.Round(10*mm)))) // a wet day has at least 0.1 mm
	}
	return depth
}

// normal returns a draw close to the standard normal: the sum of twelve
// uniforms less six.
func normal(rng *rand.Rand) float64 {
	sum := -6.0
	for range 12 {
		sum += rng.Float64()
	}
	return sum
}

// blemish spoils the record as real ones are spoilt: 25 single days without a
// reading, one winter in which the gauge was out of order for 40 days, and
// one week when four days were given the same depth, as happens when a total
// is shared out by hand. A missing day is −1.
func blemish(first rainfall.Date, depth []int, rng *rand.Rand) {
	for left := 25; left > 0; {
		if i := rng.IntN(len(depth)); depth[i] >= 0 {
			depth[i] = -1
			left--
		}
	}
	for i := range 40 {
		depth[int(rainfall.Day(1987, time.January, 19)-first)+i] = -1
	}
	for i := range 4 {
		depth[int(rainfall.Day(1973, time.December, 6)-first)+i] = 63
	}
}
