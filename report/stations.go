package report

import (
	"bytes"
	"encoding/csv"
	"io"
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
	Latitude  float64  `key:"latitude_degrees" doc:"of the gauge, north of the equator: of the list of stations, or else of the record"`
	Longitude float64  `key:"longitude_degrees" doc:"of the gauge, east of Greenwich"`
	Elevation float64  `key:"elevation_m" doc:"of the gauge, above the sea"`
	Listed    []Listed `key:"listed,omitempty" doc:"what the list of stations says beside that; columns of their own in answers.csv"`

	Missing     int     `key:"missing_days" doc:"days without a value of their own"`
	Minds       int     `key:"warnings" doc:"how many things must be minded of record and answer"`
	CV          float64 `key:"coefficient_of_variation" doc:"standard deviation of the usable water years' rain over its mean"`
	Seasonality float64 `key:"seasonality" doc:"index of Walsh & Lawler (1981): 0 where all months are alike, 1.83 where all rain falls in one"`
	Climate     string  `key:"climate" doc:"the class of that index: very-equable, wetter-season, rather-seasonal, seasonal, markedly-seasonal, three-months or extreme"`
	WetShare    float64 `key:"wet_day_share" doc:"share of valid days with 1 mm and more"`
	DrySpell    float64 `key:"longest_dry_spell_days" doc:"the longest run of days below 1 mm"`
	Driest      float64 `key:"driest_12_months_mm" doc:"the least rain of twelve whole months running"`

	Grade  string  `key:"grade" doc:"of the answer: shown, indicated, too-short or out-of-reach; empty where the record could not be answered for"`
	Tank   float64 `key:"tank_l" doc:"the smallest nominal size that meets the target"`
	Low    float64 `key:"low_l" doc:"lower end of its band"`
	High   float64 `key:"high_l" doc:"upper end of its band"`
	Safe   float64 `key:"safe_tank_l" doc:"the smallest size whose lower bound meets the target"`
	Stop   float64 `key:"stop_l" doc:"where more storage stops paying"`
	Inflow float64 `key:"inflow_l_per_year" doc:"what the roofs give in a mean year"`
	Wanted float64 `key:"demand_l_per_year" doc:"what is wanted in a mean year"`
	Demand float64 `key:"demand_fraction" doc:"water wanted over what the roofs give, both of a mean year"`
	Store  float64 `key:"storage_fraction" doc:"tank_l over what the roofs give in a mean year"`

	At        float64      `key:"at_l" doc:"the size that annual, time and volumetric of this row are of: the middle one of the sizes asked about, the same for every record"`
	GoodYears sim.Interval `key:"annual" doc:"share of water years with no more short days than allowed"`
	DaysMet   sim.Interval `key:"time" doc:"share of days that are not short"`
	WaterMet  sim.Interval `key:"volumetric" doc:"share of the water wanted that is supplied"`
	Reason    string       `key:"reason" doc:"why there is no answer"`
}

// answered says whether the record could be answered for.
func (x *Station) answered() bool { return x.Grade != "" }

// unanswered is a record that could not be.
func unanswered(file, why string) Station {
	nan := math.NaN()
	none := sim.Interval{Estimate: nan, Low: nan, High: nan}
	return Station{
		File: file, Reason: why, briefRecord: briefRecord{First: rainfall.NoDate, Last: rainfall.NoDate, Annual: nan},
		Latitude: nan, Longitude: nan, Elevation: nan,
		CV: nan, Seasonality: nan, WetShare: nan, DrySpell: nan, Driest: nan,
		Tank: nan, Low: nan, High: nan, Safe: nan, Stop: nan, Inflow: nan, Wanted: nan, Demand: nan, Store: nan, At: nan,
		GoodYears: none, DaysMet: none, WaterMet: none,
	}
}

func stationOf(z *Sizing) Station {
	m, r, a := z.Record, z.Result, z.Result.Main
	own := z.ownCells()
	at, nan := own[len(own)/2], math.NaN() // the middle of those asked about
	out := Station{
		File: m.File, briefRecord: briefly(m), Missing: m.Missing, Minds: z.minds(), Latitude: nan, Longitude: nan, Elevation: nan,
		CV: m.YearSD / m.YearMean, Seasonality: m.Seasonality(), Climate: rainfall.SeasonClass(m.Seasonality()), WetShare: m.WetShare, DrySpell: float64(m.DrySpell.Days), Driest: nan,
		Grade: a.Grade.String(), Tank: a.Tank, Low: a.Low, High: a.High, Safe: a.Safe, Stop: r.Stop.Tank,
		Inflow: a.Cell.Inflow, Wanted: a.Cell.Demand, Demand: a.Cell.Demand / a.Cell.Inflow, Store: a.Tank / a.Cell.Inflow,
		At: at.Tank, GoodYears: at.Annual, DaysMet: at.Time, WaterMet: at.Volumetric,
	}
	if p := m.Position; p != nil {
		out.Latitude, out.Longitude, out.Elevation = p.Latitude, p.Longitude, p.Elevation
	}
	if math.IsNaN(a.Tank) {
		out.Reason = words.Reason(a)
	}
	for _, d := range m.Driest {
		if d.Months == 12 {
			out.Driest = d.MM
		}
	}
	return out
}

// Comparison is the same site under several records.
type Comparison struct {
	Version  string
	Title    string // of the site, "" where it has none
	Units    units.System
	Study    *sim.Study
	Stations []Station // in the order in which they are shown

	LeftOut int    // how many did not meet the conditions
	Group   string // the column that they are counted by, "" for none

	// What Work finds.
	Pairs  []Pair
	Groups []Group
	Region *sim.Regional

	curves  [][][4]float64
	groupOf []string // of each station, its value of Group

	listed bool // whether a list of stations was given
	parts  []*Part
	seen   map[string]string // of the records so far: SHA-256 of the file → its name
	at     []int             // of each station, its place in the list
}

// Gather makes a comparison of the rows of parts, which are all those of one study,
// in their order.
func Gather(parts []*Part) (*Comparison, error) {
	in := parts[0].Head.Inputs
	z := &Comparison{Version: parts[0].Head.Version, Title: in.Title, Units: in.Units, Study: in.Study, LeftOut: parts[0].Head.LeftOut, listed: parts[0].Head.Listing != "", parts: parts}
	for _, p := range parts {
		for at, to := p.Head.Range(); at < to; at++ {
			x, err := p.Station(at)
			if err != nil {
				return nil, err
			}
			if x != nil {
				z.once(x)
				z.at, z.Stations = append(z.at, at), append(z.Stations, *x)
			}
		}
	}
	return z, nil
}

// once leaves out a record that was answered for under an earlier row, the same file
// or a copy of it: it would be held against itself, and count twice among all.
func (z *Comparison) once(x *Station) {
	if !x.answered() || x.SHA256 == "" {
		return
	}
	first, again := z.seen[x.SHA256]
	if !again {
		if z.seen == nil {
			z.seen = map[string]string{}
		}
		z.seen[x.SHA256] = x.File
		return
	}
	why := x.File + " is named twice, and has one row"
	if first != x.File {
		why = x.File + " is the same record as " + first + ", byte for byte"
	}
	y := unanswered(x.File, why)
	y.SHA256, y.Latitude, y.Longitude, y.Elevation, y.Listed = x.SHA256, x.Latitude, x.Longitude, x.Elevation, x.Listed
	*x = y
}

// Work finds what is told of the stations together, once they are chosen.
func (z *Comparison) Work() (err error) {
	if z.Groups, err = z.groups(); err == nil {
		z.Pairs, err = z.pairs()
	}
	if err == nil {
		z.Region, err = z.region()
	}
	return err
}

// part is the one that has the row of a record.
func (z *Comparison) part(at int) *Part {
	k, _ := slices.BinarySearchFunc(z.parts, at, func(p *Part, at int) int {
		if _, to := p.Head.Range(); to <= at {
			return -1
		}
		return 1
	})
	return z.parts[k]
}

// eachShown reads the rows of stations that are shown, in their order.
func (z *Comparison) eachShown(wanted func(i int) bool, do func(i int, r *Row) error) error {
	for i, at := range z.at {
		if !wanted(i) {
			continue
		}
		r, err := z.part(at).Row(at)
		if err == nil {
			err = do(i, r)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// answeredAt says whether a station could be answered for.
func (z *Comparison) answeredAt(i int) bool { return z.Stations[i].answered() }

// Answered counts the records that were answered for.
func (z *Comparison) Answered() (n int) {
	for i := range z.Stations {
		if z.Stations[i].answered() {
			n++
		}
	}
	return n
}

// WriteJSON writes one object of the schema CompareSchema with a row a record, one
// after the other: of thousands it would be large.
func (z *Comparison) WriteJSON(w io.Writer) error {
	const none = `"stations": []`
	text := codec.Encode(compareDoc{CompareSchema, z.Version, z.Title, nil, z.Pairs, z.Groups, z.Region}).Bytes()
	at := bytes.Index(text, []byte(none))
	head, tail := text[:at+len(none)-1], text[at+len(none)-1:]
	if _, err := w.Write(head); err != nil {
		return err
	}
	for i := range z.Stations {
		between := ",\n  "
		if i == 0 {
			between = "\n  "
		}
		if _, err := io.WriteString(w, between); err != nil {
			return err
		}
		if _, err := w.Write(codec.Encode(z.Stations[i]).Within(2)); err != nil {
			return err
		}
	}
	if len(z.Stations) > 0 {
		tail = append([]byte("\n "), tail...)
	}
	_, err := w.Write(tail)
	return err
}

type compareDoc struct {
	Schema   string        `key:"schema" doc:"name of the shape of this object"`
	Version  string        `key:"version" doc:"of the program"`
	Title    string        `key:"title" doc:"name of the site"`
	Stations []Station     `key:"stations" doc:"the records, in the order in which they are shown"`
	Pairs    []Pair        `key:"differences" doc:"each two of the records beside each other, where at most 50 were answered for"`
	Groups   []Group       `key:"groups,omitempty" doc:"the records counted by --group"`
	Region   *sim.Regional `key:"regional" doc:"one curve without a unit fitted to those of all records; none of fewer than 10"`
}

// AnswersCSV returns the rows as a tidy table: SI units named in the header, full
// precision; after them the columns of the list of stations.
func (z *Comparison) AnswersCSV() ([]byte, error) {
	text, err := codec.Rows(z.Stations)
	more := z.listedColumns()
	if err != nil || more == nil {
		return text, err
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w := codec.NewCSV(&b)
	for i, row := range rows {
		for _, name := range more {
			cell := name
			if i > 0 {
				cell = z.Stations[i-1].listed(name)
			}
			row = append(row, cell)
		}
		w.Write(row)
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// WriteCurves writes the curves of all records as a tidy table: a row a size.
func (z *Comparison) WriteCurves(w io.Writer) error {
	if _, err := io.WriteString(w, CurvesHeader()); err != nil {
		return err
	}
	for i, at := range z.at {
		if !z.answeredAt(i) {
			continue
		}
		text, _, err := z.part(at).texts(at)
		if err == nil {
			_, err = io.WriteString(w, text)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// WriteProvenance writes what each answer rests on and what must be minded of it.
func (z *Comparison) WriteProvenance(w io.Writer) error {
	for i, at := range z.at {
		_, lines, err := z.part(at).texts(at)
		if err != nil {
			return err
		}
		if x := &z.Stations[i]; !x.answered() {
			lines = []string{x.File + ": left out: " + x.Reason}
		}
		for _, line := range lines {
			if _, err := io.WriteString(w, line+"\n"); err != nil {
				return err
			}
		}
	}
	return nil
}

// MostCurves is of how many stations the curves are drawn: of more, of so many
// evenly chosen ones.
const MostCurves = 500

// Curves reads the curves that are drawn, each point a nominal size in L, the share
// of the study's measure and its bounds; nil for a station whose curve is not.
func (z *Comparison) Curves() ([][][4]float64, error) {
	if len(z.curves) == len(z.Stations) {
		return z.curves, nil
	}
	out := make([][][4]float64, len(z.Stations))
	n, k := z.Answered(), 0
	drawn := make([]bool, len(z.Stations))
	for i := range z.Stations {
		if z.Stations[i].answered() {
			drawn[i] = n <= MostCurves || k*MostCurves/n != (k+1)*MostCurves/n
			k++
		}
	}
	err := z.eachShown(func(i int) bool { return drawn[i] }, func(i int, r *Row) error {
		out[i] = r.Points
		return nil
	})
	z.curves = out
	return out, err
}

// Names are short names of the stations, no two alike.
func (z *Comparison) Names() []string { return labels(z.Stations, 40) }
