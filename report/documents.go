package report

import (
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/codec"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// The objects that --json prints: what was found, whose fields know their
// keys, and around it what it rests on. In SI and full precision.

// The names of their shapes. A change of a schema's meaning is a new number.
const (
	SizeSchema     = "tankodds/size/1"
	ReplaySchema   = "tankodds/replay/1"
	CompareSchema  = "tankodds/compare/3"
	SynthSchema    = "tankodds/synth/1"
	BacktestSchema = "tankodds/backtest/1"
	RecordSchema   = "tankodds/record/1"
)

// Documents lists what --json prints, each with its keys.
func Documents() []Document {
	return []Document{
		{SizeSchema, "size --json", codec.Dictionary(sizeDoc{})},
		{CompareSchema, "compare --json; answers.csv has its stations", codec.Dictionary(compareDoc{})},
		{ReplaySchema, "replay --json; daily.csv has its days", codec.Dictionary(replayDoc{})},
		{SynthSchema, "synth --json", codec.Dictionary(synthDoc{})},
		{BacktestSchema, "backtest --json; cases.csv has its cases", codec.Dictionary(backtestDoc{})},
		{RecordSchema, "record --json, an object a line", codec.Dictionary(recordDoc{})},
		{RecheckSchema, "recheck --json", codec.Dictionary(Recheck{})},
		{CiteSchema, "cite --json", codec.Dictionary(citeDoc{})},
	}
}

// Document is the keys of one schema.
type Document struct {
	Schema, What string
	Keys         []codec.Entry
}

// briefRecord says which record a result rests on.
type briefRecord struct {
	Station string        `key:"station" doc:"the publisher's identifier"`
	Place   string        `key:"place" doc:"the place's name"`
	Format  string        `key:"format" doc:"the format it was recognised as"`
	SHA256  string        `key:"sha256" doc:"of the file's bytes"`
	First   rainfall.Date `key:"first" doc:"first day of the record"`
	Last    rainfall.Date `key:"last" doc:"last day of the record"`
	Usable  int           `key:"usable_years" doc:"usable water years"`
	Annual  float64       `key:"mean_annual_mm" doc:"mean rain of a year"`
}

func briefly(m *rainfall.Summary) briefRecord {
	return briefRecord{m.Station, m.Place, m.Format, m.SHA256, m.First, m.Last, m.UsableN, m.MeanAnnual}
}

// sizeDoc is a sizing.
type sizeDoc struct {
	Schema      string      `key:"schema" doc:"name of the shape of this object"`
	Version     string      `key:"version" doc:"of the program"`
	Title       string      `key:"title" doc:"name of the site"`
	Record      briefRecord `key:"record" doc:"which record it rests on"`
	Rule        sim.Rule    `key:"rule" doc:"yas or ybs: yield after or before spillage"`
	Seed        uint64      `key:"seed" doc:"of every random source"`
	RecordError bool        `key:"record_error" doc:"whether the error from the length of the record is weighed"`
	Level       float64     `key:"level" doc:"of every interval"`
	Roofs       []sim.Roof  `key:"roofs" doc:"the site's catchments"`
	Uses        []sim.Use   `key:"uses" doc:"what draws on the tank"`
	sim.Result
	Warnings []words.Warning `key:"warnings" doc:"what must be told of record and result"`
}

// JSON returns the sizing as one object of the schema SizeSchema.
func (z *Sizing) JSON() ([]byte, error) { return z.document().Bytes(), nil }

func (z *Sizing) document() *codec.Node {
	s := z.Result.Study
	doc := sizeDoc{
		Schema: SizeSchema, Version: z.Version, Title: z.Title, Record: briefly(z.Record),
		Rule: s.Rule, Seed: s.Seed, RecordError: s.RecordError, Level: s.Level, Roofs: s.Roofs, Uses: s.Uses,
		Result: *z.Result, Warnings: z.Warnings(),
	}
	n := codec.Encode(doc)
	z.explain(n)
	return n
}

// explain puts the words of its answers and its stop into a result's object.
func (z *Sizing) explain(n *codec.Node) {
	reason := func(n *codec.Node, a sim.Answer) { n.Add("reason", codec.TextNode(words.Reason(a))) }
	reason(n.At("answer"), z.Result.Main)
	for i, a := range z.Result.Answers {
		reason(n.At("answers").Item(i), a)
	}
	n.At("stop").Add("detail", codec.TextNode(words.Method(z.Result.Stop.Method, z.Result.Study)))
}

// CurvesCSV returns the grid as a tidy table: a row a cell, SI units named in
// the header, full precision.
func (z *Sizing) CurvesCSV() ([]byte, error) { return codec.Rows(z.Result.Cells) }

// Replayed is the real record through one tank, ready to be shown.
type Replayed struct {
	Version string
	Title   string
	Record  *rainfall.Summary
	Result  *sim.ReplayResult
	Uses    []sim.Use
	Units   units.System
	Meter   *Metered // nil where no readings are given
}

// Metered are the readings of a meter and the model held against them.
type Metered struct {
	site.MeterFile
	sim.Metered
}

// warnings returns what must be told of the record, its plausibility and the
// days passed over.
func (z *Replayed) warnings(u units.System) []words.Warning {
	return words.Warned(slices.Concat(z.Record.Findings, z.Record.Suspicious(), z.Result.Findings()), u, false)
}

// replayDoc is a replay.
type replayDoc struct {
	Schema  string      `key:"schema" doc:"name of the shape of this object"`
	Version string      `key:"version" doc:"of the program"`
	Title   string      `key:"title" doc:"name of the site"`
	Record  briefRecord `key:"record" doc:"which record it rests on"`
	Uses    []sim.Use   `key:"uses" doc:"what draws on the tank"`
	sim.ReplayResult
	Meter    *Metered        `key:"meter,omitempty" doc:"the model held against the readings of a meter, where there are any"`
	Warnings []words.Warning `key:"warnings" doc:"what must be told of the record"`
}

// JSON returns the replay as one object of the schema ReplaySchema.
func (z *Replayed) JSON() ([]byte, error) {
	return codec.Encode(replayDoc{
		ReplaySchema, z.Version, z.Title, briefly(z.Record), z.Uses, *z.Result, z.Meter, z.warnings(units.SI),
	}).Bytes(), nil
}

// DailyCSV returns a row a day run, SI units named in the header, full
// precision.
func (z *Replayed) DailyCSV() ([]byte, error) { return codec.Rows(z.Result.Daily) }

// MeterCSV returns a row an interval between two readings, in full precision.
func (z *Replayed) MeterCSV() ([]byte, error) { return codec.Rows(z.Meter.Intervals) }

// synthDoc is the fidelity of synthetic years.
type synthDoc struct {
	Schema     string          `key:"schema" doc:"name of the shape of this object"`
	Version    string          `key:"version" doc:"of the program"`
	Record     briefRecord     `key:"record" doc:"which record it rests on"`
	WaterYear  time.Month      `key:"water_year_starts" doc:"month in which the water year begins"`
	Generator  string          `key:"generator" doc:"name of the generator of synthetic rain"`
	Parameters []gen.Parameter `key:"generator_parameters" doc:"its parameters as fitted"`
	Seed       uint64          `key:"seed" doc:"of every random source"`
	Years      int             `key:"years" doc:"synthetic years made"`
	Passed     int             `key:"passed" doc:"statistics that lie where they should"`
	Fidelity   []gen.Row       `key:"fidelity" doc:"each statistic of the record beside those of synthetic records"`
	Warnings   []words.Warning `key:"warnings" doc:"what must be told of the record"`
}

// JSON returns the fidelity table as one object of the schema SynthSchema.
func (z *Synthesis) JSON() ([]byte, error) {
	return codec.Encode(synthDoc{
		SynthSchema, z.Version, briefly(z.Record), z.Record.Start, z.Generator.Name, z.Params, z.Seed,
		z.Count, z.Passed(), z.Fidelity, words.Warned(z.Record.Findings, units.SI, false),
	}).Bytes(), nil
}

// FidelityCSV returns the fidelity table as a tidy table.
func (z *Synthesis) FidelityCSV() ([]byte, error) { return codec.Rows(z.Fidelity) }

// Backtest is a finished backtest, ready to be shown.
type Backtest struct {
	Version string
	Records []*rainfall.Summary // as in Result.Records
	Result  *backtest.Result
}

// backtestDoc is a backtest.
type backtestDoc struct {
	Schema  string `key:"schema" doc:"name of the shape of this object"`
	Version string `key:"version" doc:"of the program"`
	backtest.Study
	backtest.Result
	Records  []testedRecord  `key:"records" doc:"the records tested on"`
	Warnings []words.Warning `key:"warnings" doc:"records too short to be tested on"`
}

type testedRecord struct {
	briefRecord
	backtest.Tested
}

// JSON returns the backtest as one object of the schema BacktestSchema, with
// every case. The bounds low_… and high_… are what fails, a share; the claim is
// what does not.
func (z *Backtest) JSON() ([]byte, error) {
	doc := backtestDoc{Schema: BacktestSchema, Version: z.Version, Study: *z.Result.Study, Result: *z.Result, Warnings: words.TooShort(z.Result)}
	for i, r := range z.Result.Records {
		doc.Records = append(doc.Records, testedRecord{briefly(z.Records[i]), r})
	}
	return codec.Encode(doc).Bytes(), nil
}

// CasesCSV returns the cases as a tidy table, full precision.
func (z *Backtest) CasesCSV() ([]byte, error) { return codec.Rows(z.Result.Cases) }

// recordDoc is a record's own sheet.
type recordDoc struct {
	Schema string `key:"schema" doc:"name of the shape of this object"`
	rainfall.Summary
	FailureBound float64         `key:"failure_bound" doc:"share of years that may fail although none did, at 95 % confidence"`
	Claim        string          `key:"claim" doc:"which reliability a record of this length can carry"`
	Warnings     []words.Warning `key:"warnings" doc:"what must be told of the record"`
}

// RecordJSON returns one record as one object of the schema RecordSchema, on
// one line.
func RecordJSON(m *rainfall.Summary) []byte { return recordNode(m).Line() }

func recordNode(m *rainfall.Summary) *codec.Node {
	n := codec.Encode(recordDoc{RecordSchema, *m, words.FailureBound(m.UsableN), words.Claim(m.UsableN),
		words.Warned(slices.Concat(m.Findings, m.Suspicious()), units.SI, false)})
	for i, y := range m.Rejected {
		n.At("rejected_years").Item(i).Add("reason", codec.TextNode(words.WhyNot(y)))
	}
	for i, c := range m.Checks {
		check := n.At("checks").Item(i)
		check.Add("gravity", codec.Encode(rainfall.GravityOf(c.Code)))
		check.Add("rule", codec.TextNode(words.Check(c, units.SI)))
		for k, f := range c.Found {
			found := check.At("found").Item(k)
			found.Add("mm", codec.Encode(f.Depth()))
			found.Add("text", codec.TextNode(words.Finding(f, units.SI)))
		}
	}
	return n
}
