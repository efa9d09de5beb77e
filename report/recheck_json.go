package report

import (
	"encoding/json"

	"tankodds/report/codec"
)

type recheckRowJSON struct {
	Path   string          `json:"path"`
	Name   string          `json:"name"`
	File   json.RawMessage `json:"file"` // null also where the file has none
	Again  json.RawMessage `json:"run_again"`
	Result string          `json:"result"` // agrees, differs, missing or extra
}

type recheckFileJSON struct {
	Name   string    `json:"name"`
	Result FileState `json:"result"` // same, changed, missing, unreadable, of other evidence
	SHA256 string    `json:"sha256"` // "" where there is no file to read
	Wanted string    `json:"sha256_in_evidence"`
}

// JSON returns the recheck as one object of the schema tankodds/recheck/2,
// with the values that do not agree or, with all, every value.
func (c *Recheck) JSON(all bool) ([]byte, error) {
	in := c.Evidence.Inputs.Record
	out := struct {
		Schema   string   `json:"schema"`
		Evidence string   `json:"evidence"`
		Agrees   bool     `json:"agrees"` // everything was compared and is equal
		Reasons  []string `json:"reasons"`
		Values   int      `json:"values"` // the sum of the next four
		Agree    int      `json:"agree"`
		Differ   int      `json:"differ"`
		Missing  int      `json:"missing"`
		Extra    int      `json:"extra"`
		Inexact  int      `json:"agree_not_to_the_last_digit"`
		Record   struct {
			Result string `json:"result"` // same, repacked or changed
			File   string `json:"file"`
			SHA256 string `json:"sha256"`
			Wanted string `json:"sha256_in_evidence"`
		} `json:"record"`
		Written  int               `json:"files_written_with_it"`
		Same     int               `json:"files_same"`
		Files    []recheckFileJSON `json:"files"`
		Digest   string            `json:"digest"` // of its inputs and results
		Version  string            `json:"version"`
		Wrote    string            `json:"version_in_evidence"`
		Relative float64           `json:"relative_tolerance"`
		Absolute float64           `json:"absolute_tolerance"`
		Rows     []recheckRowJSON  `json:"rows"`
	}{
		Schema: RecheckSchema, Evidence: c.File, Reasons: []string{}, Values: len(c.Rows),
		Agree: c.count(agrees), Differ: c.count(differs), Missing: c.count(missing), Extra: c.count(extra), Inexact: c.inexact(),
		Written: len(c.Written), Same: c.filesSame(), Files: []recheckFileJSON{},
		Digest: c.Evidence.Digest, Version: c.Version, Wrote: c.Evidence.Version,
		Relative: recheckRelative, Absolute: recheckAbsolute, Rows: []recheckRowJSON{},
	}
	for _, r := range c.Reasons() {
		out.Reasons = append(out.Reasons, r.Text)
	}
	out.Agrees = len(out.Reasons) == 0
	out.Record.Result, out.Record.File = string(c.Record), c.Found.File
	out.Record.SHA256, out.Record.Wanted = c.Found.SHA256, in.SHA256
	for _, f := range c.Files {
		out.Files = append(out.Files, recheckFileJSON{f.Name, f.State, f.Found, f.SHA256})
	}
	for _, r := range c.Rows {
		if all || r.status != agrees {
			out.Rows = append(out.Rows, recheckRowJSON{r.Path, r.Name, raw(r.file), raw(r.again), statusWords[r.status]})
		}
	}
	return marshal(out)
}

var statusWords = [...]string{"agrees", "differs", "missing", "extra"}

func raw(n *codec.Node) json.RawMessage {
	if n == nil {
		return json.RawMessage("null")
	}
	return n.Bytes()
}
