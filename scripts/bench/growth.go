package main

import (
	"fmt"
	"os"
	"runtime"

	"tankodds/report/units"
)

// growth is how time and memory grow with the years, the cells and the workers.
type growth struct{ years, cells, workers []grown }

// asked is one run of the growth.
type asked struct {
	size float64 // years, cells or workers
	args []string
}

// growthRuns is how often each run of the growth is repeated at most: the
// longest take many seconds.
const growthRuns = 3

func (b *bench) growth() (g growth, err error) {
	var years, cells, workers []asked
	only := []string{"--record-error", "off"}
	for _, n := range []int{1000, 3000, 10000, 30000, 100000} {
		years = append(years, asked{float64(n), b.size(n, 50, 20, only...)})
	}
	for _, c := range [][2]int{{23, 1}, {50, 4}, {50, 20}, {100, 50}, {200, 100}} {
		cells = append(cells, asked{float64(c[0] * c[1]), b.size(b.years, c[0], c[1], only...)})
	}
	for _, n := range workerCounts(runtime.NumCPU()) {
		workers = append(workers, asked{float64(n), b.size(b.years, 50, 20, append(only, "--workers", fmt.Sprint(n))...)})
	}
	for _, s := range []struct {
		what string
		runs []asked
		to   *[]grown
	}{
		{"synthetic years (1,000 cells)", years, &g.years},
		{fmt.Sprintf("cells (%s years)", units.Fixed(float64(b.years), 0)), cells, &g.cells},
		{fmt.Sprintf("workers (1,000 cells, %s years)", units.Fixed(float64(b.years), 0)), workers, &g.workers},
	} {
		if *s.to, err = b.grow(s.runs); err != nil {
			return g, err
		}
		fmt.Printf("%-40s %8s %14s\n", s.what, "s", "peak memory, MB")
		for _, r := range *s.to {
			fmt.Printf("  %-38s %8.2f %14.0f\n", units.Fixed(r.size, 0), r.seconds, r.mb)
		}
		fmt.Println()
	}
	// What is promised of memory holds with record error too.
	for _, r := range []grown{g.years[0], g.years[len(g.years)-1]} {
		s, err := timed(nil, b.program, b.size(int(r.size), 50, 20)...)
		if err != nil {
			return g, err
		}
		fmt.Printf("with record error, %s years: %.2f s, %.0f MB\n", units.Fixed(r.size, 0), s.wall, s.peak)
		b.found["peak, "+units.Fixed(r.size, 0)+" years"] = max(r.mb, s.peak)
	}
	fmt.Println()
	for _, w := range g.workers {
		if w.size == 2 {
			b.found["2 workers"] = g.workers[0].seconds / w.seconds
		}
	}
	return g, nil
}

// grow runs all in turn, several times.
func (b *bench) grow(all []asked) ([]grown, error) {
	wall, peak := make([][]float64, len(all)), make([][]float64, len(all))
	for range min(b.runs, growthRuns) {
		for i, a := range all {
			s, err := timed(nil, b.program, a.args...)
			if err != nil {
				return nil, err
			}
			wall[i], peak[i] = append(wall[i], s.wall), append(peak[i], s.peak)
		}
	}
	var out []grown
	for i, a := range all {
		out = append(out, grown{a.size, median(wall[i]), median(peak[i])})
	}
	return out, nil
}

// workerCounts doubles from 1 up to the cores, and ends with all of them.
func workerCounts(cores int) []int {
	var out []int
	for n := 1; n < cores; n *= 2 {
		out = append(out, n)
	}
	return append(out, cores)
}

// write draws the growth.
func (g growth) write(file string, years int) error {
	note := fmt.Sprintf("From file to answer, Monte Carlo error only; %s years, 1,000 cells and all cores where not said otherwise.", units.Fixed(float64(years), 0))
	svg, err := g.draw(note)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	return os.WriteFile(file, svg, 0o666)
}
