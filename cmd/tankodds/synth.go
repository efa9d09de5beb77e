package main

import (
	"context"
	"fmt"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/site"
)

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
	takes:   site.Synth,
	run:     runSynth,
}

func runSynth(ctx context.Context, c *call) error {
	sources, err := c.sources()
	if err != nil || len(sources) != 1 {
		return misuse("tankodds synth FILE, or tankodds synth --demo", "synth needs one record")
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	rec, series, err := c.usable(sources[0], nil)
	if err != nil {
		return err
	}
	p, y := c.plan, series.Years
	seed, years := p.Study.Seed, p.Study.Years
	sampler, err := p.Generator.Fit(y)
	if err != nil {
		return &read.Error{File: rec.File, Text: err.Error()}
	}
	z := &report.Synthesis{Version: version, Record: rec, Generator: p.Generator, Seed: seed, Count: years, Units: printed(p.Units, "")}
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
	files := []rendering{{"fidelity.csv", z.FidelityCSV}, {"fidelity.json", z.JSON}}
	note := fmt.Sprintf("generator “%s”, seed %d", z.Generator.Name, z.Seed)
	if f, ok := figure.Fidelity(z.Fidelity, z.Record, note, figureOptions(z.Units)); ok {
		files = append(files, renderings(report.FigureFiles(f))...)
	}
	return writeAll(out, files)
}
