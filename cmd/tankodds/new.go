package main

import (
	"context"
	_ "embed"
	"fmt"
	"io"
	"path/filepath"
)

// siteTemplate is the site file that new writes and that the demo runs. All
// in it is invented.
//
//go:embed site.yaml
var siteTemplate string

// The names under which new writes the demo.
const (
	siteFileName = "site.yaml"
	demoRainName = "carrow-hill.csv"
)

var newCommand = command{
	name:  "new",
	args:  "[DIR]",
	short: "write a commented site file to start from",
	long: `
Writes site.yaml, a site file that explains its own keys, and beside it the
invented daily record that it uses, so that it runs as written. DIR is created
where it does not exist; without it the files go to the current folder.
Nothing that is already there is overwritten.`,
	example: "tankodds new pottery",
	maxArgs: 1,
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
	if err := out.write(siteFileName, writeText(siteTemplate)); err != nil {
		return err
	}
	if err := out.write(demoRainName, writeText(string(demoCSV))); err != nil {
		return err
	}
	if err := out.commit(ctx); err != nil {
		return err
	}
	site := filepath.Join(dir, siteFileName)
	fmt.Fprintf(c.stdout, "wrote %s and %s, an invented record\nnext: tankodds size %s\n",
		site, filepath.Join(dir, demoRainName), site)
	return nil
}

func writeText(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}
