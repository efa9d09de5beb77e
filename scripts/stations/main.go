// Stations writes a folder of made records of daily rain, to try and to measure a
// comparison of many:
//
//	go run ./scripts/stations [-n 200] [-years 30] [-seed 1] [-bad 8] [-real DIR] FOLDER
//
// The rain is that of the invented climates of sim/known, at each station in a
// measure of its own and ending in another year, with holes as gauges have them. With
// -real every other station is a piece cut from one of the records in that folder
// instead, where one is long enough. Stations that are bad on purpose lie among the
// others: an empty file, a header alone, a gauge without rain, and a line cut off.
// The same flags give the same bytes.
package main

import (
	"bufio"
	"cmp"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/sim/known"
)

// maker makes stations.
type maker struct {
	n, years, bad int
	seed          uint64
	real          []*rainfall.Record // long enough to cut from
	worlds        []*known.World
}

func main() {
	m := &maker{}
	flag.IntVar(&m.n, "n", 200, "how many stations, the bad ones among them")
	flag.IntVar(&m.years, "years", 30, "whole calendar years of each")
	flag.IntVar(&m.bad, "bad", 8, "how many of them are bad")
	flag.Uint64Var(&m.seed, "seed", 1, "of the rain")
	real := flag.String("real", "", "folder of real records to cut pieces from")
	flag.Parse()
	folder := flag.Arg(0)
	if flag.NArg() > 1 {
		folder = ""
	}
	if err := m.run(*real, folder); err != nil {
		fmt.Fprintln(os.Stderr, "stations:", err)
		os.Exit(1)
	}
}

func (m *maker) run(real, folder string) error {
	if folder == "" || m.n < 1 || m.years < 1 || m.bad < 0 || m.bad > m.n {
		return fmt.Errorf("one folder to write into, at least one station and one year, and no more bad ones than stations")
	}
	if real != "" {
		if err := m.readReal(real); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	m.worlds = known.Worlds()
	for k := range m.n {
		path := filepath.Join(folder, fmt.Sprintf("s%05d.csv", k+1))
		if err := m.write(path, k); err != nil {
			return err
		}
	}
	return nil
}

// readReal keeps the records of a folder that have the years asked for and one more.
func (m *maker) readReal(folder string) error {
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		r, err := read.File(path, read.Options{})
		if err == nil && len(r.Depth) >= (m.years+2)*366 {
			m.real = append(m.real, r)
		}
		return nil // what cannot be read is none to cut from
	})
	if err == nil && len(m.real) == 0 {
		err = fmt.Errorf("%s: no record of more than %d years", folder, m.years+1)
	}
	return err
}

// write writes station k, from 0.
func (m *maker) write(path string, k int) (err error) {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = cmp.Or(err, f.Close()) }()
	rng := gen.Source(m.seed, 0, uint64(k))
	first, depth := m.invented(k, rng)
	if len(m.real) > 0 && k%2 == 1 {
		first, depth = m.cut(rng)
	}
	// The bad ones are spread evenly, each of another kind than the one before.
	switch before := k * m.bad / m.n; {
	case (k+1)*m.bad/m.n == before:
		return table(f, first, depth, 0)
	case before%4 == 0:
		return nil // empty
	case before%4 == 1:
		return table(f, first, nil, 0)
	case before%4 == 2:
		return table(f, first, make([]float64, len(depth)), 0)
	default:
		return table(f, first, depth, 4)
	}
}

// invented makes the rain of whole calendar years in one of the climates.
func (m *maker) invented(k int, rng *rand.Rand) (rainfall.Date, []float64) {
	w := m.worlds[k%len(m.worlds)]
	y := w.Years(m.years+1, rng)
	size := 0.6 + rng.Float64()
	year := 2024 - rng.IntN(10) - m.years
	first := rainfall.Day(year+1, time.January, 1)
	days := int(rainfall.Day(year+1+m.years, time.January, 1) - first)
	depth := make([]float64, days)
	calendar := rainfall.Calendar(w.Start)
	for i := range depth {
		day := first + rainfall.Date(i)
		label := calendar.Label(day)
		at := min(int(day-calendar.First(label)), rainfall.DaysPerYear-1)
		depth[i] = size * y.Rain[label-year][at]
		if rng.IntN(500) == 0 {
			depth[i] = math.NaN()
		}
	}
	return first, depth
}

// cut cuts whole calendar years from a real record.
func (m *maker) cut(rng *rand.Rand) (rainfall.Date, []float64) {
	r := m.real[rng.IntN(len(m.real))]
	end := r.First + rainfall.Date(len(r.Depth))
	from, _, _ := r.First.YMD()
	to, _, _ := end.YMD()
	year := from + 1 + rng.IntN(to-from-m.years)
	first, last := rainfall.Day(year, time.January, 1), rainfall.Day(year+m.years, time.January, 1)
	return first, r.Depth[first-r.First : last-r.First]
}

// table writes a plain table of dates and mm, a blank for a missing day, and leaves
// out so many of the last bytes.
func table(to io.Writer, first rainfall.Date, depth []float64, less int) error {
	text := []byte("date,rain_mm\n")
	for i, mm := range depth {
		text = fmt.Appendf(text, "%v,", first+rainfall.Date(i))
		if mm == mm {
			text = fmt.Appendf(text, "%.1f", mm)
		}
		text = append(text, '\n')
	}
	w := bufio.NewWriter(to)
	w.Write(text[:len(text)-min(less, len(text))])
	return w.Flush()
}
