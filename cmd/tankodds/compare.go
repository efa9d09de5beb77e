package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/site"
	"tankodds/sim"
)

var compareCommand = command{
	name:  "compare",
	args:  "[SITE.yaml] FILE|FOLDER|@LIST…",
	short: "the same site under several records, or thousands",
	long: `
Answers for the same site under each of several rain records, given as files,
folders (every file in them) or lists (@LIST: a file name a line): a row a
record, and a figure with the curves of the first forty. The tank sizes asked
about are the same for all. For more than 20 records 10,000 years are simulated
of each, unless --years says more. A file that cannot be read costs its row and
says why; the exit code is 0 where any could be answered for.

With --out it writes answers.csv (a row a record: climate, quality, size, band,
reliabilities), curves.csv, provenance.txt (what each row rests on),
compare.json and the figure as SVG and PNG. Names in a CSV that begin like a
formula (=, +, -, @) have an apostrophe before them, so that no spreadsheet
runs them.

Without a site file, --roof and --use describe the site.`,
	example: "tankodds compare testdata/seattle-weather.csv \\\n    testdata/new-york-2012-2015.csv --roof 1500sqft \\\n    --use 40gal/day --target 0.8",
	maxArgs: -1,
	takes:   site.Compare,
	run:     runCompare,
}

func runCompare(ctx context.Context, c *call) error {
	described, named := splitSite(c.args)
	if len(named) == 0 {
		return misuse("tankodds compare site.yaml a.csv b.csv", "no record to compare")
	}
	files, err := recordsOf(named)
	if err != nil {
		return err
	}
	first, err := c.asked.Plan(described, files[0])
	if err != nil {
		return err
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	first.Many(len(files))
	z := &report.Comparison{Version: version, Title: first.Name, Units: first.Units}
	rests, curves, err := newSpools(out != nil)
	if err != nil {
		return err
	}
	defer rests.close()
	defer curves.close()
	if err := c.compareAll(ctx, first, files, z, rests, curves); err != nil {
		return err
	}
	if z.Answered() == 0 {
		return &problem{code: exitFailed, text: noneAnswered(z), hint: "tankodds record FILE says what a record is worth"}
	}
	write := func() error { return writeComparison(out, z, rests, curves) }
	return c.deliver(ctx, out, write, z.Sheet().Text, z.JSON)
}

// noneAnswered says why no record could be answered for: of one, why; of several,
// why of the first.
func noneAnswered(z *report.Comparison) string {
	if len(z.Stations) == 1 {
		return z.Stations[0].Reason
	}
	return fmt.Sprintf("none of %d records could be answered for; the first: %s", len(z.Stations), z.Stations[0].Reason)
}

// compareAll answers for each record in turn. Many are worked on side by side, each
// on one core; few one after the other, each on all.
func (c *call) compareAll(ctx context.Context, first *site.Plan, files []string, z *report.Comparison, rests, curves *spool) error {
	workers, cores := 1, cmp.Or(first.Study.Workers, runtime.GOMAXPROCS(0))
	each := first.Study.Workers
	if len(files) >= 2*cores {
		workers, each = cores, 1
	}
	line := c.newProgress(fmt.Sprintf("records, of %d", len(files)))
	defer line.clear()
	type done struct {
		sizing *report.Sizing
		err    error
	}
	return sim.Each(ctx, workers, len(files),
		func(i int) (done, error) {
			p, study := *first, *first.Study
			p.Study, p.Name, p.Record.Embedded, p.Record.File = &study, "", false, files[i]
			study.Workers, study.Progress = each, nil
			rec, series, err := c.usable(p.Record, study.StorageYear)
			var r *sim.Result
			if err == nil {
				r, err = sim.Size(ctx, series, p.Generator, &study)
			}
			if ctx.Err() != nil {
				return done{}, ctx.Err()
			}
			if err != nil {
				return done{err: err}, nil
			}
			return done{sizing: &report.Sizing{Version: version, Title: title(&p, rec), Record: rec, Result: r, Units: p.Units, Source: p.Record, Cover: p.Cover}}, nil
		},
		func(i int, d done) error {
			line.show(i+1, len(files))
			if d.err != nil {
				z.AddFailed(files[i], d.err)
				return rests.write([]byte(files[i] + ": left out: " + d.err.Error() + "\n"))
			}
			text, err := report.CurveRows(d.sizing, z.Answered() == 0)
			if err != nil {
				return err
			}
			z.Add(d.sizing)
			if err := curves.write(text); err != nil {
				return err
			}
			return rests.write([]byte(strings.Join(d.sizing.Provenance(), "\n") + "\n"))
		})
}

// recordsOf lists the files named: each file, those of a folder, and those of a
// list, whose names are seen from where it lies.
func recordsOf(named []string) (out []string, err error) {
	for _, name := range named {
		switch info, statErr := os.Stat(name); {
		case strings.HasPrefix(name, "@"):
			listed, err := listedIn(name[1:])
			if err != nil {
				return nil, err
			}
			out = append(out, listed...)
		case statErr == nil && info.IsDir():
			entries, err := os.ReadDir(name)
			if err != nil {
				return nil, &read.Error{File: name, Text: "cannot be read: " + cause(err)}
			}
			n := len(out)
			for _, e := range entries {
				if !strings.HasPrefix(e.Name(), ".") && !e.IsDir() {
					out = append(out, filepath.Join(name, e.Name()))
				}
			}
			if len(out) == n {
				return nil, &read.Error{File: name, Text: "holds no file", Hint: "name a folder of records"}
			}
		case statErr != nil && name != "-": // a slip of the keyboard, told before the long run
			return nil, &read.Error{File: name, Text: "cannot be read: " + cause(statErr)}
		default:
			out = append(out, name)
		}
	}
	return out, nil
}

// mostListBytes bounds a list: a million names.
const mostListBytes = 1 << 27

// listedIn reads a list of files: one a line, # begins a comment.
func listedIn(list string) (out []string, err error) {
	data, err := site.ReadPlain(list, mostListBytes)
	if err != nil {
		return nil, &read.Error{File: list, Text: "cannot be read: " + err.Error(), Hint: "a list has a file name a line"}
	}
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			if !filepath.IsAbs(line) {
				line = filepath.Join(filepath.Dir(list), line)
			}
			out = append(out, line)
		}
	}
	if len(out) == 0 {
		return nil, &read.Error{File: list, Text: "names no file", Hint: "a list has a file name a line"}
	}
	return out, nil
}

// spool is text that is kept on disk until it is written to its place; nothing
// where it is not wanted.
type spool struct{ file *os.File }

// newSpools returns two, for what grows with the records.
func newSpools(wanted bool) (a, b *spool, err error) {
	a, b = &spool{}, &spool{}
	if !wanted {
		return a, b, nil
	}
	for _, s := range []*spool{a, b} {
		if s.file, err = os.CreateTemp("", "tankodds-*"); err != nil {
			a.close()
			return nil, nil, cannot("", "no temporary file can be made: %s", cause(err))
		}
	}
	return a, b, nil
}

func (s *spool) write(text []byte) error {
	if s.file == nil {
		return nil
	}
	_, err := s.file.Write(text)
	return err
}

// to copies all of it.
func (s *spool) to(w io.Writer) error {
	_, err := s.file.Seek(0, io.SeekStart)
	if err == nil {
		_, err = io.Copy(w, s.file)
	}
	return err
}

func (s *spool) close() {
	if s.file != nil {
		s.file.Close()
		os.Remove(s.file.Name())
	}
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

func writeComparison(out *folder, z *report.Comparison, rests, curves *spool) error {
	files := []rendering{{"answers.csv", z.AnswersCSV}, {"compare.json", z.JSON}}
	var all []figure.Compared
	if len(z.Stations) <= report.MostCurves {
		for _, s := range z.Sizings {
			all = append(all, figure.Compared{Name: s.Record.Name(), Result: s.Result})
		}
	}
	if f, ok := figure.Compare(all, figureOptions(z.Units)); ok {
		files = append(files, figureFiles(f)...)
	}
	if err := out.write("curves.csv", curves.to); err != nil {
		return err
	}
	if err := out.write("provenance.txt", rests.to); err != nil {
		return err
	}
	return writeAll(out, files)
}
