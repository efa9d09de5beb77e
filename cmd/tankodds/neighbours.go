package main

import (
	"path/filepath"

	"tankodds/rainfall/read"
	"tankodds/report/site"
)

// neighbours finds the files of neighbours, which must be the same as evidence says.
func neighbours(file string, p *site.Plan, in site.Source) error {
	p.Record.Near = append([]site.Neighbour(nil), in.Near...)
	for i, n := range in.Near {
		path, there := foundSame(file, n.File, n.SHA256)
		switch {
		case path != "":
			p.Record.Near[i].File = path
		case there:
			return &read.Error{File: file, Text: "the record of a neighbour, " + filepath.Base(n.File) + ", was changed", Hint: "put it as it was beside the evidence"}
		default:
			return &read.Error{File: file, Text: "the record of a neighbour, " + filepath.Base(n.File) + ", is missing", Hint: "put it beside the evidence"}
		}
	}
	return nil
}

// foundSame looks for a file with a digest; there says whether one was found at all.
func foundSame(evidence, record, want string) (path string, there bool) {
	for _, path := range recordPlaces(evidence, record) {
		digest, err := fileDigest(path)
		there = there || err == nil
		if err == nil && digest == want {
			return path, true
		}
	}
	return "", there
}
