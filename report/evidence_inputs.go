package report

import (
	"slices"

	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

// RecordInput says which record was read, and how; Cover is what a sheet says
// of its own making.
type (
	RecordInput = site.Source
	Cover       = site.Cover
)

// Inputs is all that a sizing rests on beside the record's bytes.
type Inputs struct {
	Title     string       `key:"title" doc:"name of the site"`
	Units     units.System `key:"units" doc:"si or us, of what is printed"`
	Cover     Cover        `key:"cover" doc:"what the sheet says of its own making"`
	Record    RecordInput  `key:"record" doc:"which record, and how it was read"`
	Generator string       `key:"generator" doc:"name of the generator of synthetic rain"`
	Study     *sim.Study   `key:"study" doc:"the question"`
}

func (z *Sizing) inputs() Inputs {
	in := Inputs{z.Title, z.Units, z.Cover, z.Source, z.Result.Generator, z.Result.Study}
	in.Record.File, in.Record.SHA256 = z.Record.File, z.Record.SHA256
	in.Record.SecondSHA256 = z.Record.SecondSHA256
	if z.Result.Near != nil { // which were named in this order
		in.Record.Near = slices.Clone(in.Record.Near)
		for i, n := range z.Result.Near.From {
			in.Record.Near[i].SHA256 = n.SHA256
		}
	}
	return in
}
