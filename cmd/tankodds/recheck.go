package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/pflag"

	"tankodds/rainfall"
	"tankodds/report"
)

var recheckCommand = command{
	name:  "recheck",
	args:  "EVIDENCE.json",
	short: "runs the evidence again and says whether every number agrees",
	long: `
Reads the evidence that size --out wrote, finds the record it rests on and
compares its SHA-256, runs the same study again, and lays every number and
every sentence beside what it came to now. The record is looked for beside the
evidence, where the evidence says it was, and in the folder above; --rain
names it otherwise. A record that was packed or unpacked by gzip is the same.

Words must agree letter for letter and numbers to one part in 1,000,000,000:
on one kind of processor they agree to the last digit. If another version
wrote the evidence, that is said; it is no disagreement if the numbers agree.

Exit code 0: everything agrees; 3: a value differs or the record was changed;
1: it could not be run.`,
	example: "tankodds recheck sheet/evidence.json",
	maxArgs: 1,
	flags:   []func(*pflag.FlagSet, *options){rainFlag, recheckFlags, printFlags},
	run:     runRecheck,
}

// recheckFlags say what of a recheck is shown.
func recheckFlags(fs *pflag.FlagSet, o *options) {
	fs.BoolVar(&o.all, "all", false, "list every value, not only those that differ")
	workFlags(fs, o)
}

// mostEvidenceBytes bounds an evidence file; one is well below a megabyte.
const mostEvidenceBytes = 64 << 20

func runRecheck(ctx context.Context, c *call) error {
	if len(c.args) == 0 {
		return misuse("name it, as in tankodds recheck out/evidence.json", "no evidence to recheck")
	}
	if c.opt.workers < 0 {
		return misuse("", "--workers %d is below 0", c.opt.workers)
	}
	file := c.args[0]
	if file == "-" && c.opt.rain == "-" {
		return misuse("name the record's file with --rain", "standard input cannot be both the evidence and the record")
	}
	e, err := c.readEvidence(file)
	if err != nil {
		return err
	}
	p, err := evidencePlan(file, e)
	if err != nil {
		return err
	}
	p.study.Workers = c.opt.workers
	found, err := c.findRecord(file, e.Inputs.Record)
	if err != nil {
		return err
	}
	again, err := c.again(ctx, p, e.Inputs, found)
	if err != nil {
		if found.state == report.RecordChanged && ctx.Err() == nil {
			return &problem{code: exitDisagrees, err: err, hint: "name the record as it was with --rain FILE",
				text: "the record was changed, and as it is now: " + err.Error()}
		}
		return err
	}
	out, err := report.NewRecheck(file, e, again, found.state, found.input)
	if err != nil {
		return err
	}
	if c.opt.json {
		b, err := out.JSON(c.opt.all)
		if err != nil {
			return err
		}
		if _, err := c.stdout.Write(b); err != nil {
			return err
		}
	} else {
		out.Text(c.stdout, c.opt.all)
	}
	switch input := out.ChangedInput(); {
	case out.Agrees():
		return nil
	case found.state == report.RecordChanged:
		return &problem{code: exitDisagrees, text: file + ": the record was changed since: " + found.input.File + " is not the file that the evidence rests on"}
	case input != "":
		return &problem{code: exitDisagrees, text: file + ": an input was changed by itself: " + input}
	}
	return &problem{code: exitDisagrees, text: file + ": a number or a word in it is not what its inputs come to"}
}

func (c *call) readEvidence(file string) (*report.Evidence, error) {
	fail := func(text string) error { return &rainfall.ReadError{File: file, Text: text} }
	var from io.Reader = c.stdin
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, fail("cannot be read: " + cause(err))
		}
		defer f.Close()
		from = f
	}
	b, err := io.ReadAll(io.LimitReader(from, mostEvidenceBytes+1))
	if err != nil {
		return nil, fail("cannot be read: " + cause(err))
	}
	if len(b) > mostEvidenceBytes {
		return nil, fail("too long for evidence")
	}
	return report.ReadEvidence(file, b)
}

// evidencePlan is the plan that the evidence was made by.
func evidencePlan(file string, e *report.Evidence) (*plan, error) {
	in := e.Inputs
	p := &plan{name: in.Title, study: e.Study, system: e.Units}
	fail := func(where string, err error) error {
		return &rainfall.ReadError{File: file, Text: "inputs." + where + ": " + err.Error()}
	}
	var err error
	if p.generator, err = rainfall.FindGenerator(in.Generator); err != nil {
		return nil, fail("generator", err)
	}
	if err := checkYears(e.Study.Years); err != nil {
		return nil, fail("study.years", err)
	}
	if e.Study.Replicates > mostReplicates {
		return nil, &rainfall.ReadError{File: file, Text: "inputs.study.resampled_records: more than can be run"}
	}
	r := in.Record
	if r.WaterYear < 0 || r.WaterYear > 12 || r.Since < 0 || r.Since > 9999 {
		return nil, &rainfall.ReadError{File: file, Text: "inputs.record: the water year's month is from 1 to 12, since a year, both 0 where not asked for"}
	}
	p.rain = rainOptions{
		ReadOptions: rainfall.ReadOptions{Unit: r.Unit, Station: r.Station, Dates: r.Dates, Column: r.Column},
		file:        r.File, demo: r.Embedded, waterYear: time.Month(r.WaterYear), since: r.Since,
	}
	return p, nil
}

// mostReplicates bounds the resampled records that evidence may ask for.
const mostReplicates = 100_000

// source is what evidence says of the record asked for.
func (r rainOptions) source() report.RecordInput {
	return report.RecordInput{File: r.file, Embedded: r.demo, Unit: r.Unit, Station: r.Station, Column: r.Column,
		Dates: r.Dates, WaterYear: int(r.waterYear), Since: r.since}
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// foundRecord is the file that stands for the evidence's record.
type foundRecord struct {
	bytes []byte
	input report.RecordInput // its name and SHA-256
	state report.RecordCheck
}

// findRecord looks for the record: the first candidate that is the same, else
// the first there is.
func (c *call) findRecord(file string, in report.RecordInput) (*foundRecord, error) {
	if in.Embedded && c.opt.rain == "" {
		return judgeRecord(demoRainName, demoCSV, in), nil
	}
	if c.opt.rain != "" {
		b, err := c.readAll(c.opt.rain)
		if err != nil {
			return nil, &rainfall.ReadError{File: c.opt.rain, Text: "cannot be read: " + cause(err)}
		}
		return judgeRecord(c.opt.rain, b, in), nil
	}
	if in.File == "-" {
		return nil, &rainfall.ReadError{File: file, Text: "the record came from standard input and is not here", Hint: "name its file with --rain FILE"}
	}
	var first *foundRecord
	for _, path := range recordPlaces(file, in.File) {
		b, err := os.ReadFile(path)
		if err != nil {
			continue
		}
		f := judgeRecord(path, b, in)
		if f.state != report.RecordChanged {
			return f, nil
		}
		if first == nil {
			first = f
		}
	}
	if first == nil {
		return nil, &rainfall.ReadError{File: file, Text: "the record " + filepath.Base(in.File) + " is missing", Hint: "put it beside the evidence, or name it with --rain FILE"}
	}
	return first, nil
}

func (c *call) readAll(path string) ([]byte, error) {
	if path == "-" {
		return io.ReadAll(c.stdin)
	}
	return os.ReadFile(path)
}

// recordPlaces lists where a record may lie: beside the evidence, where it
// was when the evidence was written, and a folder above, each as it was named
// and then packed or unpacked.
func recordPlaces(evidence, record string) []string {
	dir, base := filepath.Dir(evidence), filepath.Base(record)
	if evidence == "-" {
		dir = "."
	}
	var out []string
	for _, path := range []string{filepath.Join(dir, base), record, filepath.Join(dir, record), filepath.Join(dir, "..", base)} {
		if !slices.Contains(out, path) {
			out = append(out, path)
		}
	}
	for _, path := range out[:len(out):len(out)] {
		if plain, ok := bytes.CutSuffix([]byte(path), []byte(".gz")); ok {
			out = append(out, string(plain))
		} else {
			out = append(out, path+".gz")
		}
	}
	return out
}

// judgeRecord compares a file's SHA-256 with the evidence's: as it lies, then
// with gzip undone.
func judgeRecord(path string, b []byte, in report.RecordInput) *foundRecord {
	f := &foundRecord{bytes: b, state: report.RecordChanged}
	f.input.File, f.input.SHA256 = path, digest(b)
	if f.input.SHA256 == in.SHA256 {
		f.state = report.RecordSame
		return f
	}
	unpacked, err := rainfall.UnpackedSHA256(path, b)
	if err == nil && (unpacked == in.SHA256 || unpacked == in.Unpacked) {
		f.state = report.RecordRepacked
	}
	return f
}

// again runs the plan on the record found, which keeps the name it had.
func (c *call) again(ctx context.Context, p *plan, in report.Inputs, found *foundRecord) (*report.Sizing, error) {
	rec, err := rainfall.Read(found.input.File, found.bytes, p.rain.ReadOptions)
	if err != nil {
		return nil, err
	}
	if p.rain.demo {
		rec.Place = demoName
	}
	if rec.File = in.Record.File; found.state == report.RecordRepacked {
		rec.SHA256 = in.Record.SHA256
	}
	rec, s, err := p.rain.fill(rec)
	if err != nil {
		return nil, err
	}
	z, err := c.answer(ctx, p, rec, s, "running it again")
	if err == nil {
		z.Source, z.Cover = in.Record, in.Cover.Cover()
	}
	return z, err
}
