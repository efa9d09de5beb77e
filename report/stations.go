package report

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"

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

	At        float64      `key:"at_l" doc:"the size that the three reliabilities are of"`
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

	groupOf []string // of each station, its value of Group

	parts []*Part
	at    []int // of each station, its place in the list
}

// Gather makes a comparison of the rows of parts, which are all those of one study,
// in their order.
func Gather(parts []*Part) (*Comparison, error) {
	in := parts[0].Head.Inputs
	z := &Comparison{Version: parts[0].Head.Version, Title: in.Title, Units: in.Units, Study: in.Study, LeftOut: parts[0].Head.LeftOut, parts: parts}
	err := z.eachRow(func(r *Row) error {
		z.at = append(z.at, r.At)
		z.Stations = append(z.Stations, r.Station)
		return nil
	})
	return z, err
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

// eachRow reads the rows of all records, in the order of the list.
func (z *Comparison) eachRow(do func(*Row) error) error {
	for _, p := range z.parts {
		from, to := p.Head.Range()
		for at := from; at < to; at++ {
			r, err := p.Row(at)
			if err == nil && r != nil {
				err = do(r)
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// eachShown reads the rows of the stations that are shown, in their order.
func (z *Comparison) eachShown(do func(i int, r *Row) error) error {
	for i, at := range z.at {
		k := 0
		for _, to := z.parts[k].Head.Range(); at >= to; _, to = z.parts[k].Head.Range() {
			k++
		}
		r, err := z.parts[k].Row(at)
		if err == nil {
			err = do(i, r)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// Answered counts the records that were answered for.
func (z *Comparison) Answered() (n int) {
	for i := range z.Stations {
		if z.Stations[i].answered() {
			n++
		}
	}
	return n
}

// JSON returns one object of the schema CompareSchema with a row a record.
func (z *Comparison) JSON() ([]byte, error) {
	return codec.Encode(compareDoc{CompareSchema, z.Version, z.Title, z.Stations, z.Pairs, z.Groups, z.Region}).Bytes(), nil
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
	return z.eachShown(func(_ int, r *Row) error {
		_, err := io.WriteString(w, r.Curves)
		return err
	})
}

// WriteProvenance writes what each answer rests on and what must be minded of it.
func (z *Comparison) WriteProvenance(w io.Writer) error {
	return z.eachShown(func(_ int, r *Row) error {
		for _, line := range r.Rests {
			if _, err := io.WriteString(w, line+"\n"); err != nil {
				return err
			}
		}
		return nil
	})
}

// MostCurves is of how many stations the curves are drawn: of more, of so many
// evenly chosen ones.
const MostCurves = 500

// Curves reads the curves that are drawn, each point a nominal size in L, the share
// of the study's measure and its bounds; nil for a station whose curve is not.
func (z *Comparison) Curves() ([][][4]float64, error) {
	out := make([][][4]float64, len(z.Stations))
	n, k := z.Answered(), 0
	drawn := make([]bool, len(z.Stations))
	for i := range z.Stations {
		if z.Stations[i].answered() {
			drawn[i] = n <= MostCurves || k*MostCurves/n != (k+1)*MostCurves/n
			k++
		}
	}
	err := z.eachShown(func(i int, r *Row) error {
		if drawn[i] {
			out[i] = r.Points
		}
		return nil
	})
	return out, err
}

// Names are short names of the stations, no two alike.
func (z *Comparison) Names() []string { return labels(z.Stations, 40) }
