package main

import (
	"context"

	"tankodds/report/site"
	"tankodds/report/units"
)

var reportCommand = command{
	name:  "report",
	args:  "EVIDENCE.json",
	short: "page, sheet and figures again from evidence, without simulating",
	long: `
Reads the evidence that size --out wrote and shows the answer it holds, as
size did; with --out it writes report.html, evidence.pdf, curves.csv,
evidence.json and the figures again, byte for byte as they were. Nothing is
simulated and the record is not needed: to find out whether the numbers are
what the record comes to, use recheck.

With --units the same answer is printed in the other system. Evidence that was
altered after it was written is refused.

Exit code 3: the evidence was altered, or is of a form that this version does
not read.`,
	example: "tankodds report sheet/evidence.json",
	maxArgs: 1,
	takes:   site.Report,
	run:     runReport,
}

func runReport(ctx context.Context, c *call) error {
	if len(c.args) == 0 {
		return misuse("name it, as in tankodds report out/evidence.json", "no evidence to report")
	}
	e, err := c.readEvidence(c.args[0])
	if err != nil {
		return notConfirmed(err)
	}
	z, err := e.Sizing(c.args[0], version)
	if err != nil {
		return notConfirmed(err)
	}
	if c.plan.Units != units.Unstated {
		z.Units = c.plan.Units
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	return c.deliver(ctx, out, func() error { return writeSizing(out, z) }, z.Sheet().Text, z.JSON)
}
