package main

import (
	"cmp"
	"context"
	"io"
	"runtime"

	"tankodds/rainfall"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

var sizeCommand = command{
	name:  "size",
	args:  "[SITE.yaml]",
	short: "how big a tank, how sure, and where more storage stops paying",
	long: `
Builds thousands of synthetic rain years from a gauge's daily record, runs
every tank size through all of them, and answers: the smallest size that meets
the target and its band from the length of the record, the safe size, where
more storage stops paying, and what the real driest years would have done.

With no site file and no flags it answers for an invented site with an
invented record. With --out it writes report.html, evidence.pdf, curves.csv,
evidence.json and the figures as SVG and PNG.`,
	example: `tankodds size --rain testdata/seattle-weather.csv --roof 1500sqft \
    --use 40gal/day --tanks 500gal..10000gal/20 --target 0.8`,
	maxArgs: 1,
	takes:   site.Size,
	run:     runSize,
}

func runSize(ctx context.Context, c *call) error {
	p, err := c.asked.Plan(c.site(), "")
	if err != nil {
		return err
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	rec, series, err := c.usable(p.Record, p.Study.StorageYear)
	if err == nil {
		err = p.Record.Borrow(disk{c.stdin}, p.Record.Near, rec, series)
	}
	if err != nil {
		return p.Reading(err)
	}
	p.Study.Uses = p.Study.WithBeds(series)
	if !c.plan.JSON { // what is known already, while the rest is worked out
		report.SizingHead(title(p, rec), p.Study, p.Units).Head(c.stdout)
	}
	z, err := c.answer(ctx, p, rec, series, "simulating")
	if err != nil {
		return err
	}
	if p.Record.File != "-" { // which nobody can find again
		z.Source.Unpacked = z.Record.Unpacked
	}
	return c.deliver(ctx, out, func() error { return writeSizing(out, z) }, z.Sheet().Body, z.JSON)
}

// openOut opens the folder of --out; nil, which discards nothing, without it.
func (c *call) openOut() (*folder, error) {
	if c.plan.Out == "" {
		return nil, nil
	}
	out, err := openFolder(c.plan.Out)
	if err != nil {
		return nil, err
	}
	if _, err := out.listed(); err != nil {
		out.discard()
		return nil, err
	}
	out.workers = c.plan.Study.Workers
	c.filling(out)
	return out, nil
}

// answer answers a plan whose record is read.
func (c *call) answer(ctx context.Context, p *site.Plan, rec *rainfall.Summary, s *rainfall.Series, what string) (*report.Sizing, error) {
	if s.Years.Len() == 0 {
		return nil, site.NoUsableYear(rec)
	}
	line := c.newProgress(what)
	p.Study.Progress = line.show
	r, err := sim.Size(ctx, s, p.Generator, p.Study)
	line.clear()
	if err != nil {
		return nil, err
	}
	return report.NewSizing(version, p, rec, r), nil
}

// title is what the answer is headed with.
func title(p *site.Plan, rec *rainfall.Summary) string { return p.Title(rec) }

// deliver writes the files, if any are asked for, and then prints: a reader of
// standard output that has seen enough does not keep them from being written.
func (c *call) deliver(ctx context.Context, out *folder, write func() error, text func(io.Writer), json func() ([]byte, error)) error {
	if out != nil {
		if err := write(); err != nil {
			return err
		}
		if err := out.commit(ctx); err != nil {
			return err
		}
	}
	defer out.sayLeft(c.stderr)
	return c.show(text, json)
}

// show prints a result as text or, with --json, as JSON.
func (c *call) show(text func(io.Writer), json func() ([]byte, error)) error {
	if !c.plan.JSON {
		text(c.stdout)
		return nil
	}
	return bytesOf(json)(c.stdout)
}

// bytesOf makes a writer of a rendering for folder.write.
func bytesOf(render func() ([]byte, error)) func(io.Writer) error {
	return func(w io.Writer) error {
		b, err := render()
		if err != nil {
			return err
		}
		_, err = w.Write(b)
		return err
	}
}

// rendering is a file that is written and what renders it.
type rendering report.Rendering

func renderings(files []report.Rendering) (out []rendering) {
	for _, f := range files {
		out = append(out, rendering(f))
	}
	return out
}

// writeSizing writes the page, the sheet, the tables and the figures of a
// sizing, and then the evidence, which says what they were.
func writeSizing(out *folder, z *report.Sizing) error {
	if err := writeAll(out, renderings(z.Files())); err != nil {
		return err
	}
	return out.write(report.EvidenceName, bytesOf(func() ([]byte, error) { return z.EvidenceJSON(out.files...), nil }))
}

// writeAll renders files side by side, on as many cores as the run may take,
// and writes them in order.
func writeAll(out *folder, files []rendering) error {
	type made struct {
		b     []byte
		err   error
		fault any // what render panicked with
	}
	all := make([]chan made, len(files))
	for i := range all {
		all[i] = make(chan made, 1) // so that none waits to be rid of it
	}
	go func() {
		free := make(chan struct{}, cmp.Or(out.workers, runtime.GOMAXPROCS(0)))
		for i, r := range files {
			free <- struct{}{}
			go func() {
				var m made
				defer func() {
					m.fault = recover()
					all[i] <- m
					<-free
				}()
				m.b, m.err = r.Render()
			}()
		}
	}()
	for i, r := range files {
		m := <-all[i]
		if m.fault != nil {
			panic(m.fault) // where it is told as every other
		}
		if err := out.write(r.Name, bytesOf(func() ([]byte, error) { return m.b, m.err })); err != nil {
			return err
		}
	}
	return nil
}

func figureOptions(u units.System) figure.Options { return figure.Options{Units: u} }
