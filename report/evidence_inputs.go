package report

import (
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/sim"
)

// RecordInput says which record was read, and how: what a reader cannot learn
// from the file alone.
type RecordInput struct {
	File     string `json:"file"`            // as it was named; "-" is standard input
	Embedded bool   `json:"embedded"`        // the invented record that the program carries
	SHA256   string `json:"sha256"`          // of the file's bytes
	Unpacked string `json:"unpacked_sha256"` // of the same with gzip undone; "" where not known

	read.Options // this and what follows as asked for; "" or 0 where not

	WaterYear int `json:"water_year_start_month"`
	Since     int `json:"since"`
}

// Inputs is all that a sizing rests on beside the record's bytes.
type Inputs struct {
	Title     string      `json:"title"`
	Units     string      `json:"units"`
	Cover     coverJSON   `json:"cover"`
	Record    RecordInput `json:"record"`
	Generator string      `json:"generator"`
	Study     studyJSON   `json:"study"`
}

// coverJSON is Cover, as it is printed.
type coverJSON struct {
	Client    string  `json:"client"`
	Author    string  `json:"author"`
	Location  string  `json:"location"`
	Note      string  `json:"note"`
	Date      string  `json:"date"`
	Elevation *number `json:"elevation_m"`
}

// Cover returns what the sheet said of its own making.
func (j coverJSON) Cover() Cover {
	return Cover{j.Client, j.Author, j.Location, j.Note, j.Date, (*float64)(j.Elevation)}
}

// studyJSON is sim.Study, field by field, but for what cannot change an
// answer: Workers and Progress.
type studyJSON struct {
	Roofs       []roofJSON `json:"roofs"`
	Areas       []number   `json:"roof_areas_m2"`
	Uses        []useJSON  `json:"uses"`
	Sizes       []number   `json:"tank_sizes_l"`
	Dead        number     `json:"dead_share"`
	Start       number     `json:"start_l"`
	Rule        string     `json:"rule"`
	Measure     string     `json:"measure"`
	Target      number     `json:"target"`
	Allow       int        `json:"allowed_short_days"`
	Years       int        `json:"years"`
	Seed        uint64     `json:"seed"`
	RecordError bool       `json:"record_error"`
	Replicates  int        `json:"resampled_records"`
	Horizon     int        `json:"horizon_years"`
	Level       number     `json:"level"`
	GainStep    number     `json:"gain_step_l"`
	GainStop    number     `json:"gain_stop_share"`
	Stress      stressJSON `json:"stress"`
	Costs       *costsJSON `json:"costs"`
}

type stressJSON struct {
	Rain     [12]number `json:"rain_factors"` // January first; all zero for none
	DrySpell number     `json:"dry_spell_factor"`
}

type costsJSON struct {
	Sizes    []number `json:"sizes_l"`
	Prices   []number `json:"prices"`
	Water    number   `json:"water_price_per_m3"`
	Life     number   `json:"life_years"`
	Discount number   `json:"discount_rate"`
	Currency string   `json:"currency"`
}

func (z *Sizing) inputs() Inputs {
	c := z.Cover
	in := Inputs{Title: z.Title, Units: z.Units.String(),
		Cover:  coverJSON{c.Client, c.Author, c.Location, c.Note, c.Date, (*number)(c.Elevation)},
		Record: z.Source, Generator: z.Result.Generator, Study: studyAsJSON(z.Result.Study)}
	in.Record.File, in.Record.SHA256 = z.Record.File, z.Record.SHA256
	return in
}

func studyAsJSON(s *sim.Study) studyJSON {
	out := studyJSON{
		Roofs: roofsAsJSON(s.Roofs), Areas: numbers(s.Areas), Uses: usesAsJSON(s.Uses), Sizes: numbers(s.Sizes),
		Dead: number(s.Dead), Start: number(s.Start), Rule: s.Rule.String(),
		Measure: s.Measure.String(), Target: number(s.Target), Allow: s.Allow,
		Years: s.Years, Seed: s.Seed, RecordError: s.RecordError, Replicates: s.Replicates, Horizon: s.Horizon,
		Level: number(s.Level), GainStep: number(s.GainStep), GainStop: number(s.GainStop),
	}
	out.Stress.DrySpell = number(s.Stress.DrySpell)
	for m, x := range s.Stress.Rain {
		out.Stress.Rain[m] = number(x)
	}
	if c := s.Costs; c != nil {
		out.Costs = &costsJSON{numbers(c.Sizes), numbers(c.Prices), number(c.Water), number(c.Life), number(c.Discount), c.Currency}
	}
	return out
}

// Sim returns the study that was answered.
func (j *studyJSON) Sim() (*sim.Study, error) {
	s := &sim.Study{
		Areas: floats(j.Areas), Sizes: floats(j.Sizes), Dead: float64(j.Dead), Start: float64(j.Start),
		Target: float64(j.Target), Allow: j.Allow,
		Years: j.Years, Seed: j.Seed, RecordError: j.RecordError, Replicates: j.Replicates, Horizon: j.Horizon,
		Level: float64(j.Level), GainStep: float64(j.GainStep), GainStop: float64(j.GainStop),
	}
	s.Stress = gen.Stress{Rain: [12]float64(floats(j.Stress.Rain[:])), DrySpell: float64(j.Stress.DrySpell)}
	for _, r := range j.Roofs {
		s.Roofs = append(s.Roofs, sim.Roof{Name: r.Name, Area: float64(r.Area), Surface: r.Surface, Runoff: float64(r.Runoff),
			Wetting: float64(r.Wetting), FirstFlush: float64(r.FirstFlush), Filter: float64(r.Filter), Drains: r.Drains})
	}
	for _, u := range j.Uses {
		use := sim.Use{Name: u.Name, Daily: float64(u.Daily), Monthly: [12]float64(floats(u.Monthly[:]))}
		if err := use.Days.SetTexts(u.Days); err != nil {
			return nil, err
		}
		s.Uses = append(s.Uses, use)
	}
	if c := j.Costs; c != nil {
		s.Costs = &sim.Costs{Sizes: floats(c.Sizes), Prices: floats(c.Prices), Water: float64(c.Water),
			Life: float64(c.Life), Discount: float64(c.Discount), Currency: c.Currency}
	}
	var err error
	if s.Rule, err = sim.ParseRule(j.Rule); err != nil {
		return nil, err
	}
	if s.Measure, err = sim.ParseMeasure(j.Measure); err != nil {
		return nil, err
	}
	return s, s.Check()
}

func numbers(x []float64) []number {
	out := make([]number, len(x))
	for i, v := range x {
		out[i] = number(v)
	}
	return out
}

func floats(x []number) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = float64(v)
	}
	return out
}
