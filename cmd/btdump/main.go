package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/sim"
)

func main() {
	out := os.Args[1]
	var gens []rainfall.Generator
	for _, n := range strings.Split(os.Args[2], ",") {
		g, err := rainfall.FindGenerator(n)
		if err != nil {
			panic(err)
		}
		gens = append(gens, g)
	}
	var recs []sim.BTRecord
	for _, n := range []string{"newyork", "debilt", "dublin", "phoenix", "abbeville"} {
		r, err := rainfall.ReadFile("/tmp/bt/"+n+".dly", rainfall.ReadOptions{})
		if err != nil {
			panic(err)
		}
		s, err := r.Fill(r.StartMonth())
		if err != nil {
			panic(err)
		}
		fmt.Fprintln(os.Stderr, n, s.Years.Start, s.Years.Len())
		recs = append(recs, sim.BTRecord{n, s.Years})
	}
	f, _ := os.Create(out)
	w := bufio.NewWriter(f)
	enc := json.NewEncoder(w)
	t0 := time.Now()
	n := 0
	err := sim.BTRun(context.Background(), recs, gens, sim.BTOpt{
		Windows: []int{15, 20, 30}, Step: 10, Demands: []float64{.3, .5, .7}, Targets: []float64{.8, .9, .95},
		Fracs: []float64{.05, .1, .2}, Traces: 100, Reps: 100, RepTraces: 3, Seed: 1, Workers: 2}, func(c sim.BTRaw) { n++; enc.Encode(c) })
	if err != nil {
		panic(err)
	}
	w.Flush()
	f.Close()
	fmt.Fprintln(os.Stderr, n, time.Since(t0))
}
