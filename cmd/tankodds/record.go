package main

import (
	"context"
	"fmt"
	"strings"

	"tankodds/rainfall"
	"tankodds/report"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
)

var recordCommand = command{
	name:  "record",
	args:  "FILE...",
	short: "what a rain record holds, its flaws and what it can carry",
	long: `
Reads each FILE of daily rain, plain or .gz ("-" is standard input), and says
what was read, which water years can be used and why the others cannot, the
climate, the driest times, whether the yearly rain has changed, which values
look implausible, and which reliability a record of that length can carry.
Nothing is corrected: a suspicious value is named for you to look at.

Several files give one sheet each. With --json each file is one JSON object on
a line of its own. --demo reads the invented record that the tool carries.`,
	example: "tankodds record --demo",
	maxArgs: -1,
	takes:   site.Record,
	run:     runRecord,
}

// runRecord reads every file before it prints, so that a bad one leaves
// nothing half said.
func runRecord(ctx context.Context, c *call) error {
	sources, err := c.sources()
	if err != nil {
		return err
	}
	var sheets []*rainfall.Summary
	for _, s := range sources {
		if err := ctx.Err(); err != nil {
			return err
		}
		m, _, err := c.series(s, nil)
		if err != nil {
			return err
		}
		sheets = append(sheets, m)
	}
	for i, m := range sheets {
		if c.plan.JSON {
			c.stdout.Write(report.RecordJSON(m))
			continue
		}
		if i > 0 {
			fmt.Fprintf(c.stdout, "\n%s\n\n", strings.Repeat("-", sheet.Width))
		}
		report.RecordSheet(m, printed(c.plan.Units, m.Unit)).Text(c.stdout)
	}
	return nil
}

// printed is the system asked for or, where none is, the file's own.
func printed(asked units.System, fileUnit string) units.System {
	switch {
	case asked != units.Unstated:
		return asked
	case fileUnit == "in":
		return units.US
	}
	return units.SI
}
