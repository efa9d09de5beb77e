package report

import (
	"io"

	"tankodds/rainfall"
	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Replayed is the real record through one tank, ready to be shown.
type Replayed struct {
	Version string
	Title   string
	Record  *rainfall.Summary
	Result  *sim.ReplayResult
	Uses    []sim.Use
	Units   units.System
}

// warnings returns what must be told of the record, its plausibility and the
// days passed over.
func (z *Replayed) warnings(u units.System) []words.Warning {
	out := append(words.Warned(z.Record.Findings, u, false), words.Warned(z.Record.Suspicious(), u, false)...)
	return append(out, words.Warned(z.Result.Findings(), u, false)...)
}

// JSON returns the replay as one object of the schema tankodds/replay/1.
func (z *Replayed) JSON() ([]byte, error) {
	type yearJSON struct {
		Start     string `json:"start"`
		Whole     bool   `json:"whole"`
		Days      int    `json:"days"`
		Rain      number `json:"rain_mm"`
		Inflow    number `json:"inflow_l"`
		Demand    number `json:"demand_l"`
		Supplied  number `json:"supplied_l"`
		Spill     number `json:"spill_l"`
		ShortDays int    `json:"short_days"`
		Longest   int    `json:"longest_dry_run_days"`
		Needs     number `json:"needs_l"`
	}
	type dryJSON struct {
		From    string `json:"from"`
		Days    int    `json:"days"`
		Deficit number `json:"deficit_l"`
	}
	r := z.Result
	years, runs := []yearJSON{}, []dryJSON{}
	for _, y := range r.Years {
		years = append(years, yearJSON{y.Start.String(), y.Whole, y.Days, number(y.Rain), number(y.Inflow), number(y.Demand), number(y.Supplied), number(y.Spilled), y.ShortDays, y.LongestDry, number(y.Needs)})
	}
	for _, x := range r.Runs {
		runs = append(runs, dryJSON{x.From.String(), x.Days, number(x.Deficit)})
	}
	return marshal(struct {
		Schema     string          `json:"schema"`
		Version    string          `json:"version"`
		Title      string          `json:"title"`
		Record     sizeRecordJSON  `json:"record"`
		Rule       string          `json:"rule"`
		Tank       number          `json:"tank_l"`
		Dead       number          `json:"dead_share"`
		Roofs      []roofJSON      `json:"roofs"`
		Uses       []useJSON       `json:"uses"`
		First      string          `json:"first"`
		Last       string          `json:"last"`
		Days       int             `json:"days"`
		Skipped    int             `json:"skipped_days"`
		Inflow     number          `json:"inflow_l"`
		Demand     number          `json:"demand_l"`
		Supplied   number          `json:"supplied_l"`
		Spill      number          `json:"spill_l"`
		Start      number          `json:"start_l"`
		End        number          `json:"end_l"`
		ShortDays  int             `json:"short_days"`
		Volumetric number          `json:"volumetric"`
		Time       number          `json:"time"`
		Annual     number          `json:"annual"`
		WholeYears int             `json:"whole_years"`
		Years      []yearJSON      `json:"years"`
		Runs       []dryJSON       `json:"dry_runs"`
		Warnings   []words.Warning `json:"warnings"`
	}{"tankodds/replay/1", z.Version, z.Title, sizeRecord(z.Record), r.Tank.Rule.String(), number(r.Tank.Nominal), number(r.Tank.Dead),
		roofsAsJSON(r.Roofs), usesAsJSON(z.Uses), r.First.String(), r.Last.String(), r.Days, r.Skipped,
		number(r.Inflow), number(r.Demand), number(r.Supplied), number(r.Spilled), number(r.StartsWith), number(r.EndsWith),
		r.ShortDays, number(r.Volumetric), number(r.Time), number(r.Annual), r.WholeYears, years, runs, z.warnings(units.SI)})
}

// WriteDaily writes a row a day run, SI units named in the header, full
// precision.
func (z *Replayed) WriteDaily(w io.Writer) error {
	c := codec.NewCSV(w)
	c.Write([]string{"date", "rain_mm", "inflow_l", "demand_l", "supplied_l", "spill_l", "storage_l"})
	for _, d := range z.Result.Daily {
		c.Write([]string{d.Date.String(), codec.Exact(d.Rain), codec.Exact(d.Inflow), codec.Exact(d.Demand), codec.Exact(d.Supplied), codec.Exact(d.Spilled), codec.Exact(d.Storage)})
	}
	c.Flush()
	return c.Error()
}
