package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"

	"tankodds/report/site"
)

// demoRainName is the name under which new writes the demo's record.
const demoRainName = "carrow-hill.csv"

var newCommand = command{
	name:  "new",
	args:  "[DIR]",
	short: "write a commented site file to start from",
	long: `
Writes site.yaml, a site file that explains its own keys, and beside it the
invented daily record that it uses, so that it runs as written. DIR is created
where it does not exist; without it the files go to the current folder. The
site is in metric units, or with --units us in those of the United States.
Nothing that is already there is overwritten.`,
	example: "tankodds new pottery",
	maxArgs: 1,
	takes:   site.New,
	run:     runNew,
}

func runNew(ctx context.Context, c *call) error {
	dir := "."
	if len(c.args) > 0 {
		dir = c.args[0]
	}
	out, err := openFolder(dir)
	if err != nil {
		return err
	}
	defer out.discard()
	out.keep = true
	if err := out.write(site.FileName, writeText(site.File(c.plan.Units))); err != nil {
		return err
	}
	if err := out.write(demoRainName, writeText(string(demoCSV))); err != nil {
		return err
	}
	if err := out.commit(ctx); err != nil {
		return err
	}
	file := filepath.Join(dir, site.FileName)
	fmt.Fprintf(c.stdout, "wrote %s and %s, an invented record\nnext: tankodds size %s\n",
		file, filepath.Join(dir, demoRainName), file)
	return nil
}

func writeText(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}
