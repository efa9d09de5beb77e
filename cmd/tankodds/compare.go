package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"tankodds/rainfall"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/site"
)

var compareCommand = command{
	name:  "compare",
	args:  "[SITE.yaml] FILE…",
	short: "the same site under several records",
	long: `
Answers for the same site under each of several rain records: one table, one
figure with the curves together and the size that each needs for the target.
The tank sizes asked about are the same for all. With --out it writes
compare.csv, compare.json and the figure as SVG and PNG. Names in a CSV that
begin like a formula (=, +, -, @) have an apostrophe before them, so that no
spreadsheet runs them.

Without a site file, --roof and --use describe the site.`,
	example: "tankodds compare testdata/seattle-weather.csv \\\n    testdata/new-york-2012-2015.csv --roof 1500sqft \\\n    --use 40gal/day --target 0.8",
	maxArgs: -1,
	takes:   site.Compare,
	run:     runCompare,
}

func runCompare(ctx context.Context, c *call) error {
	described, files := splitSite(c.args)
	if len(files) == 0 {
		return misuse("tankodds compare site.yaml a.csv b.csv", "no record to compare")
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	z := &report.Comparison{Version: version}
	type question struct {
		plan   *site.Plan
		rec    *rainfall.Summary
		series *rainfall.Series
	}
	var all []question // every record is read before the first long run
	for _, file := range files {
		// Each record gets a plan of its own: a study is not shared. The
		// sizes of the first hold for all.
		p, err := c.asked.Plan(described, file)
		if err != nil {
			return err
		}
		rec, series, err := c.usable(p.Record, p.Study.StorageYear)
		if err != nil {
			return err
		}
		all = append(all, question{p, rec, series})
		p.Study.Sizes = all[0].plan.Study.Sizes
		p.Name, z.Title, z.Units = "", p.Name, p.Units
	}
	for i, q := range all {
		s, err := c.answer(ctx, q.plan, q.rec, q.series, fmt.Sprintf("record %d of %d", i+1, len(all)))
		if err != nil {
			return err
		}
		z.Sizings = append(z.Sizings, s)
	}
	return c.deliver(ctx, out, func() error { return writeComparison(out, z) }, z.Sheet().Text, z.JSON)
}

// splitSite takes the site file from the front of the arguments.
func splitSite(args []string) (described string, files []string) {
	if len(args) > 0 {
		if ext := strings.ToLower(filepath.Ext(args[0])); ext == ".yaml" || ext == ".yml" {
			return args[0], args[1:]
		}
	}
	return "", args
}

func writeComparison(out *folder, z *report.Comparison) error {
	files := []rendering{{"compare.csv", z.CSV}, {"compare.json", z.JSON}}
	var all []figure.Compared
	for _, s := range z.Sizings {
		all = append(all, figure.Compared{Name: s.Record.Name(), Result: s.Result})
	}
	if f, ok := figure.Compare(all, figureOptions(z.Units)); ok {
		files = append(files, figureFiles(f)...)
	}
	return writeAll(out, files)
}
