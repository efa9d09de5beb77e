package main

import (
	"context"

	"tankodds/rainfall"
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

With --meter it holds the model against the readings of a meter at a tank that
is built: whether the uses want what is stated, and by what the inflow would
have to be multiplied to fit ("tankodds help meter").

With no site file and no flags but --tank it replays the invented site and its
invented record.`,
	example: "tankodds replay --rain testdata/seattle-weather.csv --roof 1500sqft \\\n    --use 40gal/day --tank 3000gal",
	maxArgs: 1,
	takes:   site.Replay,
	run:     runReplay,
}

func runReplay(ctx context.Context, c *call) error {
	p, err := c.asked.Plan(c.site(), "")
	if !c.asked.Given("tank") && (err != nil || len(p.Study.Joined) == 0) {
		return misuse("name it with --tank, as in --tank 5000L or --tank 1500gal", "no tank to replay the record through")
	}
	if err == nil {
		err = p.CheckMeter()
	}
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
		return p.Reading(err)
	}
	s := p.Study
	s.Uses = s.WithBeds(series)
	r, err := sim.Replay(series, s.Roofs, s.Uses, s.Tank(s.Sizes[0]))
	if err != nil {
		return err
	}
	z := &report.Replayed{Version: version, Title: title(p, rec), Record: rec, Result: r, Uses: s.Uses, Units: p.Units}
	if p.Meter.File != "" {
		if z.Meter, err = c.metered(ctx, p, series); err != nil {
			return err
		}
	}
	write := func() error {
		err := out.write("daily.csv", bytesOf(z.DailyCSV))
		if err == nil && z.Meter != nil {
			err = out.write("meter.csv", bytesOf(z.MeterCSV))
		}
		return err
	}
	return c.deliver(ctx, out, write, z.Sheet().Text, z.JSON)
}

// metered holds the model of the record against the readings asked for.
func (c *call) metered(ctx context.Context, p *site.Plan, series *rainfall.Series) (*report.Metered, error) {
	file, readings, err := p.ReadMeter(series, c.stdin)
	if err != nil {
		return nil, err
	}
	s := p.Study
	m, err := sim.Meter(ctx, series, s.Roofs, s.Uses, s.Tank(s.Sizes[0]), readings, s.Level, s.Seed, s.Workers)
	if err != nil {
		return nil, err
	}
	return &report.Metered{MeterFile: *file, Metered: *m}, nil
}
