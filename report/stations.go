package report

import (
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Station is one record of a comparison: its climate, what it is worth, and what
// the site needs under it. What is not known is NaN or empty.
type Station struct {
	File string `key:"file" doc:"the name that the record was read under"`
	briefRecord
	Missing     int     `key:"missing_days" doc:"days without a value of their own"`
	Minds       int     `key:"warnings" doc:"how many things must be minded of record and answer"`
	CV          float64 `key:"coefficient_of_variation" doc:"standard deviation of the usable water years' rain over its mean"`
	Seasonality float64 `key:"seasonality" doc:"index of Walsh & Lawler (1981): 0 where all months are alike, 1.83 where all rain falls in one"`
	WetShare    float64 `key:"wet_day_share" doc:"share of valid days with 1 mm and more"`
	DrySpell    float64 `key:"longest_dry_spell_days" doc:"the longest run of days below 1 mm"`
	Driest      float64 `key:"driest_12_months_mm" doc:"the least rain of twelve whole months running"`

	Grade  string  `key:"grade" doc:"of the answer: shown, indicated, too-short or out-of-reach; empty where the record could not be answered for"`
	Tank   float64 `key:"tank_l" doc:"the smallest nominal size that meets the target"`
	Low    float64 `key:"low_l" doc:"lower end of its band"`
	High   float64 `key:"high_l" doc:"upper end of its band"`
	Safe   float64 `key:"safe_tank_l" doc:"the smallest size whose lower bound meets the target"`
	Stop   float64 `key:"stop_l" doc:"where more storage stops paying"`
	Demand float64 `key:"demand_fraction" doc:"water wanted over what the roofs give, both of a mean year"`
	Store  float64 `key:"storage_fraction" doc:"tank_l over what the roofs give in a mean year"`

	At           float64      `key:"at_l" doc:"the size that the three reliabilities are of"`
	GoodYears    sim.Interval `key:"annual" doc:"share of water years with no more short days than allowed"`
	DaysMet      sim.Interval `key:"time" doc:"share of days that are not short"`
	WaterMet     sim.Interval `key:"volumetric" doc:"share of the water wanted that is supplied"`
	Reason       string       `key:"reason" doc:"why there is no answer"`
	couldNotRead bool
}

// Comparison is the same site under several records, in the order in which they
// were given. Of many only the rows are kept.
type Comparison struct {
	Version  string
	Title    string // of the site, "" where it has none
	Units    units.System
	Study    *sim.Study // the first record's
	Stations []Station
	Sizings  []*Sizing // the first MostCurves, to be drawn
}

// MostCurves is how many curves are drawn together.
const MostCurves = 40

// Add adds an answered record.
func (z *Comparison) Add(x *Sizing) {
	if z.Study == nil {
		z.Study = x.Result.Study
	}
	if len(z.Sizings) < MostCurves {
		z.Sizings = append(z.Sizings, x)
	}
	z.Stations = append(z.Stations, stationOf(x))
}

// AddFailed adds a record that could not be answered for, and why.
func (z *Comparison) AddFailed(file string, why error) {
	nan := math.NaN()
	none := sim.Interval{Estimate: nan, Low: nan, High: nan}
	z.Stations = append(z.Stations, Station{File: file, Reason: why.Error(), briefRecord: briefRecord{First: rainfall.NoDate, Last: rainfall.NoDate, Annual: nan},
		CV: nan, Seasonality: nan, WetShare: nan, DrySpell: nan, Driest: nan, Tank: nan, Low: nan, High: nan, Safe: nan, Stop: nan, Demand: nan, Store: nan, At: nan,
		GoodYears: none, DaysMet: none, WaterMet: none, couldNotRead: true})
}

// Answered counts the records that were answered for.
func (z *Comparison) Answered() (n int) {
	for _, x := range z.Stations {
		if !x.couldNotRead {
			n++
		}
	}
	return n
}

func stationOf(z *Sizing) Station {
	m, r, a := z.Record, z.Result, z.Result.Main
	own := z.ownCells()
	at, reason := own[len(own)/2], "" // the middle of those asked about
	if math.IsNaN(a.Tank) {
		reason = words.Reason(a)
	}
	out := Station{
		File: m.File, briefRecord: briefly(m), Missing: m.Missing, Minds: len(words.Ordered(z.told(units.SI, false), words.InJSON)),
		CV: m.YearSD / m.YearMean, Seasonality: m.Seasonality(), WetShare: m.WetShare, DrySpell: float64(m.DrySpell.Days), Driest: math.NaN(),
		Grade: a.Grade.String(), Tank: a.Tank, Low: a.Low, High: a.High, Safe: a.Safe, Stop: r.Stop.Tank,
		Demand: a.Cell.Demand / a.Cell.Inflow, Store: a.Tank / a.Cell.Inflow,
		At: at.Tank, GoodYears: at.Annual, DaysMet: at.Time, WaterMet: at.Volumetric, Reason: reason,
	}
	for _, d := range m.Driest {
		if d.Months == 12 {
			out.Driest = d.MM
		}
	}
	return out
}

// JSON returns one object of the schema CompareSchema with a row a record.
func (z *Comparison) JSON() ([]byte, error) {
	return codec.Encode(compareDoc{CompareSchema, z.Version, z.Title, z.Stations}).Bytes(), nil
}

type compareDoc struct {
	Schema   string    `key:"schema" doc:"name of the shape of this object"`
	Version  string    `key:"version" doc:"of the program"`
	Title    string    `key:"title" doc:"name of the site"`
	Stations []Station `key:"stations" doc:"the records, in the order in which they were given"`
}

// AnswersCSV returns the rows as a tidy table: SI units named in the header, full
// precision.
func (z *Comparison) AnswersCSV() ([]byte, error) { return codec.Rows(z.Stations) }

// CurveRows returns the curve of one answered record for a tidy table of all: a row
// a size, under a header where it is asked for.
func CurveRows(x *Sizing, header bool) ([]byte, error) {
	type row struct {
		File    string `key:"file"`
		Station string `key:"station"`
		sim.Cell
	}
	var rows []row
	for _, c := range x.Result.Cells {
		rows = append(rows, row{x.Record.File, x.Record.Station, c})
	}
	text, err := codec.Rows(rows)
	if err == nil && !header {
		if at := slices.Index(text, '\n'); at >= 0 {
			text = text[at+1:]
		}
	}
	return text, err
}

// Provenance says what the answer under one record rests on and what must be minded
// of it, in lines.
func (z *Sizing) Provenance() []string {
	out := []string{z.Record.File + ": " + z.basis()}
	for _, text := range words.Ordered(z.told(z.Units, false), words.InJSON) {
		out = append(out, "  Mind: "+text+".")
	}
	return out
}
