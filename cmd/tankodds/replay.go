package main

import (
	"context"

	"tankodds/report"
	"tankodds/report/site"
	"tankodds/sim"
)

var replayCommand = command{
	name:  "replay",
	args:  "[SITE.yaml]",
	short: "the real record, day by day, through one tank",
	long: `
Runs the real record through one tank, day by day, and says what was supplied,
what spilled, and on which dates the tank ran dry: the same years, and the same
days, as size counts for that tank. It first goes through the record's first
five years unseen, unless --start says with what it begins. With --out it writes
daily.csv, a row a day.

With no site file and no flags but --tank it replays the invented site and its
invented record.`,
	example: "tankodds replay --rain testdata/seattle-weather.csv --roof 1500sqft \\\n    --use 40gal/day --tank 3000gal",
	maxArgs: 1,
	takes:   site.Replay,
	run:     runReplay,
}

func runReplay(ctx context.Context, c *call) error {
	if !c.asked.Given("tank") {
		return misuse("name it with --tank, as in --tank 5000L or --tank 1500gal", "no tank to replay the record through")
	}
	p, err := c.asked.Plan(c.site(), "")
	if err != nil {
		return err
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	rec, series, err := c.series(p.Record, p.Study.StorageYear)
	if err != nil {
		return err
	}
	s := p.Study
	r, err := sim.Replay(series, s.Roofs, s.Uses, s.Tank(s.Sizes[0]))
	if err != nil {
		return err
	}
	z := &report.Replayed{Version: version, Title: title(p, rec), Record: rec, Result: r, Uses: s.Uses, Units: p.Units}
	return c.deliver(ctx, out, func() error { return out.write("daily.csv", bytesOf(z.DailyCSV)) }, z.Sheet().Text, z.JSON)
}
