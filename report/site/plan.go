package site

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// Plan is everything that was asked: what is taken where nothing is said, the
// site file and the flags, each overriding the one before.
type Plan struct {
	Command Commands
	File    string // the site file, "" where there is none
	Name    string // of the site
	Cover   Cover
	Record  Source
	Meter   Meter // of replay alone
	Many    Many  // of compare alone

	Study      *sim.Study
	Backtest   *backtest.Study // of backtest alone; nil where a plan is made of evidence
	Generator  gen.Generator
	Generators []gen.Generator // of backtest; none for all

	Units units.System // of everything printed; Unstated where not asked for and not yet known
	votes ballot

	stated map[string]bool // keys of what was given
	lines  map[string]int  // of these the lines of the site file, and of its entries, as in roofs.0
	typed  map[string]bool // of these and of flags, as in --price, what was typed

	// How the work is done and what is shown of it.
	Out              string
	JSON, Quiet, All bool
	Port             int  // of page; 0 for a free one
	NoBrowser        bool // of page
}

// Cover is what a sheet says of its own making. All of it may be left out.
type Cover struct {
	Client    string   `key:"client" doc:"for whom the sheet is"`
	Author    string   `key:"author" doc:"who prepared it"`
	Location  string   `key:"location" doc:"where the site is"`
	Note      string   `key:"note" doc:"a line of the author's own"`
	Date      string   `key:"date" doc:"as it is printed"`
	Elevation *float64 `key:"elevation_m" doc:"of the site"`
}

// Source says which record is asked for and how it is read: what a reader
// cannot learn from the file alone.
type Source struct {
	File     string `key:"file" doc:"as it was named; - is standard input"`
	Embedded bool   `key:"embedded" doc:"whether it is the invented record that the program carries"`
	SHA256   string `key:"sha256" doc:"of the file's bytes"`
	Unpacked string `key:"unpacked_sha256" doc:"of the same with gzip undone, empty where not known"`

	read.Options // this and what follows as asked for; "" or 0 where not

	Scale     float64 `key:"scale" doc:"long-term mean rain of the site over that of the gauge, by which the record is multiplied; 0 where it is taken as it is"`
	ScaleFrom string  `key:"scale_from" doc:"where that comes from"`

	Second       string `key:"second_file,omitempty" doc:"a second gauge, as it was named, that missing days are taken from"`
	SecondSHA256 string `key:"second_sha256,omitempty" doc:"of that file's bytes"`

	Near []Neighbour `key:"neighbours,omitempty" doc:"records of gauges near by, of one climate with it, that sharpen a short one"`

	Weather  bool     `key:"temperatures,omitzero" doc:"whether its temperatures are read, for evaporation"`
	Latitude *float64 `key:"latitude_degrees,omitzero" doc:"north of the equator, where the site states it"`

	WaterYear int `key:"water_year_start_month" doc:"the month asked for, 0 for none"`
	Since     int `key:"since" doc:"the first calendar year used, 0 for all"`
}

// Neighbour is the record of a gauge near by.
type Neighbour struct {
	File   string `key:"file" doc:"as it was named"`
	SHA256 string `key:"sha256" doc:"of the file's bytes"`
}

// replace takes another record. What the site file says of how to read its
// own is not carried over.
func (s *Source) replace(file string) {
	*s = Source{File: file, WaterYear: s.WaterYear, Since: s.Since, Weather: s.Weather, Latitude: s.Latitude}
}

// NewPlan returns what a command takes where nothing is said.
func NewPlan(c Commands) *Plan {
	p := &Plan{stated: map[string]bool{}, lines: map[string]int{}, typed: map[string]bool{}, Command: c, Study: sim.Defaults(), Backtest: backtest.NewStudy()}
	p.Generator, _ = gen.Find("")
	if c == Backtest {
		p.Study.Roofs, p.Study.Uses = p.Backtest.Roofs, p.Backtest.Uses
	}
	return p
}

// ManyRecords is from how many records on a comparison simulates manyYears for
// each, unless it is asked for more: the record's error is ten times theirs.
const (
	ManyRecords = 20
	manyYears   = 10_000
)

// ForRecords says how many records the plan is for.
func (p *Plan) ForRecords(records int) {
	if records > ManyRecords && !p.stated["simulation.years"] {
		p.Study.Years = min(p.Study.Years, manyYears)
	}
}

// Check returns the first parameter whose value cannot be taken, however it
// came to the plan.
func (p *Plan) Check() error {
	costs := p.Study.Costs
	defer func() { p.Study.Costs = costs }() // which rows of them make where there are none
	for _, row := range Table {
		for _, at := range p.places(row) {
			if err := row.check(at); err != nil {
				return &Unfit{Called: row.called(), Field: row.field(at), Err: err}
			}
		}
	}
	return nil
}

// Unfit is a value that no plan may have.
type Unfit struct {
	Called string // the parameter
	Field  any    // points to it
	Err    error
}

func (u *Unfit) Error() string { return u.Called + ": " + u.Err.Error() }

// called names a parameter for people who cannot see where it was given.
func (p *Parameter) called() string {
	if p.Key != "" {
		return p.Key
	}
	if p.Flag != "" {
		return p.Flag
	}
	return strings.ToLower(p.Name)
}

// places lists where a parameter stands in the plan: nowhere, once, or in each
// roof or use.
func (p *Plan) places(row *Parameter) []At {
	switch s := findSection(row.section()); {
	case s != nil && s.most > 0:
		return s.entries(p)
	case row.For == Backtest && p.Backtest == nil: // backtest's own
		return nil
	}
	return []At{{Plan: p}}
}

// holds lists where the plan has the parameter at all.
func (p *Plan) holds(row *Parameter) []At {
	if row.When != nil && !row.When(p) {
		return nil
	}
	return p.places(row)
}

// beside returns a path that the site file names, relative to its folder. Folders
// are parted by "/" on every system: evidence names the file, and whoever runs it
// again may have another.
func beside(site, path string) string {
	if path != "-" && !filepath.IsAbs(path) {
		path = filepath.Join(filepath.Dir(site), path)
	}
	return filepath.ToSlash(path)
}

// ballot counts the systems of units that quantities were typed in.
type ballot [3]int

func (b *ballot) add(s units.System) { b[s]++ }

// system is the one most used, SI where neither is.
func (b *ballot) system() units.System {
	if b[units.US] > b[units.SI] {
		return units.US
	}
	return units.SI
}

// finish checks that nothing is missing and fills in what was not said.
func (p *Plan) finish() error {
	s := p.Study
	if err := p.finishBeds(); err != nil {
		return err
	}
	if err := p.missing(); err != nil {
		return err
	}
	if err := p.finishCosts(); err != nil {
		return err
	}
	if (s.Mains == sim.Direct || s.Mains == sim.IntoTank) && !p.stated["target.measure"] {
		s.Measure = sim.Volume
		if !p.stated["target.reliability"] {
			s.Target = volumeTarget
		}
	}
	for i := range s.Roofs {
		if s.Roofs[i].Name == "" {
			s.Roofs[i].Name = fmt.Sprint("roof ", i+1)
		}
	}
	for i := range s.Uses {
		if s.Uses[i].Name == "" {
			s.Uses[i].Name = fmt.Sprint("use ", i+1)
		}
	}
	if err := p.finishJoined(); err != nil {
		return err
	}
	if err := p.finishFittings(); err != nil {
		return err
	}
	if err := p.finishNeighbours(); err != nil {
		return err
	}
	if s.Slow() && !p.stated["simulation.years"] {
		s.Years = SlowYears
	}
	if p.Units == units.Unstated {
		p.Units = p.votes.system()
	}
	if p.Units == units.US {
		s.Unit, s.AreaUnit = units.LPerGallon, units.M2PerSqFt
	}
	if s.Areas == nil {
		s.Areas = []float64{sim.TotalArea(s.Roofs)}
	}
	if s.Sizes == nil && s.Costs != nil { // what is for sale is what is asked about
		s.Sizes = slices.Clone(s.Costs.Sizes)
	}
	if s.Sought != sim.ForTank && len(s.Sizes) != 1 {
		given := "none is given"
		if s.Sizes != nil {
			given = words.Whole(len(s.Sizes)) + " are given"
		}
		size := about{"tank.sizes", "target.solve"}
		return p.wrong(size, "the largest use and the smallest roof are found for one tank size, and %s; name one, such as %s",
			given, p.example(size, "sizes: [5000 L]", "sizes: [1300 gal]", "--tanks 5000L", "--tanks 1300gal"))
	}
	if s.ForSale = s.Sizes != nil; !s.ForSale {
		under := s.Nominal(0) // what every size has besides
		s.Sizes = slices.DeleteFunc(sim.PreferredSizes(sim.MeanDemand(s.Uses)+under/400, s.Unit), func(x float64) bool { return x <= under })
	}
	if err := p.checkLevels(); err != nil {
		return err
	}
	if err := p.checkReach(); err != nil {
		return err
	}
	if err := s.Check(); err != nil {
		return p.wrong(nil, "%w", err)
	}
	return nil
}

// volumeTarget is what is wanted of a tank beside the mains where nothing is said:
// common practice, no source.
const volumeTarget = 0.8

// finishCosts wants the prices of tanks and that of water together. Where there
// are neither there are no costs.
func (p *Plan) finishCosts() error {
	prices := about{"tank.offers", "tank.prices", "--price"}
	water := about{"tank.water_price", "--water-price"}
	switch c := p.Study.Costs; {
	case c == nil:
	case c.Sizes == nil && !(c.Water > 0) && p.saidCost() != "":
		key := p.saidCost()
		return p.wrong(about{key}, "%s is a cost of tanks, and no tank has a price; give tank: offers (or prices) and water_price too, or leave it out", strings.Replace(key, ".", ": ", 1))
	case p.stated["tank.offers"] && p.stated["tank.prices"]:
		return p.wrong(about{"tank.prices"}, "offers and prices are one thing in two forms; give one of them")
	case c.Sizes != nil && !(c.Water > 0):
		return p.wrong(prices, "the prices of tanks need that of water too, as in %s", p.example(prices, "water_price: 3.20 per m3", "water_price: 12 per 1000 gal", `--water-price "3.20 per m3"`, `--water-price "12 per 1000 gal"`))
	case c.Sizes == nil && c.Water > 0:
		return p.wrong(water, "the price of water needs those of tanks, as in %s", p.example(water, "prices: {5000 L: 1600, 10000 L: 2400}", "prices: {1500 gal: 1400, 2500 gal: 2100}", "--price 5000L=1600 --price 10000L=2400", "--price 1500gal=1400 --price 2500gal=2100"))
	case c.Sizes == nil:
		p.Study.Costs = nil
	case c.Pump > 0 && c.PumpLife == 0:
		return p.wrong(about{"costs.pump"}, "a pump that is replaced has a life, as in pump_life: 10")
	}
	return nil
}

// saidCost is the key of the first cost that was stated, "" for none.
func (p *Plan) saidCost() string {
	for _, row := range Table {
		if strings.HasPrefix(row.Key, "costs.") && p.stated[row.Key] {
			return row.Key
		}
	}
	return ""
}

// Title is what an answer is headed with: the site's name or, where it has none, the
// record's.
func (p *Plan) Title(rec *rainfall.Summary) string {
	title := []rune(OneLine(cmp.Or(p.Name, rec.Name())))
	if len(title) > mostTitle {
		title = append(title[:mostTitle-1], '…')
	}
	return string(title)
}

// Start is the month in which the water year begins, and why: the one asked for
// or, where none is, the one that fullest tells, of a record for a site (it may be
// nil, or not know), or else the one that the rain alone does.
func (s Source) Start(r *rainfall.Record, fullest func(*rainfall.Record) (time.Month, bool)) (time.Month, rainfall.StartBy) {
	if s.WaterYear != 0 {
		return time.Month(s.WaterYear), rainfall.ByAsking
	}
	if fullest != nil {
		if m, ok := fullest(r); ok {
			return m, rainfall.ByStores
		}
	}
	return r.StartMonth(), rainfall.ByRain
}
