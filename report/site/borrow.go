package site

import (
	"fmt"

	"tankodds/rainfall"
	"tankodds/rainfall/near"
	"tankodds/rainfall/read"
	"tankodds/report/words"
)

// Borrow reads the records of neighbours that a plan names and lets a filled record
// borrow of them. They keep the names that they had in as.
func (s Source) Borrow(from Files, as []Neighbour, rec *rainfall.Summary, series *rainfall.Series) error {
	if len(s.Near) == 0 {
		return nil
	}
	if n := series.Years.Len(); n < near.LeastOwn {
		return &read.Error{
			File: rec.File, Text: fmt.Sprintf("has %s; %d are the least that neighbours can be laid beside", words.Plural(n, "usable year"), near.LeastOwn),
			Hint: "leave out --neighbour",
		}
	}
	seen := map[string]string{rec.SHA256: ""}
	var known []near.Station
	for i, n := range s.Near {
		other, err := from.Record(n.File, read.Options{})
		if err != nil {
			return err
		}
		switch before, is := seen[other.SHA256]; {
		case is && before == "":
			return &read.Error{File: n.File, Text: "is the record itself", Hint: "a neighbour's record is another file; leave it out"}
		case is:
			return &read.Error{File: n.File, Text: "is the same as " + before, Hint: "leave one of them out"}
		}
		seen[other.SHA256] = n.File
		other.File = as[i].File
		if s.Since > 0 {
			if other, err = read.Since(other, s.Since); err != nil {
				return err
			}
		}
		filled, err := other.Fill(series.Years.Start)
		if err != nil {
			return &read.Error{File: n.File, Text: err.Error()}
		}
		if y := filled.Years; y.Len() < near.LeastYears {
			return &read.Error{
				File: n.File, Text: fmt.Sprintf("has %s; a neighbour needs %d", words.Plural(y.Len(), "usable year"), near.LeastYears),
				Hint: "leave it out",
			}
		}
		known = append(known, near.Station{File: other.File, SHA256: other.SHA256, Name: other.Name(), Years: filled.Years})
	}
	series.Near = near.Borrow(series.Years, known)
	return nil
}
