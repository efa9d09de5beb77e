package main

import (
	"fmt"
	"runtime"
	"strings"

	"tankodds/report/units"
)

// growth is how time and memory grow with the years, the cells and the workers.
type growth struct{ years, cells, workers []grown }

// growthRuns is how often each run of the growth is repeated at most: the
// longest take many seconds.
const growthRuns = 3

func (b *bench) growth() (g growth, err error) {
	only := []string{"--record-error", "off"}
	for _, n := range []int{1000, 3000, 10000, 30000, 100000} {
		g.years = append(g.years, grown{size: float64(n), trial: b.size(fmt.Sprint(n, " years"), n, 50, 20, only...)})
	}
	for _, c := range [][2]int{{23, 1}, {50, 4}, {50, 20}, {100, 50}, {200, 100}} {
		n := c[0] * c[1]
		g.cells = append(g.cells, grown{size: float64(n), trial: b.size(fmt.Sprint(n, " cells"), b.years, c[0], c[1], only...)})
	}
	for _, n := range workerCounts(runtime.NumCPU()) {
		name := fmt.Sprint(n, " workers")
		g.workers = append(g.workers, grown{size: float64(n), trial: b.size(name, b.years, 50, 20, append(only, "--workers", fmt.Sprint(n))...)})
	}
	for _, runs := range [][]grown{g.years, g.cells, g.workers} {
		var trials []trial
		for _, r := range runs {
			trials = append(trials, r.trial)
		}
		if err := b.inTurn(min(b.runs, growthRuns), trials); err != nil {
			return g, err
		}
		for i, t := range trials {
			runs[i].seconds, runs[i].mb = b.found[t.name], b.found["peak, "+t.name]
		}
	}
	return g, nil
}

// text sets the growth in columns.
func (g growth) text() string {
	var s strings.Builder
	for _, runs := range [][]grown{g.years, g.cells, g.workers} {
		for _, r := range runs {
			fmt.Fprintf(&s, "%-16s %8.2f s %8.0f MB\n", r.trial.name, r.seconds, r.mb)
		}
	}
	return s.String()
}

// growthNote says what the growth was measured on.
func (b *bench) growthNote() string {
	return fmt.Sprintf("From file to answer, Monte Carlo error only; %s years, 1,000 cells and all cores where not said otherwise.", units.Fixed(float64(b.years), 0))
}

// workerCounts doubles from 1 up to the cores, and ends with all of them.
func workerCounts(cores int) []int {
	var out []int
	for n := 1; n < cores; n *= 2 {
		out = append(out, n)
	}
	return append(out, cores)
}
