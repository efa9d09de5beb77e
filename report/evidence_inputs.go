package report

import (
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/sim"
)

// RecordInput says which record was read, and how: what a reader cannot learn
// from the file alone.
type RecordInput struct {
	File     string `key:"file" doc:"as it was named; - is standard input"`
	Embedded bool   `key:"embedded" doc:"whether it is the invented record that the program carries"`
	SHA256   string `key:"sha256" doc:"of the file's bytes"`
	Unpacked string `key:"unpacked_sha256" doc:"of the same with gzip undone; empty where not known"`

	read.Options // this and what follows as asked for; "" or 0 where not

	WaterYear int `key:"water_year_start_month" doc:"month in which the water year begins, as asked for"`
	Since     int `key:"since" doc:"first year used, as asked for"`
}

// Inputs is all that a sizing rests on beside the record's bytes.
type Inputs struct {
	Title     string       `key:"title" doc:"name of the site"`
	Units     units.System `key:"units" doc:"si or us, of what is printed"`
	Cover     Cover        `key:"cover" doc:"what the sheet says of its own making"`
	Record    RecordInput  `key:"record" doc:"which record, and how it was read"`
	Generator string       `key:"generator" doc:"name of the generator of synthetic rain"`
	Study     *sim.Study   `key:"study" doc:"the question"`
}

// Cover is what a sheet says of its own making. All of it may be left out.
type Cover struct {
	Client    string   `key:"client" doc:"who asked"`
	Author    string   `key:"author" doc:"who answered"`
	Location  string   `key:"location" doc:"of the site"`
	Note      string   `key:"note" doc:"whatever else is to stand there"`
	Date      string   `key:"date" doc:"as it is to stand there"`
	Elevation *float64 `key:"elevation_m" doc:"of the site"`
}

func (z *Sizing) inputs() Inputs {
	in := Inputs{z.Title, z.Units, z.Cover, z.Source, z.Result.Generator, z.Result.Study}
	in.Record.File, in.Record.SHA256 = z.Record.File, z.Record.SHA256
	return in
}
