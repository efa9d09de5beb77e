package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"

	"tankodds/rainfall/read"
	"tankodds/report"
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
record, and figures. The tank sizes asked about are the same for all. For more
than 20 records 10,000 years are simulated of each, unless --years says more. A
file that cannot be read costs its row and says why; the exit code is 0 where
any could be answered for.

With --out it writes answers.csv (a row a record: climate, quality, size, band,
reliabilities), curves.csv, provenance.txt (what each row rests on),
compare.json and the figures as SVG and PNG. Names in a CSV that begin like a
formula (=, +, -, @) have an apostrophe before them, so that no spreadsheet
runs them. A run with --out that is stopped goes on where it was when the same
is typed again.

Several machines may share the work: each does one share, --shard 3/8, and
leaves a part in the folder of --out; --merge puts the parts together, and
what it writes is what one machine would have written. --where, --sort and
--group choose, order and count what is put together: give them there too.

Without a site file, --roof and --use describe the site.`,
	example: "tankodds compare testdata/seattle-weather.csv \\\n    testdata/new-york-2012-2015.csv --roof 1500sqft \\\n    --use 40gal/day --target 0.8",
	maxArgs: -1,
	takes:   site.Compare,
	run:     runCompare,
}

func runCompare(ctx context.Context, c *call) error {
	if c.plan.Many.Merge {
		return c.mergeParts(ctx)
	}
	described, named := splitSite(c.args)
	if len(named) == 0 {
		return misuse("tankodds compare site.yaml a.csv b.csv", "no record to compare")
	}
	files, err := recordsOf(named)
	if err != nil {
		return err
	}
	job := &comparing{call: c, files: files}
	if err := job.locate(); err != nil {
		return err
	}
	plan, err := c.asked.Plan(described, job.files[0])
	if err != nil {
		return err
	}
	plan.ForRecords(len(job.files))
	job.plan = plan
	head := job.head()
	if c.plan.Many.Shard > 0 {
		return c.workShard(ctx, job, head)
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	part, err := c.openPart(out, head)
	if err != nil {
		return err
	}
	defer part.close()
	if err := job.work(ctx, part); err != nil {
		return part.stopped(err)
	}
	return c.tell(ctx, out, []*report.Part{part.Part}, part.remove)
}

// comparing is the work on the records of one comparison.
type comparing struct {
	*call
	plan    *site.Plan // the first record's
	files   []string
	list    *read.Listing // of stations, nil for none
	listSum string
	leftOut int
}

// locate reads the list of stations and leaves out what it tells need not be worked
// on.
func (j *comparing) locate() error {
	m := j.call.plan.Many
	if m.Stations == "" {
		return report.KnownColumns(nil, m)
	}
	data, err := site.ReadPlain(m.Stations, mostListBytes)
	if err != nil {
		return &read.Error{File: m.Stations, Text: "cannot be read: " + err.Error(), Hint: "give --stations the path of a list of stations, which has a header and a line a station, as in station,latitude,longitude,elevation"}
	}
	if j.list, err = read.ReadListing(m.Stations, data); err != nil {
		return err
	}
	if err := report.KnownColumns(j.list, m); err != nil {
		return err
	}
	sum := sha256.Sum256(data)
	j.listSum = hex.EncodeToString(sum[:])
	kept, err := report.Before(j.files, j.list, m.Where)
	if err != nil {
		return err
	}
	files := make([]string, len(kept))
	for i, k := range kept {
		files[i] = j.files[k]
	}
	j.leftOut, j.files = len(j.files)-len(files), files
	return nil
}

// head says what the work is, all of it as one share unless one is asked for.
func (j *comparing) head() report.PartHead {
	p := j.plan
	in := report.Inputs{Title: p.Name, Units: p.Units, Cover: p.Cover, Record: p.Record, Generator: p.Generator.Name, Study: p.Study}
	in.Record.Embedded, in.Record.File = false, ""
	sum := sha256.Sum256([]byte(strings.Join(j.files, "\n")))
	return report.PartHead{
		Version: version, Inputs: in, Records: len(j.files), List: hex.EncodeToString(sum[:]), Listing: j.listSum, LeftOut: j.leftOut,
		Shard: cmp.Or(p.Many.Shard, 1), Shards: cmp.Or(p.Many.Shards, 1), Command: j.withoutShare(),
	}
}

// work answers for each record of a part that is not done. Many are worked on side
// by side, each on one core; few one after the other, each on all.
func (j *comparing) work(ctx context.Context, part *partFile) error {
	todo, err := part.todo(ctx, j.files)
	if err != nil {
		return err
	}
	workers, cores := 1, cmp.Or(j.plan.Study.Workers, runtime.GOMAXPROCS(0))
	each := j.plan.Study.Workers
	if len(todo) >= 2*cores {
		workers, each = cores, 1
	}
	line := j.newProgress(fmt.Sprintf("records, of %d", len(todo)))
	defer line.clear()
	err = sim.Each(ctx, workers, len(todo),
		func(k int) (*report.Row, error) { return j.answer(ctx, todo[k], each) },
		func(k int, r *report.Row) error {
			line.show(k+1, len(todo))
			return part.write(r)
		})
	if err == nil {
		err = ctx.Err()
	}
	if err == nil {
		err = part.seal()
	}
	return err
}

// answer answers for one record, or says why it cannot. Its error is that the work
// is stopped.
func (j *comparing) answer(ctx context.Context, at, workers int) (*report.Row, error) {
	row, err := report.RowOf(ctx, version, j.plan, disk{j.stdin}, j.files[at], at, workers)
	if err == nil {
		row.Station.Locate(j.list)
	}
	return row, err
}

// tell shows what parts say together, and writes it where a folder is asked for.
// done is done once that is written.
func (c *call) tell(ctx context.Context, out *folder, parts []*report.Part, done func()) error {
	z, err := report.Gather(parts)
	if err != nil {
		return unreadable(err)
	}
	if z.Answered() == 0 {
		done()
		file := "FILE"
		if len(z.Stations) == 1 {
			file = quotedWord(z.Stations[0].File)
		}
		return &problem{code: exitFailed, text: noneAnswered(z), hint: fmt.Sprintf("tankodds record %s says what a record is worth", file)}
	}
	m := c.plan.Many
	z.Group = m.Group
	if err := z.Select(m.Where, m.Sort, m.Falling); err != nil {
		return err
	}
	if err := z.Work(); err != nil {
		return unreadable(err)
	}
	page, err := z.Sheet()
	if err != nil {
		return unreadable(err)
	}
	text := func(w io.Writer) {
		done()
		page.Text(w)
	}
	json := func() ([]byte, error) {
		done()
		var b bytes.Buffer
		err := z.WriteJSON(&b)
		return b.Bytes(), err
	}
	return c.deliver(ctx, out, func() error { return writeComparison(out, z) }, text, json)
}

// unreadable is that of a part whose rows cannot be read again, or a slip of the
// keyboard as it is.
func unreadable(err error) error {
	if slip := (*site.Misuse)(nil); errors.As(err, &slip) {
		return err
	}
	return cannot("", "the rows of the comparison cannot be read: %s", cause(err))
}

// noneAnswered says why no record could be answered for: of one, why; of several,
// why of the first.
func noneAnswered(z *report.Comparison) string {
	if len(z.Stations) == 1 {
		return z.Stations[0].Reason
	}
	return fmt.Sprintf("none of %d records could be answered for; the first: %s", len(z.Stations), z.Stations[0].Reason)
}
