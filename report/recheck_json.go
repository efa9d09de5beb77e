package report

import "tankodds/report/codec"

// recheckDoc is a recheck as JSON, of the schema RecheckSchema.
type recheckDoc struct {
	Schema   string      `key:"schema" doc:"name of the shape of this object"`
	Evidence string      `key:"evidence" doc:"the file rechecked"`
	Agrees   bool        `key:"agrees" doc:"whether everything was compared and is equal"`
	Reasons  []string    `key:"reasons" doc:"why the evidence is not confirmed"`
	Values   int         `key:"values" doc:"how many were compared, the sum of the next four"`
	Agree    int         `key:"agree" doc:"values that agree"`
	Differ   int         `key:"differ" doc:"values that differ"`
	Missing  int         `key:"missing" doc:"from the evidence"`
	Extra    int         `key:"extra" doc:"in the evidence alone"`
	Inexact  int         `key:"agree_not_to_the_last_digit" doc:"values that agree, but not to the last digit"`
	Record   recordFound `key:"record" doc:"the record that the evidence rests on"`
	Written  int         `key:"files_written_with_it" doc:"files that are written with such evidence"`
	Same     int         `key:"files_same" doc:"files that are as they were written"`
	Files    []FileCheck `key:"files" doc:"what became of each"`
	Digest   string      `key:"digest" doc:"SHA-256 of its inputs and results"`
	Version  string      `key:"version" doc:"of the program that ran it again"`
	Wrote    string      `key:"version_in_evidence" doc:"of the program that wrote it"`
	Relative float64     `key:"relative_tolerance" doc:"of the larger of two numbers, within which they agree"`
	Absolute float64     `key:"absolute_tolerance" doc:"within which two numbers near zero agree"`
	Rows     []Rechecked `key:"rows" doc:"the values that do not agree, or all of them"`
}

type recordFound struct {
	Result RecordCheck `key:"result" doc:"same, repacked or changed"`
	File   string      `key:"file" doc:"found now"`
	SHA256 string      `key:"sha256" doc:"of what was found"`
	Wanted string      `key:"sha256_in_evidence" doc:"of what the evidence rests on"`
}

// JSON returns the recheck as one object of the schema tankodds/recheck/2,
// with the values that do not agree or, with all, every value.
func (c *Recheck) JSON(all bool) ([]byte, error) {
	out := recheckDoc{
		Schema: RecheckSchema, Evidence: c.File, Values: len(c.Rows),
		Agree: c.count(agrees), Differ: c.count(differs), Missing: c.count(missing), Extra: c.count(extra), Inexact: c.inexact(),
		Record:  recordFound{c.Record, c.Found.File, c.Found.SHA256, c.Evidence.Inputs.Record.SHA256},
		Written: len(c.Written), Same: c.filesSame(), Files: c.Files,
		Digest: c.Evidence.Digest, Version: c.Version, Wrote: c.Evidence.Version,
		Relative: recheckRelative, Absolute: recheckAbsolute,
	}
	for _, r := range c.Reasons() {
		out.Reasons = append(out.Reasons, r.Text)
	}
	out.Agrees = len(out.Reasons) == 0
	for _, r := range c.Rows {
		if all || r.Status != agrees {
			out.Rows = append(out.Rows, r)
		}
	}
	return codec.Encode(out).Bytes(), nil
}
