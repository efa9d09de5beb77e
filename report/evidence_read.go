package report

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/codec"
	"tankodds/report/site"
	"tankodds/sim"
)

// Evidence is an evidence file as read.
type Evidence struct {
	Version string // of the program that wrote it
	Inputs  Inputs
	Digest  string       // of what stands in the file, whatever it says of itself
	Stated  string       // what it says of itself, where that is a digest; else Digest
	Files   []FileDigest // that were written with it

	text   []byte // the file
	values *codec.Node
	odd    []Rechecked // inputs that are missing or unknown
	faults []Reason
}

// Reason is why evidence is not confirmed: a line without a full stop, and
// what to do, "" where there is nothing.
type Reason struct{ Text, Hint string }

// MarshalText returns the line.
func (r Reason) MarshalText() ([]byte, error) { return []byte(r.Text), nil }

// fault notes what is not as this program writes it. The study can be run
// again all the same.
func (e *Evidence) fault(text, hint string) { e.faults = append(e.faults, Reason{text, hint}) }

// Faults are what is known to be wrong with a file before anything is run.
func (e *Evidence) Faults() []Reason { return e.faults }

// Refusal is evidence that was read and cannot be run again, so that nothing
// of it is confirmed.
type Refusal struct {
	File   string
	Line   int // 0 where none is at fault
	Reason Reason
}

func (r *Refusal) Error() string {
	return oneLine((&read.Error{File: r.File, Line: r.Line, Text: r.Reason.Text}).Error())
}

// AsWritten is what to do about evidence that is not as it was written.
const AsWritten = "evidence is not changed by hand: take the original, or write it again with tankodds size --out DIR"

// ReadEvidence reads an evidence file. One that is no evidence at all, or is
// cut short, is a *read.Error; evidence that cannot be run again is a
// *Refusal. Anything else that is not as it was written is kept and becomes a
// reason of the Recheck.
func ReadEvidence(file string, b []byte) (*Evidence, error) {
	doc, err := codec.Parse(b)
	if err != nil {
		line := 0
		if at := (*codec.LineError)(nil); errors.As(err, &at) {
			line = at.Line
		}
		return nil, noEvidence(file, line, err.Error())
	}
	schema := doc.At("schema")
	switch {
	case doc.At("inputs") != nil && doc.At("results") != nil: // evidence, whatever else it lacks
	case schema == nil || !strings.HasPrefix(schema.Text, "tankodds/evidence/"):
		return nil, noEvidence(file, codec.LineOf(b, "schema"), "the key schema does not say "+EvidenceSchema)
	}
	e := &Evidence{text: b, values: doc.At("results")}
	for _, k := range digested {
		if doc.At(k) == nil {
			return nil, e.refusal(file, "", "it has no key "+k, AsWritten)
		}
	}
	if text := schema.Text; text != EvidenceSchema {
		return nil, e.refusal(file, "schema", fmt.Sprintf("the evidence is of the schema %s; this version reads %s", oneLine(text), EvidenceSchema), "take the version of tankodds that wrote it; the key version names it")
	}
	if doc.At("version").Kind != codec.Text {
		return nil, e.refusal(file, "version", "the version is no text", AsWritten)
	}
	if e.values.Kind != codec.Object {
		return nil, e.refusal(file, "results", "the results are no keys and values", AsWritten)
	}
	e.Version, e.Digest = doc.At("version").Text, digestOf(doc)
	e.readSelf(doc, b)
	path, err := e.decodeInputs(doc.At("inputs"))
	if err == nil && e.Inputs.Study == nil {
		path, err = "inputs", errors.New("the inputs have no study")
	}
	if err == nil {
		if err = e.Inputs.Study.Check(); err != nil {
			path = "inputs.study"
			if fault := (*sim.Fault)(nil); errors.As(err, &fault) && fault.Path != "" {
				path += "." + fault.Path
			}
			err = fmt.Errorf("%s: %w", path, err)
		}
	}
	switch {
	case err != nil && len(e.odd) > 0: // which is likely why
		return nil, e.refusal(file, e.odd[0].Path, e.odd[0].oddity()+"; "+err.Error(), AsWritten)
	case err != nil:
		return nil, e.refusal(file, path, err.Error(), AsWritten)
	}
	return e, nil
}

// Line is the one on which the value of a path stands, as in inputs.record.file.
func (e *Evidence) Line(path string) int { return codec.LineOf(e.text, path) }

// refusal refuses it for what stands at a path, "" for none.
func (e *Evidence) refusal(file, path, why, hint string) *Refusal {
	line := 0
	if path != "" {
		line = e.Line(path)
	}
	return &Refusal{file, line, Reason{why, hint}}
}

// Refused refuses it for the value of a path, of which err says what is wrong.
func (e *Evidence) Refused(file, path string, err error) *Refusal {
	return e.refusal(file, path, path+": "+err.Error(), AsWritten)
}

// Unfit refuses it for an input that no plan may have, of which err says what is wrong
// and with which field of p.
func (e *Evidence) Unfit(file string, p *site.Plan, err error) *Refusal {
	if bad := (*site.Unfit)(nil); errors.As(err, &bad) {
		for root, of := range map[string]any{"inputs.study": p.Study, "inputs.record": &p.Record} {
			if at := codec.PathTo(of, bad.Field); at != "" {
				return e.Refused(file, root+"."+at, bad.Err)
			}
		}
	}
	return e.Refused(file, "inputs", err)
}

func noEvidence(file string, line int, why string) error {
	return &read.Error{File: file, Line: line, Text: "not evidence: " + why, Hint: "evidence is the file evidence.json that tankodds size --out DIR writes; if this was, it has been damaged since: take the original"}
}

// readSelf holds what the file says of itself against what it is.
func (e *Evidence) readSelf(doc *codec.Node, b []byte) {
	e.Stated = e.Digest
	if said := doc.At("digest"); said != nil && wholeDigest.MatchString(said.Text) {
		e.Stated = said.Text
	}
	switch said := doc.At("digest"); {
	case said == nil:
		e.fault("the evidence has no digest of its inputs and results", "")
	case said.Kind != codec.Text || said.Text != e.Digest:
		e.fault("its inputs and results were altered after they were written: their SHA-256 is "+brief(e.Digest)+", not "+brief(oneLine(said.Text)), "")
	case !bytes.Equal(b, doc.Bytes()):
		e.fault("spaces, line ends or letters of it are not as they were written", "")
	}
	for _, k := range doc.Without(append([]string{"digest", "files"}, digested...)...).Keys {
		e.fault(fmt.Sprintf("it has a key that is not known, %q", oneLine(k)), "")
	}
	e.readFiles(doc.At("files"))
}

// decodeInputs reads the inputs and compares what it read with what stands
// there. Inputs that are missing, which then count as not asked for, or unknown
// are kept as odd; a value that does not survive is an error, with its path.
func (e *Evidence) decodeInputs(n *codec.Node) (path string, err error) {
	if err := codec.Decode(n, &e.Inputs); err != nil {
		return "inputs." + pathOf(err), fmt.Errorf("inputs.%w", err)
	}
	for _, r := range compareTrees(n, codec.Encode(e.Inputs), "inputs", "inputs") {
		switch {
		case r.Status == agrees:
		case r.File == nil || r.Again == nil:
			e.odd = append(e.odd, r)
		default:
			return r.Path, fmt.Errorf("%s is %s, which is not how evidence writes %s", r.Path, r.File.Literal(), r.Again.Literal())
		}
	}
	return "", nil
}

// Sizing returns the answer that evidence holds, to be shown without simulating
// again. file is the evidence's name, and program the version that shows it.
// Evidence that was altered since it was written is a *Refusal.
func (e *Evidence) Sizing(file, program string) (*Sizing, error) {
	refuse := func(why string) (*Sizing, error) { return nil, e.refusal(file, "", why, AsWritten) }
	if len(e.odd) > 0 {
		return nil, e.refusal(file, e.odd[0].Path, e.odd[0].oddity(), AsWritten)
	}
	for _, f := range e.faults {
		return refuse(f.Text)
	}
	z := &Sizing{
		Version: e.Version, Title: e.Inputs.Title, Units: e.Inputs.Units, Cover: e.Inputs.Cover, Source: e.Inputs.Record,
		Record: &rainfall.Summary{}, Result: &sim.Result{},
	}
	if err := codec.Decode(e.values, z.Result); err != nil {
		return nil, e.refusal(file, "results."+pathOf(err), "results."+err.Error(), AsWritten)
	}
	if n := e.values.At("record"); n == nil {
		return refuse("the results have no record")
	} else if err := codec.Decode(n, z.Record); err != nil {
		return nil, e.refusal(file, "results.record."+pathOf(err), "results.record."+err.Error(), AsWritten)
	}
	z.Record.File, z.Record.SHA256 = e.Inputs.Record.File, e.Inputs.Record.SHA256
	z.Result.Study = e.Inputs.Study
	if program != e.Version {
		z.Version += ", shown by " + program
	} else if !bytes.Equal(z.values().Bytes(), e.values.Bytes()) {
		return refuse("its results are not as this program writes them")
	}
	return z, nil
}

// pathOf is where a value stands that cannot be what its field is.
func pathOf(err error) string {
	if bad := (*codec.ValueError)(nil); errors.As(err, &bad) {
		return bad.Path
	}
	return ""
}

// oddity says what is wrong with an input that is missing or unknown.
func (r *Rechecked) oddity() string {
	if r.File == nil {
		return r.Path + " is missing"
	}
	return r.Path + " is no input known here"
}
