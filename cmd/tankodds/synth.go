package main

import (
	"context"
	"fmt"

	"github.com/spf13/pflag"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/units"
	"tankodds/sim"
)

// synthYears is how many synthetic years are made unless --years says.
const synthYears = 100

// mostSynthYears bounds them: they are held in memory and written out.
const mostSynthYears = 100_000

var synthCommand = command{
	name:  "synth",
	args:  "FILE",
	short: "synthetic years from a record, and how true to it they are",
	long: `
Makes synthetic rain years from a record with one of the generators, and
prints the fidelity table: each statistic of the record beside what synthetic
records of the same length have, and whether it lies inside their 5 to 95 %
range. The driest 3, 6, 12 and 24 months and the longest dry spell are among
them: they are what empties a tank.

With --out it writes synthetic.csv, a row a day, fidelity.csv, fidelity.json
and the table as a figure.`,
	example: "tankodds synth --demo",
	maxArgs: 1,
	flags:   []func(*pflag.FlagSet, *options){readFlags, demoFlag, synthFlags, unitsFlag, outFlag, printFlags},
	run:     runSynth,
}

func synthFlags(fs *pflag.FlagSet, o *options) {
	fs.StringVar(&o.generator, "generator", "", "`NAME` of the rain generator: "+generatorNames())
	fs.IntVar(&o.years, "years", 0, fmt.Sprintf("make `N` synthetic years (%d)", synthYears))
	fs.Uint64Var(&o.seed, "seed", 0, fmt.Sprintf("begin every random draw from `N`; the same seed, the same answer (%d)", sim.DefaultSeed))
}

func runSynth(ctx context.Context, c *call) error {
	o := c.opt
	r := rainOptions{demo: o.demo}
	switch {
	case o.demo == (len(c.args) == 1):
		return misuse("tankodds synth FILE, or tankodds synth --demo", "synth needs one record")
	case len(c.args) == 1:
		r.file = c.args[0]
	}
	if err := o.readOptions(&r); err != nil {
		return err
	}
	g, err := gen.Find(o.generator)
	if err != nil {
		return misuse("", "--generator: %v", err)
	}
	years, seed := synthYears, uint64(sim.DefaultSeed)
	if o.given("years") {
		if years = o.years; years < 1 || years > mostSynthYears {
			return misuse("", "--years %d is not from 1 to %s", years, units.Fixed(mostSynthYears, 0))
		}
	}
	if o.given("seed") {
		seed = o.seed
	}
	system := units.SI
	if o.units != "" {
		if system, err = units.ParseSystem(o.units); err != nil {
			return misuse("", "--units: %v", err)
		}
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	rec, series, err := c.series(r)
	if err != nil {
		return err
	}
	y := series.Years
	if y.Len() == 0 {
		return noUsableYear(rec)
	}
	sampler, err := g.Fit(y)
	if err != nil {
		return &read.Error{File: rec.File, Text: err.Error()}
	}
	z := &report.Synthesis{Version: version, Record: rec, Generator: g, Seed: seed, Count: years, Units: system}
	if d, ok := sampler.(gen.Described); ok {
		z.Params = d.Parameters()
	}
	z.Rain = make([]float64, years*rainfall.DaysPerYear)
	sampler.Sample(z.Rain, gen.Source(seed, 0, 0))
	line := c.newProgress("judging")
	line.show(0, 1)
	z.Fidelity = gen.Fidelity(y, sampler, seed, years)
	line.clear()
	if err := ctx.Err(); err != nil {
		return err
	}
	return c.deliver(ctx, out, func() error { return writeSynthesis(out, z) }, z.Sheet().Text, z.JSON)
}

func writeSynthesis(out *folder, z *report.Synthesis) error {
	if err := out.write("synthetic.csv", z.WriteRain); err != nil {
		return err
	}
	if err := out.write("fidelity.csv", bytesOf(z.FidelityCSV)); err != nil {
		return err
	}
	if err := out.write("fidelity.json", bytesOf(z.JSON)); err != nil {
		return err
	}
	note := fmt.Sprintf("generator “%s”, seed %d", z.Generator.Name, z.Seed)
	f, ok := figure.Fidelity(z.Fidelity, z.Record, note, figureOptions(z.Units))
	if !ok {
		return nil
	}
	return writeFigures(out, []figure.Figure{f})
}
