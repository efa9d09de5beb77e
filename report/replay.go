package report

import (
	"fmt"
	"io"
	"math"

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

// mostRuns is how many dry runs the text lists; JSON has them all.
const mostRuns = 20

// Text prints the balance, the years and the dry runs, at most 80 columns.
func (z *Replayed) Text(w io.Writer) {
	r, u := z.Result, z.Units
	p := &prose{w}
	p.line("%s", z.Title)
	p.para("%s tank; roof %s; use %s on average; %s", u.Volume(r.Tank.Nominal), u.Area(sim.TotalArea(r.Roofs)), u.Flow(sim.MeanDemand(z.Uses)), ruleWords(r.Tank.Rule))
	p.gap()
	for _, s := range z.words() {
		p.item(s)
	}
	p.gap()
	z.years(p)
	if len(r.Runs) > 0 {
		p.gap()
		z.runs(p)
	}
	p.gap()
	p.mind(z.warnings(u))
	p.para("%s", shortCaution)
}

// warnings returns what must be told of the record, its plausibility and the
// days passed over.
func (z *Replayed) warnings(u units.System) []rainfall.Warning {
	out := append(words.OfRecord(z.Record, u), words.Warned(z.Record.Suspicious(), u, false)...)
	if n := z.Result.Skipped; n > 0 {
		have, lie, were := "have", "lie in years that are", "they were"
		if n == 1 {
			have, lie, were = "has", "lies in a year that is", "it was"
		}
		out = append(out, rainfall.Warning{Code: "skipped", Text: fmt.Sprintf("%s of the record %s no value and %s not usable; %s passed over, the tank as it stood", words.Plural(n, "day"), have, lie, were)})
	}
	return out
}

func (z *Replayed) words() []Sentence {
	r := z.Result
	water := z.Units.VolumeColumn(r.Inflow, r.Demand) // one unit for the sentence
	of := func(x float64) string { return water.Words(x) + " " + water.Unit }
	out := []Sentence{
		{"Record", fmt.Sprintf("%s, %v to %v, %s run (%s).", z.Record.Name(), r.First, r.Last, words.Plural(r.Days, "day"), z.Record.Format)},
		{"Water", fmt.Sprintf("%s flowed in, %s was wanted, %s supplied, %s spilled; the tank held %s at first and %s at last.",
			of(r.Inflow), of(r.Demand), of(r.Yield), of(r.Spill), z.Units.Volume(r.StartsWith), z.Units.Volume(r.EndsWith))},
		{"Supplied", fmt.Sprintf("%s of the water wanted; the demand was met on %s of days.", units.Percent(r.Volumetric), units.Percent(r.Time))},
	}
	if r.WholeYears == 0 {
		return append(out, Sentence{"Years", "no whole water year to judge."})
	}
	good := int(math.Round(r.Annual * float64(r.WholeYears)))
	years := fmt.Sprintf("%d of %d whole water years had %s", good, r.WholeYears, goodYearWords(r.Tank.Allow))
	if len(r.Runs) == 0 {
		return append(out, Sentence{"Years", years + "; the tank never ran dry."})
	}
	longest := r.Runs[0]
	for _, x := range r.Runs {
		if x.Days > longest.Days {
			longest = x
		}
	}
	if need := r.Enough(); good < r.WholeYears && !math.IsInf(need, 0) {
		years += fmt.Sprintf("; all of them would have with about %s", z.Units.VolumeUp(need))
	}
	return append(out, Sentence{"Years", years + "."},
		Sentence{"Ran dry", fmt.Sprintf("on %s in %s; the longest run began on %v and lasted %s.", words.Plural(r.ShortDays, "day"), words.Plural(len(r.Runs), "run"), longest.From, words.Plural(longest.Days, "day"))})
}

func goodYearWords(allow int) string {
	if allow > 0 {
		return "at most " + words.Plural(allow, "short day")
	}
	return "no short day"
}

// years prints a line a water year; a year that is not whole is marked.
func (z *Replayed) years(p *prose) {
	r, u := z.Result, z.Units
	var rain, water []float64
	for _, y := range r.Years {
		rain = append(rain, y.Rain)
		water = append(water, y.Inflow, y.Demand)
	}
	depth, volume := u.DepthColumn(rain...), u.VolumeColumn(water...)
	t := &textTable{header: [][]string{
		{"water year", "rain", "inflow", "wanted", "supplied", "spilled", "short", "longest"},
		{"from", depth.Unit, volume.Unit, volume.Unit, volume.Unit, volume.Unit, "days", "run"},
	}}
	partial := 0
	for _, y := range r.Years {
		if y.Days == 0 {
			continue
		}
		mark := ""
		if !y.Whole {
			mark = "*"
			partial++
		}
		t.rows = append(t.rows, []string{
			mark + y.Start.String(), depth.Cell(y.Rain), volume.Cell(y.Inflow), volume.Cell(y.Demand), volume.Cell(y.Yield), volume.Cell(y.Spill),
			fmt.Sprint(y.ShortDays), fmt.Sprint(y.LongestDry),
		})
	}
	t.print(p)
	if partial > 0 {
		p.para("* not a whole usable year: run, but not counted among the years.")
	}
}

// runs prints the runs of short days, the longest of many.
func (z *Replayed) runs(p *prose) {
	r := z.Result
	least, shown := 1, len(r.Runs)
	for shown > mostRuns {
		least++
		shown = 0
		for _, x := range r.Runs {
			if x.Days >= least {
				shown++
			}
		}
	}
	var deficits []float64
	for _, x := range r.Runs {
		deficits = append(deficits, x.Deficit)
	}
	volume := z.Units.VolumeColumn(deficits...)
	t := &textTable{header: [][]string{{"dry from", "to", "days", "short of " + volume.Unit}}}
	for _, x := range r.Runs {
		if x.Days >= least {
			last := x.From + rainfall.Date(x.Days) - 1
			t.rows = append(t.rows, []string{x.From.String(), last.String(), fmt.Sprint(x.Days), volume.Cell(x.Deficit)})
		}
	}
	t.print(p)
	if shown < len(r.Runs) {
		p.para("Runs of %s or more; all %d are in --json.", words.Plural(least, "day"), len(r.Runs))
	}
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
		years = append(years, yearJSON{y.Start.String(), y.Whole, y.Days, number(y.Rain), number(y.Inflow), number(y.Demand), number(y.Yield), number(y.Spill), y.ShortDays, y.LongestDry, number(y.Needs)})
	}
	for _, x := range r.Runs {
		runs = append(runs, dryJSON{x.From.String(), x.Days, number(x.Deficit)})
	}
	return marshal(struct {
		Schema     string             `json:"schema"`
		Version    string             `json:"version"`
		Title      string             `json:"title"`
		Record     sizeRecordJSON     `json:"record"`
		Rule       string             `json:"rule"`
		Tank       number             `json:"tank_l"`
		Dead       number             `json:"dead_share"`
		Roofs      []roofJSON         `json:"roofs"`
		Uses       []useJSON          `json:"uses"`
		First      string             `json:"first"`
		Last       string             `json:"last"`
		Days       int                `json:"days"`
		Skipped    int                `json:"skipped_days"`
		Inflow     number             `json:"inflow_l"`
		Demand     number             `json:"demand_l"`
		Supplied   number             `json:"supplied_l"`
		Spill      number             `json:"spill_l"`
		Start      number             `json:"start_l"`
		End        number             `json:"end_l"`
		ShortDays  int                `json:"short_days"`
		Volumetric number             `json:"volumetric"`
		Time       number             `json:"time"`
		Annual     number             `json:"annual"`
		WholeYears int                `json:"whole_years"`
		Years      []yearJSON         `json:"years"`
		Runs       []dryJSON          `json:"dry_runs"`
		Warnings   []rainfall.Warning `json:"warnings"`
	}{"tankodds/replay/1", z.Version, z.Title, sizeRecord(z.Record), r.Tank.Rule.String(), number(r.Tank.Nominal), number(r.Tank.Dead),
		roofsAsJSON(r.Roofs), usesAsJSON(z.Uses), r.First.String(), r.Last.String(), r.Days, r.Skipped,
		number(r.Inflow), number(r.Demand), number(r.Yield), number(r.Spill), number(r.StartsWith), number(r.EndsWith),
		r.ShortDays, number(r.Volumetric), number(r.Time), number(r.Annual), r.WholeYears, years, runs, z.warnings(units.SI)})
}

// WriteDaily writes a row a day run, SI units named in the header, full
// precision.
func (z *Replayed) WriteDaily(w io.Writer) error {
	c := codec.NewCSV(w)
	c.Write([]string{"date", "rain_mm", "inflow_l", "demand_l", "supplied_l", "spill_l", "storage_l"})
	for _, d := range z.Result.Daily {
		c.Write([]string{d.Date.String(), codec.Exact(d.Rain), codec.Exact(d.Inflow), codec.Exact(d.Demand), codec.Exact(d.Yield), codec.Exact(d.Spill), codec.Exact(d.Storage)})
	}
	c.Flush()
	return c.Error()
}
