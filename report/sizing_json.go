package report

import (
	"bytes"
	"encoding/json"
	"math"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/words"
	"tankodds/sim"
)

// number is a float64 that JSON writes in full precision, and as null where
// it is no finite number.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	x := float64(n)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(x)
}

type intervalJSON struct {
	Estimate number `json:"estimate"`
	Low      number `json:"low"`
	High     number `json:"high"`
}

func interval(i sim.Interval) intervalJSON {
	return intervalJSON{number(i.Estimate), number(i.Low), number(i.High)}
}

// cellJSON holds plain numbers: there are thousands of them, each finite, and
// they are written in a third of the time that number takes.
type cellJSON struct {
	Roof       float64    `json:"roof_m2"`
	Tank       float64    `json:"tank_l"`
	Volumetric boundsJSON `json:"volumetric"`
	Time       boundsJSON `json:"time"`
	Annual     boundsJSON `json:"annual"`
	ShortDays  float64    `json:"short_days_per_year"`
	SpillShare float64    `json:"spill_share"`
	Supplied   float64    `json:"supplied_l_per_year"`
	Demand     float64    `json:"demand_l_per_year"`
	Inflow     float64    `json:"inflow_l_per_year"`
	MonteCarlo struct {
		Volumetric boundsJSON `json:"volumetric"`
		Time       boundsJSON `json:"time"`
		Annual     boundsJSON `json:"annual"`
	} `json:"monte_carlo"`
}

type boundsJSON struct {
	Estimate float64 `json:"estimate"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
}

func cellAsJSON(c sim.Cell) cellJSON {
	out := cellJSON{
		Roof: c.Area, Tank: c.Tank,
		Volumetric: boundsJSON(c.Volumetric), Time: boundsJSON(c.Time), Annual: boundsJSON(c.Annual),
		ShortDays: c.ShortDays, SpillShare: c.SpillShare, Supplied: c.Supplied, Demand: c.Demand, Inflow: c.Inflow,
	}
	out.MonteCarlo.Volumetric = boundsJSON(c.MonteCarlo.Volumetric)
	out.MonteCarlo.Time = boundsJSON(c.MonteCarlo.Time)
	out.MonteCarlo.Annual = boundsJSON(c.MonteCarlo.Annual)
	return out
}

type answerJSON struct {
	Measure string `json:"measure"`
	Target  number `json:"target"`
	Roof    number `json:"roof_m2"`
	Tank    number `json:"tank_l"`
	Low     number `json:"low_l"`
	High    number `json:"high_l"`
	Safe    number `json:"safe_tank_l"`
	Listed  number `json:"listed_tank_l"`
	Beyond  number `json:"beyond_range_l"`
	Reason  string `json:"reason"`
}

func answerAsJSON(a sim.Answer) answerJSON {
	return answerJSON{a.Measure.String(), number(a.Target), number(a.Area), number(a.Tank), number(a.Low), number(a.High),
		number(a.Safe), number(a.Listed), number(a.Beyond), words.Reason(a)}
}

type stopJSON struct {
	Tank   number `json:"tank_l"`
	Low    number `json:"low_l"`
	High   number `json:"high_l"`
	Method string `json:"method"`
	Detail string `json:"detail"`
}

type sizeRecordJSON struct {
	Station    string `json:"station"`
	Place      string `json:"place"`
	Format     string `json:"format"`
	SHA256     string `json:"sha256"`
	First      string `json:"first"`
	Last       string `json:"last"`
	Usable     int    `json:"usable_years"`
	MeanAnnual number `json:"mean_annual_mm"`
}

func sizeRecord(m *rainfall.Summary) sizeRecordJSON {
	return sizeRecordJSON{m.Station, m.Place, m.Format, m.SHA256, m.First.String(), m.Last.String(), m.UsableN, number(m.MeanAnnual)}
}

// JSON returns the sizing as one object of the schema tankodds/size/1, in SI
// and full precision.
func (z *Sizing) JSON() ([]byte, error) {
	r := z.Result
	s := r.Study
	type outlookJSON struct {
		Tank    number `json:"tank_l"`
		Horizon int    `json:"years"`
		Low     number `json:"low"`
		Median  number `json:"median"`
		High    number `json:"high"`
	}
	type realJSON struct {
		Year      int    `json:"year"`
		Rain      number `json:"rain_mm"`
		Supplied  number `json:"supplied_l"`
		Demand    number `json:"demand_l"`
		Spill     number `json:"spill_l"`
		ShortDays int    `json:"short_days"`
		Needs     number `json:"needs_l"`
	}
	out := struct {
		Schema      string          `json:"schema"`
		Version     string          `json:"version"`
		Title       string          `json:"title"`
		Record      sizeRecordJSON  `json:"record"`
		WaterYear   string          `json:"water_year_starts"`
		Rule        string          `json:"rule"`
		Seed        uint64          `json:"seed"`
		Generator   string          `json:"generator"`
		Parameters  []gen.Parameter `json:"generator_parameters"`
		Years       int             `json:"years"`
		RecordError bool            `json:"record_error"`
		Level       number          `json:"level"`
		Roofs       []roofJSON      `json:"roofs"`
		Uses        []useJSON       `json:"uses"`
		Cells       []cellJSON      `json:"cells"`
		Answer      answerJSON      `json:"answer"`
		Answers     []answerJSON    `json:"answers"`
		Stop        stopJSON        `json:"stop"`
		Stops       []stopJSON      `json:"stops"`
		Outlook     *outlookJSON    `json:"outlook"`
		Real        []realJSON      `json:"real_years"`
		Warnings    []words.Warning `json:"warnings"`
	}{
		Schema: "tankodds/size/1", Version: z.Version, Title: z.Title,
		Record: sizeRecord(z.Record), WaterYear: r.WaterYear.String(),
		Rule: s.Rule.String(), Seed: s.Seed, Generator: r.Generator, Parameters: r.Params, Years: r.Simulated,
		RecordError: s.RecordError, Level: number(s.Level), Roofs: roofsAsJSON(s.Roofs), Uses: usesAsJSON(s.Uses),
		Answer: answerAsJSON(r.Main), Warnings: z.Warnings(),
	}
	for _, c := range r.Cells {
		out.Cells = append(out.Cells, cellAsJSON(c))
	}
	for _, a := range r.Answers {
		out.Answers = append(out.Answers, answerAsJSON(a))
	}
	for _, st := range r.Stops {
		out.Stops = append(out.Stops, stopJSON{number(st.Tank), number(st.Low), number(st.High), st.Method, words.Method(st.Method, s)})
	}
	if len(out.Stops) > 0 {
		out.Stop = out.Stops[0]
	}
	if o := r.Outlook; o != nil {
		out.Outlook = &outlookJSON{number(o.Tank), o.Horizon, number(o.Low), number(o.Mid), number(o.High)}
	}
	for _, y := range r.Real {
		out.Real = append(out.Real, realJSON{y.Label, number(y.Rain), number(y.Supplied), number(y.Demand), number(y.Spilled), y.ShortDays, number(y.Needs)})
	}
	return marshal(out)
}

type roofJSON struct {
	Name       string `json:"name,omitempty"`
	Area       number `json:"area_m2"`
	Runoff     number `json:"runoff"`
	Wetting    number `json:"wetting_mm"`
	FirstFlush number `json:"first_flush_mm"`
	Filter     number `json:"filter"`
	Drains     int    `json:"drains_days"`
	Surface    string `json:"surface,omitempty"`
}

func roofsAsJSON(roofs []sim.Roof) []roofJSON {
	var out []roofJSON
	for _, r := range roofs {
		out = append(out, roofJSON{r.Name, number(r.Area), number(r.Runoff), number(r.Wetting), number(r.FirstFlush), number(r.Filter), r.Drains, r.Surface})
	}
	return out
}

type useJSON struct {
	Name    string     `json:"name,omitempty"`
	Daily   number     `json:"daily_l"`
	Days    []string   `json:"days"`
	Monthly [12]number `json:"monthly_l"`
}

func usesAsJSON(uses []sim.Use) []useJSON {
	var out []useJSON
	for _, u := range uses {
		j := useJSON{Name: u.Name, Daily: number(u.Daily), Days: u.Days.Texts()}
		for m, x := range u.Monthly {
			j.Monthly[m] = number(x)
		}
		out = append(out, j)
	}
	return out
}

// marshal writes JSON with an indent of one space and no HTML escapes.
func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	err := e.Encode(v)
	return b.Bytes(), err
}
