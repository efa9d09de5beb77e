package report

import "encoding/json"

type recheckRowJSON struct {
	Path   string          `json:"path"`
	Name   string          `json:"name"`
	File   json.RawMessage `json:"file"` // null also where the file has none
	Again  json.RawMessage `json:"run_again"`
	Result string          `json:"result"` // agrees, differs or new
}

// JSON returns the recheck as one object of the schema tankodds/recheck/1,
// with the values that differ or, with all, every value.
func (c *Recheck) JSON(all bool) ([]byte, error) {
	in := c.Evidence.Inputs.Record
	out := struct {
		Schema   string `json:"schema"`
		Evidence string `json:"evidence"`
		Agrees   bool   `json:"agrees"`
		Values   int    `json:"values"`
		Differ   int    `json:"differ"`
		Inexact  int    `json:"agree_not_to_the_last_digit"`
		New      int    `json:"new_in_this_version"`
		Record   struct {
			Result string `json:"result"` // same, repacked or changed
			File   string `json:"file"`
			SHA256 string `json:"sha256"`
			Wanted string `json:"sha256_in_evidence"`
		} `json:"record"`
		Version  string           `json:"version"`
		Wrote    string           `json:"version_in_evidence"`
		Relative float64          `json:"relative_tolerance"`
		Absolute float64          `json:"absolute_tolerance"`
		Rows     []recheckRowJSON `json:"rows"`
	}{
		Schema: RecheckSchema, Evidence: c.File, Agrees: c.Agrees(), Values: c.Values(), Differ: c.count(differs),
		Inexact: c.inexact(), New: c.count(added), Version: c.Version, Wrote: c.Evidence.Version,
		Relative: recheckRelative, Absolute: recheckAbsolute, Rows: []recheckRowJSON{},
	}
	out.Record.Result, out.Record.File = string(c.Record), c.Found.File
	out.Record.SHA256, out.Record.Wanted = c.Found.SHA256, in.SHA256
	for _, r := range c.Rows {
		if all || r.status != agrees {
			verdict := [...]string{"agrees", "differs", "new"}[r.status]
			out.Rows = append(out.Rows, recheckRowJSON{r.Path, r.Name, raw(r.file), raw(r.again), verdict})
		}
	}
	return marshal(out)
}

func raw(n *node) json.RawMessage {
	if n == nil {
		return json.RawMessage("null")
	}
	return n.bytes()
}
