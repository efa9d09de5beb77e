package main

import (
	"context"
	"fmt"

	"tankodds/rainfall/gen"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/site"
	"tankodds/sim/backtest"
)

var backtestCommand = command{
	name:  "backtest",
	args:  "FILE...",
	short: "what the claims are worth: learn, claim, be judged by later years",
	long: `
Takes windows of each record, learns from them as if nothing else were known,
claims how many years, days and how much of the water will fail in the next
years, and is judged by the years that did follow: for several demands, for the
tank that the window says meets each target, and for tanks that are the same
for every generator.

It says, for years, days and water, how many outcomes lay inside the intervals
that claimed 50, 80 and 90 %, their interval score beside that of a naive claim,
the bias of what was stated, how often the safe size met its target and the band
held the size needed, each with its standard error, and the record where the
intervals held least.

The site is a plain roof and a steady use unless --roof and --use describe one;
its roofs are scaled to each demand. With --out it writes backtest.json,
cases.csv, a row a claim, and the reliability diagram.`,
	example: "tankodds backtest --demo --years 500 --step 15",
	maxArgs: -1,
	takes:   site.Backtest,
	run:     runBacktest,
}

func runBacktest(ctx context.Context, c *call) error {
	b, gens, err := c.backtesting()
	if err != nil {
		return err
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	z := &report.Backtest{Version: version}
	records, err := c.backtestRecords(ctx, b, z)
	if err != nil {
		return err
	}
	line := c.newProgress("testing")
	b.Progress = line.show
	z.Result, err = backtest.Run(ctx, b, records, gens)
	line.clear()
	if err != nil {
		return err
	}
	return c.deliver(ctx, out, func() error {
		files := []rendering{{"backtest.json", z.JSON}, {"cases.csv", z.CasesCSV}}
		if f, ok := figure.Calibration(z.Result); ok {
			files = append(files, renderings(report.FigureFiles(f))...)
		}
		return writeAll(out, files)
	}, z.Sheet().Text, z.JSON)
}

// backtestRecords reads the records named and lists them in z too.
func (c *call) backtestRecords(ctx context.Context, b *backtest.Study, z *report.Backtest) ([]backtest.Record, error) {
	sources, err := c.sources()
	if err != nil {
		return nil, err
	}
	var records []backtest.Record
	for _, s := range sources {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		rec, series, err := c.series(s, b.StorageYear)
		if err != nil {
			return nil, err
		}
		z.Records = append(z.Records, rec)
		records = append(records, backtest.Record{Name: rec.Name(), Years: series.Years})
	}
	return records, nil
}

// backtesting returns the backtest that the flags ask for.
func (c *call) backtesting() (*backtest.Study, []gen.Generator, error) {
	p := c.plan
	b, s := p.Backtest, p.Study
	b.Roofs, b.Uses, b.Rule, b.Seed, b.Workers = s.Roofs, s.Uses, s.Rule, s.Seed, s.Workers
	switch {
	case b.Least > b.Judge:
		return nil, nil, misuse(fmt.Sprintf("as in --judge-least %d", b.Judge), "--judge-least: %d years at least are more than the %d at most of --judge", b.Least, b.Judge)
	case len(b.Targets)+len(b.Days)+len(b.Water)+len(b.Tanks) == 0:
		return nil, nil, misuse("as in --targets 0.9", "--targets, --day-targets, --water-targets and --storages are none: nothing is left to test")
	}
	if err := b.Check(); err != nil {
		return nil, nil, misuse("tankodds help backtest says what each flag takes", "%v", err)
	}
	if len(p.Generators) == 0 {
		return b, gen.All(), nil
	}
	return b, p.Generators, nil
}
