package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tankodds/report/codec"
)

// The rule by which two numbers agree. On one kind of processor they agree to
// the last digit; another kind may round a sum's last bits otherwise, and
// that is no change.
const (
	recheckRelative = 1e-9  // of the larger of the two
	recheckAbsolute = 1e-12 // what rounding leaves of a zero
)

// status is how a value fared.
type status string

const (
	agrees  status = "agrees"
	differs status = "differs"
	missing status = "missing" // from the file
	extra   status = "extra"   // only the file has it
)

// Rechecked is one value of evidence and what it came to when run again.
type Rechecked struct {
	Path   string      `key:"path" doc:"where it stands in the evidence, as in results.cells[0].annual.low"`
	Name   string      `key:"name" doc:"the same in words"`
	File   *codec.Node `key:"file" doc:"what the evidence says; null also where it has no such value"`
	Again  *codec.Node `key:"run_again" doc:"what it came to now"`
	Status status      `key:"result" doc:"agrees, differs, missing or extra"`

	exact bool // to the last digit
}

// compareTrees walks two values side by side, in the order of the one run
// again, and returns a row for every number, text and truth in either.
func compareTrees(file, again *codec.Node, path, name string) []Rechecked {
	switch {
	case file == nil && again == nil:
		return nil
	case file == nil && again.Len() == 0, again == nil && file.Len() == 0,
		(file == nil || file.Scalar()) && (again == nil || again.Scalar()), file != nil && again != nil && file.Kind != again.Kind:
		r := Rechecked{Path: path, Name: name, File: file, Again: again, Status: agrees}
		r.judge()
		return []Rechecked{r}
	}
	var out []Rechecked
	either := again
	if either == nil {
		either = file
	}
	if either.Kind == codec.List {
		for i := range max(file.Len(), again.Len()) {
			a, b := file.Item(i), again.Item(i)
			out = append(out, compareTrees(a, b, fmt.Sprintf("%s[%d]", path, i), join(name, elementName(either, i, a, b)))...)
		}
		return out
	}
	for _, k := range either.Keys {
		out = append(out, compareTrees(file.At(k), again.At(k), path+"."+k, join(name, keyName(k)))...)
	}
	if file != nil && again != nil {
		for i, k := range file.Keys {
			if again.At(k) == nil {
				out = append(out, compareTrees(file.Items[i], nil, path+"."+k, join(name, keyName(k)))...)
			}
		}
	}
	return out
}

// judge sets the status.
func (r *Rechecked) judge() {
	a, b := r.File, r.Again
	switch {
	case a == nil:
		r.Status = missing
	case b == nil:
		r.Status = extra
	case a.Kind != b.Kind:
		r.Status = differs
	case a.Text == b.Text && a.Scalar():
		r.exact = true
	case a.Kind != codec.Number || !near(a.Text, b.Text):
		r.Status = differs
	}
}

func near(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err1 == nil && err2 == nil &&
		math.Abs(x-y) <= max(recheckAbsolute, recheckRelative*max(math.Abs(x), math.Abs(y)))
}

// RecheckSchema names the shape of a recheck's JSON.
const RecheckSchema = "tankodds/recheck/2"

// Recheck is evidence laid beside the same study run again.
type Recheck struct {
	Schema  string   `key:"schema" doc:"name of the shape of this object"`
	File    string   `key:"evidence" doc:"the file rechecked"`
	Agrees  bool     `key:"agrees" doc:"whether everything was compared and is equal"`
	Reasons []Reason `key:"reasons" doc:"why the evidence is not confirmed, the gravest first"`
	Values  int      `key:"values" doc:"how many were compared, the sum of the next four"`
	Agree   int      `key:"agree" doc:"values that agree"`
	Differ  int      `key:"differ" doc:"values that differ"`
	Missing int      `key:"missing" doc:"from the evidence"`
	Extra   int      `key:"extra" doc:"in the evidence alone"`
	Inexact int      `key:"agree_not_to_the_last_digit" doc:"values that agree, but not to the last digit"`
	Beside
	Expected int         `key:"files_written_with_it" doc:"files that are written with such evidence"`
	Same     int         `key:"files_same" doc:"files that are as they were written"`
	Digest   string      `key:"digest" doc:"SHA-256 of its inputs and results"`
	Version  string      `key:"version" doc:"of the program that ran it again"`
	Wrote    string      `key:"version_in_evidence" doc:"of the program that wrote it"`
	Relative float64     `key:"relative_tolerance" doc:"of the larger of two numbers, within which they agree"`
	Absolute float64     `key:"absolute_tolerance" doc:"within which two numbers near zero agree"`
	Rows     []Rechecked `key:"rows" doc:"the values that do not agree, or all of them"`
	Evidence *Evidence   `key:"-"`
}

// Beside is what was found for evidence: its record and the files written
// with it.
type Beside struct {
	Record  RecordFound `key:"record" doc:"the record that the evidence rests on"`
	Files   []FileCheck `key:"files" doc:"what became of each of Evidence.FilesToCheck"`
	Written []string    `key:"-"` // the names of all files that are written with such evidence
}

// RecordFound is the record read now.
type RecordFound struct {
	State  State  `key:"result" doc:"same, repacked or changed"`
	File   string `key:"file" doc:"found now"`
	SHA256 string `key:"sha256" doc:"of what was found"`
	Wanted string `key:"sha256_in_evidence" doc:"of what the evidence rests on"`
}

// NewRecheck compares evidence with the study run again.
func NewRecheck(file string, e *Evidence, again *Sizing, found Beside) *Recheck {
	z := *again
	z.Version = e.Version // which is judged by itself, and not by the sentences that name it
	found.Record.Wanted = e.Inputs.Record.SHA256
	c := &Recheck{
		Schema: RecheckSchema, File: file, Beside: found, Digest: e.Digest, Version: again.Version, Wrote: e.Version,
		Relative: recheckRelative, Absolute: recheckAbsolute, Evidence: e,
		Rows: append(slices.Clone(e.odd), compareTrees(e.values, z.values(), "results", "")...),
	}
	c.judge()
	return c
}

// judge counts the values and the files and finds the reasons.
func (c *Recheck) judge() {
	status := func(s status) int { return c.count(func(r Rechecked) bool { return r.Status == s }) }
	c.Values, c.Agree, c.Differ, c.Missing, c.Extra = len(c.Rows), status(agrees), status(differs), status(missing), status(extra)
	c.Inexact = c.count(func(r Rechecked) bool { return r.Status == agrees && !r.exact })
	c.Expected, c.Same = len(c.Written), len(c.filesIn(Same))
	c.Reasons = append(append(c.valueReasons(), c.Evidence.faults...), c.fileReasons()...)
	c.Agrees = len(c.Reasons) == 0
}

// count returns of how many values something holds.
func (c *Recheck) count(holds func(Rechecked) bool) int {
	n := 0
	for _, r := range c.Rows {
		if holds(r) {
			n++
		}
	}
	return n
}

// shown are the values that do not agree or, with all, every value.
func (c *Recheck) shown(all bool) []Rechecked {
	return slices.DeleteFunc(slices.Clone(c.Rows), func(r Rechecked) bool { return !all && r.Status == agrees })
}

// JSON returns the recheck as one object of the schema RecheckSchema, with the
// values that do not agree or, with all, every value.
func (c *Recheck) JSON(all bool) []byte {
	out := *c
	out.Rows = c.shown(all)
	return codec.Encode(out).Bytes()
}

// valueReasons are why record, version and values do not confirm the evidence,
// the gravest first.
func (c *Recheck) valueReasons() []Reason {
	var out []Reason
	say := func(n int, format string, args ...any) {
		if n > 0 {
			out = append(out, Reason{Text: fmt.Sprintf(format, args...)})
		}
	}
	if c.Record.State == Changed {
		say(1, "the record was changed since: %s is not the file that the evidence rests on", oneLine(c.Record.File))
	}
	if c.Wrote != c.Version {
		say(1, "%s wrote it; %s cannot confirm what another version wrote", oneLine(c.Wrote), c.Version)
	}
	if input := c.changedInput(); input != "" {
		say(1, "an input was changed by itself: %s", oneLine(input))
	}
	say(c.Differ, "%s not what its inputs come to", are(c.Differ, "value"))
	say(c.Missing, "%s missing from it", are(c.Missing, "value"))
	say(c.Extra, "%s in it that its inputs do not come to", are(c.Extra, "value"))
	if c.Agree == 0 {
		say(1, "no value of it agrees")
	}
	return out
}

// changedInput names the first input that was altered by itself, "" where
// none was. A record of another SHA-256 is the record's affair.
func (c *Recheck) changedInput() string {
	for _, r := range c.Rows {
		if name, ok := strings.CutPrefix(r.Name, "inputs · "); ok && r.Status == differs && r.Path != "results.inputs.record.sha256" {
			return strings.TrimPrefix(name, "study · ")
		}
	}
	return ""
}

// filesIn names the files of a state.
func (c *Recheck) filesIn(s State) (names []string) {
	for _, f := range c.Files {
		if f.State == s {
			names = append(names, f.Name)
		}
	}
	return names
}
