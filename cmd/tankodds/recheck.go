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
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/site"
)

var recheckCommand = command{
	name:  "recheck",
	args:  "EVIDENCE.json",
	short: "runs the evidence again: does every number and file agree",
	long: `
Reads the evidence that size --out wrote, finds the record it rests on and
compares its SHA-256, runs the same study again, and lays every number and
every sentence beside what it came to now. The record is looked for beside the
evidence, where the evidence says it was, and in the folder above; --rain
names it otherwise. A record that was packed or unpacked by gzip is the same.

Words must agree letter for letter and numbers to one part in 1,000,000,000:
on one kind of processor they agree to the last digit. The page, the sheet,
the tables and the figures are looked for beside the evidence, which holds
their SHA-256: each must be there, byte for byte. The evidence has a digest of
its inputs and results, which page and sheet print; it must be right.

Evidence of another version is run again, and the answer says how many values
agree, but it is not confirmed: only the version that wrote it can do that.

Exit code 0: everything was compared and is equal; 3: something differs, is
missing, or could not be compared; 1: the evidence or its record could not be
read.`,
	example: "tankodds recheck sheet/evidence.json",
	maxArgs: 1,
	takes:   site.Recheck,
	run:     runRecheck,
}

// mostEvidenceBytes is what is read at most of evidence and of each file beside
// it: they are well below a megabyte.
const mostEvidenceBytes = 64 << 20

func runRecheck(ctx context.Context, c *call) error {
	if len(c.args) == 0 {
		return misuse("name it, as in tankodds recheck out/evidence.json", "no evidence to recheck")
	}
	file := c.args[0]
	if file == "-" && c.plan.Record.File == "-" {
		return misuse("name the record's file with --rain", "standard input cannot be both the evidence and the record")
	}
	e, err := c.readEvidence(file)
	if err != nil {
		return notConfirmed(err)
	}
	out, err := c.recheck(ctx, file, e)
	if err != nil {
		if faults := e.Faults(); len(faults) > 0 && ctx.Err() == nil { // which are likely why
			out := &problem{code: exitDisagrees, err: err, text: err.Error() + "; " + faults[0].Text, hint: report.AsWritten}
			if lost := (*read.Error)(nil); errors.As(err, &lost) {
				out.hint = lost.Hint
			}
			return out
		}
		return notConfirmed(err)
	}
	if err := c.show(out.Sheet(c.plan.All).Text, func() ([]byte, error) { return out.JSON(c.plan.All), nil }); err != nil {
		return err
	}
	if out.Agrees {
		return nil
	}
	why := out.Reasons[0]
	return &problem{code: exitDisagrees, text: file + ": " + why.Text, hint: why.Hint}
}

// notConfirmed gives a refusal its exit code.
func notConfirmed(err error) error {
	if no := (*report.Refusal)(nil); errors.As(err, &no) {
		return &problem{code: exitDisagrees, err: err, text: no.Error(), hint: no.Reason.Hint}
	}
	return err
}

// recheck runs evidence again and compares all that belongs to it.
func (c *call) recheck(ctx context.Context, file string, e *report.Evidence) (*report.Recheck, error) {
	refuse := func(r *report.Refusal) error {
		if e.Version != version {
			r.Reason.Text += "; " + e.Version + " wrote the evidence, this is " + version
		}
		return r
	}
	p, bad := evidencePlan(file, e)
	if bad != nil {
		return nil, refuse(bad)
	}
	p.Study.Workers = c.plan.Study.Workers
	found, err := c.findRecord(file, p, e)
	if err != nil {
		return nil, err
	}
	if err := secondGauge(file, p, e.Inputs.Record); err != nil {
		return nil, err
	}
	if err := neighbours(file, p, e.Inputs.Record); err != nil {
		return nil, err
	}
	again, err := c.again(ctx, p, e.Inputs, found)
	switch {
	case err == nil:
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case found.State == report.Changed:
		return nil, &problem{code: exitDisagrees, err: err, hint: "name the record as it was with --rain FILE",
			text: fmt.Sprintf("%s: the record was changed, and as it is now: %s: %s", file, found.File, withoutFile(err))}
	default:
		return nil, refuse(&report.Refusal{File: file, Reason: report.Reason{Text: "it cannot be run again: " + err.Error(), Hint: report.AsWritten}})
	}
	beside := report.Beside{Record: found.RecordFound}
	for _, f := range again.Files() {
		beside.Written = append(beside.Written, f.Name)
	}
	for _, f := range e.FilesToCheck(beside.Written) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		beside.Files = append(beside.Files, fileBeside(evidenceFolder(file), f, e.Stated))
	}
	return report.NewRecheck(file, e, again, beside), nil
}

// evidenceFolder is where the files lie that belong to evidence.
func evidenceFolder(file string) string {
	if file == "-" {
		return "."
	}
	return filepath.Dir(file)
}

// fileBeside compares a file with what evidence says of it. A page must also
// print the evidence's digest.
func fileBeside(dir string, want report.FileDigest, evidence string) report.FileCheck {
	out := report.FileCheck{Name: want.Name, State: report.Unread, Wanted: want.SHA256}
	b, err := site.ReadPlain(filepath.Join(dir, want.Name), mostEvidenceBytes)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		out.State = report.Missing
		return out
	case err != nil:
		out.Why = cause(err)
		return out
	}
	out.Found = digest(b)
	switch {
	case out.Found != want.SHA256:
		out.State = report.Changed
	case filepath.Ext(want.Name) == ".html" && !bytes.Contains(b, []byte(report.ShortDigest(evidence))):
		out.State = report.Other
	default:
		out.State = report.Same
	}
	return out
}

func (c *call) readEvidence(file string) (*report.Evidence, error) {
	fail := func(text string) error {
		return &read.Error{File: file, Text: text, Hint: "give the path of the file evidence.json that tankodds size --out DIR writes"}
	}
	var from io.Reader = c.stdin
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, fail("cannot be read: " + cause(err))
		}
		defer f.Close()
		from = f
	}
	b, err := site.ReadBounded(from, mostEvidenceBytes)
	switch {
	case err == site.ErrTooLong:
		return nil, fail("too long for evidence")
	case err != nil:
		return nil, fail("cannot be read: " + cause(err))
	}
	return report.ReadEvidence(file, b)
}

// withoutFile is why a file cannot be read, less its name.
func withoutFile(err error) string {
	if bad := (*read.Error)(nil); errors.As(err, &bad) {
		return bad.Text
	}
	return err.Error()
}

// evidencePlan is the plan that the evidence was made by. Its values pass the
// checks of those that are typed.
func evidencePlan(file string, e *report.Evidence) (*site.Plan, *report.Refusal) {
	in := e.Inputs
	p := &site.Plan{Name: in.Title, Study: in.Study, Units: in.Units, Record: in.Record}
	var err error
	if p.Generator, err = gen.Find(in.Generator); err != nil {
		return nil, e.Refused(file, "inputs.generator", err)
	}
	if err := p.Check(); err != nil {
		return nil, e.Unfit(file, p, err)
	}
	return p, nil
}

func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// foundRecord is the file that stands for the evidence's record.
type foundRecord struct {
	report.RecordFound
	rec *rainfall.Record
	err error // why it cannot be read as a record
}

// findRecord looks for the record: the first candidate that is the same, else
// the first there is.
func (c *call) findRecord(file string, p *site.Plan, e *report.Evidence) (*foundRecord, error) {
	r, in := p.Record, e.Inputs.Record
	switch {
	case c.plan.Record.File != "":
		r.File, r.Embedded = c.plan.Record.File, false
		return c.judgeRecord(r, in)
	case in.Embedded:
		return c.judgeRecord(r, in)
	case in.File == "-":
		return nil, &read.Error{File: file, Line: e.Line("inputs.record.file"), Text: "the record came from standard input and is not here", Hint: "name its file with --rain FILE"}
	}
	var first *foundRecord
	for _, path := range recordPlaces(file, in.File) {
		if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
			continue
		}
		r.File = path
		f, err := c.judgeRecord(r, in)
		switch {
		case err != nil:
			continue
		case f.State != report.Changed:
			return f, nil
		case first == nil:
			first = f
		}
	}
	if first == nil {
		return nil, &read.Error{File: file, Line: e.Line("inputs.record.file"), Text: "the record " + filepath.Base(in.File) + " is missing", Hint: "put it beside the evidence, or name it with --rain FILE"}
	}
	return first, nil
}

// secondGauge finds the file of the second gauge, which must be the same.
func secondGauge(file string, p *site.Plan, in site.Source) error {
	if in.Second == "" {
		return nil
	}
	path, there := foundSame(file, in.Second, in.SecondSHA256)
	if path != "" {
		p.Record.Second = path
		return nil
	}
	if there {
		return &read.Error{File: file, Text: "the record of the second gauge, " + filepath.Base(in.Second) + ", was changed", Hint: "put it as it was beside the evidence"}
	}
	return &read.Error{File: file, Text: "the record of the second gauge, " + filepath.Base(in.Second) + ", is missing", Hint: "put it beside the evidence"}
}

// judgeRecord reads a record and compares its SHA-256 with the evidence's: as
// it lies, and with gzip undone. One that cannot be read as a record may still
// be the file; one that cannot be read at all is an error.
func (c *call) judgeRecord(r site.Source, in site.Source) (*foundRecord, error) {
	f := &foundRecord{RecordFound: report.RecordFound{State: report.Changed}}
	f.File = cmp.Or(r.File, demoRainName)
	if f.rec, f.err = r.Read(disk{c.stdin}); f.err != nil {
		if r.Embedded || r.File == "-" {
			return nil, f.err
		}
		var err error
		if f.SHA256, err = fileDigest(r.File); err != nil {
			return nil, f.err
		}
	} else {
		f.SHA256 = f.rec.SHA256
	}
	switch {
	case f.SHA256 == in.SHA256:
		f.State = report.Same
	case f.rec != nil && (f.rec.Unpacked == in.SHA256 || f.rec.Unpacked == in.Unpacked):
		f.State = report.Repacked
	}
	return f, nil
}

// mostRecordBytes bounds a file whose digest is taken though it cannot be read
// as a record.
const mostRecordBytes = 4 << 30

// fileDigest is the SHA-256 of a plain file.
func fileDigest(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() || info.Size() > mostRecordBytes {
		return "", site.ErrTooLong
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, io.LimitReader(f, mostRecordBytes)); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// recordPlaces lists where a record may lie: beside the evidence, where it
// was when the evidence was written, and a folder above, each as it was named
// and then packed or unpacked.
func recordPlaces(evidence, record string) []string {
	dir, base := evidenceFolder(evidence), filepath.Base(record)
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

// again runs the plan on the record found, which keeps the name it had.
func (c *call) again(ctx context.Context, p *site.Plan, in report.Inputs, found *foundRecord) (*report.Sizing, error) {
	if found.err != nil {
		return nil, found.err
	}
	rec := found.rec
	if p.Record.Embedded {
		rec.Place = demoName
	}
	if rec.File = in.Record.File; found.State == report.Repacked {
		rec.SHA256 = in.Record.SHA256
	}
	m, s, err := p.Record.Fill(disk{c.stdin}, rec, p.Study.StorageYear)
	if err != nil {
		return nil, err
	}
	if m.Second != "" {
		m.Second = in.Record.Second
	}
	if err := p.Record.Borrow(disk{c.stdin}, in.Record.Near, m, s); err != nil {
		return nil, err
	}
	z, err := c.answer(ctx, p, m, s, "running it again")
	if err == nil {
		z.Source, z.Cover = in.Record, in.Cover
	}
	return z, err
}
