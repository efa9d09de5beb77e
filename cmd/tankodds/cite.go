package main

import (
	"context"
	"io"
	"strings"

	"tankodds/report"
	"tankodds/report/site"
)

var citeCommand = command{
	name:  "cite",
	args:  "[FILE]",
	short: "what to cite: program, methods, and record",
	long: `
Prints, ready to paste, how to cite an answer: the program, the papers of the
method and of the generator of synthetic rain, and the record. FILE is a file
of daily rain or the evidence.json that size --out wrote; without one it is
the invented record, which is not to be cited.

With --json the same as data: type, authors, year, title, where, identifier,
and what it is cited for.`,
	example: "tankodds cite",
	maxArgs: 1,
	takes:   site.Cite,
	run:     runCite,
}

func runCite(_ context.Context, c *call) error {
	works, err := c.cited()
	if err != nil {
		return err
	}
	return c.show(func(w io.Writer) { report.CitedText(works).Text(w) }, func() ([]byte, error) { return report.CitedJSON(works), nil })
}

// cited lists what the answer from a record, or that in evidence, is cited with.
func (c *call) cited() ([]report.Work, error) {
	g := c.plan.Generator
	switch {
	case len(c.args) == 0:
		return report.Cited(version, released, g.Name, g.Source, nil, true), nil
	case strings.HasSuffix(c.args[0], ".json"):
		e, err := c.readEvidence(c.args[0])
		if err != nil {
			return nil, notConfirmed(err)
		}
		z, err := e.Sizing(c.args[0], version)
		if err != nil {
			return nil, notConfirmed(err)
		}
		return report.Cited(z.Version, released, z.Result.Generator, z.Result.GeneratorSource, z.Record, z.Source.Embedded), nil
	}
	s := c.plan.Record
	s.File = c.args[0]
	m, _, err := c.series(s, nil)
	if err != nil {
		return nil, err
	}
	return report.Cited(version, released, g.Name, g.Source, m, false), nil
}
