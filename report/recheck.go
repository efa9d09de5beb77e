package report

import (
	"fmt"
	"math"
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

// RecordCheck is what became of the record.
type RecordCheck string

const (
	RecordSame     RecordCheck = "same"
	RecordRepacked RecordCheck = "repacked" // the same bytes, gzip undone or otherwise packed
	RecordChanged  RecordCheck = "changed"
)

// Beside is what was found for evidence: its record and the files written
// with it.
type Beside struct {
	Record  RecordCheck
	Found   RecordInput // the record read now: File and SHA256
	Files   []FileCheck // those of Evidence.FilesToCheck
	Written []string    // the names of all files that are written with such evidence
}

// Recheck is evidence laid beside the same study run again.
type Recheck struct {
	Beside
	File     string // the evidence
	Evidence *Evidence
	Version  string // of the program that ran it again
	Rows     []Rechecked
}

// NewRecheck compares evidence with the study run again.
func NewRecheck(file string, e *Evidence, again *Sizing, found Beside) *Recheck {
	z := *again
	z.Version = e.Version // which is judged by itself, and not by the sentences that name it
	values := z.values()
	c := &Recheck{Beside: found, File: file, Evidence: e, Version: again.Version}
	c.Rows = append(c.Rows, e.odd...)
	c.Rows = append(c.Rows, compareTrees(e.values, values, "results", "")...)
	return c
}

// Reasons are why the evidence is not confirmed, the gravest first; none
// where everything was compared and is equal.
func (c *Recheck) Reasons() []Reason {
	var out []Reason
	say := func(n int, format string, args ...any) {
		if n > 0 {
			out = append(out, Reason{Text: fmt.Sprintf(format, args...)})
		}
	}
	if c.Record == RecordChanged {
		say(1, "the record was changed since: %s is not the file that the evidence rests on", oneLine(c.Found.File))
	}
	if c.Evidence.Version != c.Version {
		say(1, "%s wrote it; %s cannot confirm what another version wrote", oneLine(c.Evidence.Version), c.Version)
	}
	if input := c.changedInput(); input != "" {
		say(1, "an input was changed by itself: %s", oneLine(input))
	}
	n := c.count(differs)
	say(n, "%s not what its inputs come to", are(n, "value"))
	n = c.count(missing)
	say(n, "%s missing from it", are(n, "value"))
	n = c.count(extra)
	say(n, "%s in it that its inputs do not come to", are(n, "value"))
	if c.count(agrees) == 0 {
		say(1, "no value of it agrees")
	}
	out = append(out, c.Evidence.faults...)
	return append(out, c.fileReasons()...)
}

// Agrees says whether everything was compared and is equal.
func (c *Recheck) Agrees() bool { return len(c.Reasons()) == 0 }

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

// count returns how many rows have a status.
func (c *Recheck) count(s status) int {
	n := 0
	for _, r := range c.Rows {
		if r.Status == s {
			n++
		}
	}
	return n
}

// inexact counts the values that agree, but not to the last digit.
func (c *Recheck) inexact() int {
	n := 0
	for _, r := range c.Rows {
		if r.Status == agrees && !r.exact {
			n++
		}
	}
	return n
}

// wordsDiffer counts the texts that differ.
func (c *Recheck) wordsDiffer() int {
	n := 0
	for _, r := range c.Rows {
		if r.Status == differs && r.File.Kind == codec.Text && r.Again.Kind == codec.Text {
			n++
		}
	}
	return n
}

// filesSame counts the files that are as they were written.
func (c *Recheck) filesSame() int { return len(c.filesIn(FileSame)) }

// filesIn names the files of a state.
func (c *Recheck) filesIn(s FileState) (names []string) {
	for _, f := range c.Files {
		if f.State == s {
			names = append(names, f.Name)
		}
	}
	return names
}
