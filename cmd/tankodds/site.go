package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/sim"
)

// mostSiteBytes bounds a site file; one is a page of text.
const mostSiteBytes = 1 << 20

// mostSizes bounds the tank sizes and prices of a site.
const mostSizes = 1000

// readSite reads the site file into the plan.
func (p *plan) readSite(path string) error {
	if ext := strings.ToLower(filepath.Ext(path)); ext != ".yaml" && ext != ".yml" {
		return misuse("a rain file is given with --rain "+path, "%s is not a site file, whose name ends in .yaml", path)
	}
	data, err := readSmall(path)
	if err != nil {
		return err
	}
	p.file = path
	return p.decodeSite(path, data)
}

// readSmall reads a file of at most mostSiteBytes. What is no plain file, such
// as a pipe that nobody writes to, is not opened.
func readSmall(path string) ([]byte, error) {
	fail := func(hint, text string) ([]byte, error) {
		return nil, &read.Error{File: path, Text: text, Hint: hint}
	}
	const start = "tankodds new writes a site file to start from"
	info, err := os.Stat(path)
	if err != nil {
		return fail(start, "cannot be read: "+cause(err))
	}
	switch {
	case info.IsDir():
		return fail(start, "is a folder, not a site file")
	case !info.Mode().IsRegular():
		return fail(start, "is a pipe or a device, not a site file")
	case info.Size() > mostSiteBytes:
		return fail("a rain file is given with --rain", "too long for a site file")
	}
	f, err := os.Open(path)
	if err != nil {
		return fail(start, "cannot be read: "+cause(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostSiteBytes+1))
	if err != nil {
		return fail("", "cannot be read: "+cause(err))
	}
	if len(data) > mostSiteBytes { // it has grown
		return fail("a rain file is given with --rain", "too long for a site file")
	}
	return data, nil
}

// decodeSite reads the bytes of a site file into the plan. Its errors are
// *read.Error with the line.
func (p *plan) decodeSite(file string, data []byte) error {
	f := yamlFile{file, &p.typed}
	root, err := f.parse(data)
	if err != nil {
		return err
	}
	s := p.study
	return f.mapping(root, "a site file", []key{
		{"name", f.text("name", mostTitle, &p.name)},
		{"client", f.text("client", mostTitle, &p.client)},
		{"author", f.text("author", mostTitle, &p.author)},
		{"note", f.text("note", mostNote, &p.note)},
		{"location", f.text("location", mostTitle, &p.location)},
		{"elevation", f.quantity(units.Length, "an elevation", &p.elevation)},
		{"rain", func(n *yaml.Node) error { return p.siteRain(f, n) }},
		{"roofs", func(n *yaml.Node) error {
			return f.list(n, "roofs", sim.MostRoofs, func(n *yaml.Node) error {
				r, err := siteRoof(f, n)
				s.Roofs = append(s.Roofs, r)
				return err
			})
		}},
		{"uses", func(n *yaml.Node) error {
			return f.list(n, "uses", sim.MostUses, func(n *yaml.Node) error {
				u, err := siteUse(f, n)
				s.Uses = append(s.Uses, u)
				return err
			})
		}},
		{"tank", func(n *yaml.Node) error { return siteTank(f, n, s) }},
		{"target", func(n *yaml.Node) error { return siteTarget(f, n, s) }},
		{"simulation", func(n *yaml.Node) error { return p.siteSimulation(f, n) }},
	})
}

func (p *plan) siteRain(f yamlFile, n *yaml.Node) error {
	r := &p.rain
	known := func(name string, into *string) func(*yaml.Node) error {
		return f.parsed(name, func(s string) error {
			*into = s
			if e := r.Check(""); e != nil {
				return fmt.Errorf("%s; %s", strings.TrimPrefix(e.Text, "--"), e.Hint)
			}
			return nil
		})
	}
	return f.mapping(n, "rain", []key{
		{"file", f.parsed("rain file", func(s string) error {
			r.file = beside(f.name, s)
			return nil
		})},
		{"unit", f.parsed("rain unit", func(s string) (err error) {
			r.Unit, err = parseRainUnit(s)
			return err
		})},
		{"water_year", f.parsed("water_year", func(s string) (err error) {
			r.waterYear, err = parseMonth(s)
			return err
		})},
		{"since", f.whole("since", 1, 9999, &r.since)},
		{"station", f.text("station", mostName, &r.Station)},
		{"column", f.text("column", mostName, &r.Column)},
		{"columns", f.text("columns", mostName, &r.Columns)},
		{"absent", known("absent", &r.Absent)},
		{"missing", known("missing", &r.Missing)},
		{"dates", known("dates", &r.Dates)},
	})
}

func siteRoof(f yamlFile, n *yaml.Node) (sim.Roof, error) {
	r := sim.NewRoof(0)
	stated, runoff := false, 0.0
	err := f.mapping(n, "a roof", []key{
		{"name", f.text("name", mostName, &r.Name)},
		{"area", f.quantity(units.Area, "a roof area", &r.Area)},
		{"surface", f.parsed("surface", func(s string) error {
			known, ok := sim.FindSurface(strings.ToLower(s))
			if !ok {
				return fmt.Errorf("no surface is called %q; there are %s", s, surfaceNames())
			}
			r.Surface, r.Runoff = known.Name, known.Runoff
			return nil
		})},
		{"runoff", func(n *yaml.Node) error {
			stated = true
			return f.quantity(units.Share, "a runoff coefficient", &runoff)(n)
		}},
		{"wetting", f.quantity(units.Depth, "a wetting loss", &r.Wetting)},
		{"first_flush", f.quantity(units.Depth, "a first flush", &r.FirstFlush)},
		{"filter", f.quantity(units.Share, "a filter share", &r.Filter)},
		{"drains", f.whole("drains", 1, 365, &r.Drains)},
	})
	if err != nil {
		return r, err
	}
	if stated {
		r.Runoff = runoff
	}
	if err := r.Check(); err != nil {
		return r, f.fail(n, "%v", err)
	}
	return r, nil
}

func siteUse(f yamlFile, n *yaml.Node) (sim.Use, error) {
	var u sim.Use
	later := func(n *yaml.Node) error {
		return f.fail(n, "irrigation by area and plant factor is not read by this version; give monthly: with twelve volumes")
	}
	err := f.mapping(n, "a use", []key{
		{"name", f.text("name", mostName, &u.Name)},
		{"daily", f.parsed("daily", func(s string) error {
			q, err := parseDaily(s)
			u.Daily = q.Value
			f.typed.add(q.System)
			return err
		})},
		{"days", func(n *yaml.Node) (err error) {
			u.Days, err = siteDays(f, n)
			return err
		}},
		{"monthly", func(n *yaml.Node) error {
			month := 0
			err := f.list(n, "monthly", 12, func(n *yaml.Node) error {
				month++
				return f.quantity(units.Volume, "a month's use", &u.Monthly[month-1])(n)
			})
			if err == nil && month != 12 {
				err = f.fail(n, "monthly holds %d volumes; it is 12, January first", month)
			}
			return err
		}},
		{"area", later}, {"plant_factor", later}, {"efficiency", later}, {"et0", later},
	})
	if err == nil && !(sim.MeanDemand([]sim.Use{u}) > 0) {
		err = f.fail(n, "this use wants no water; give daily: or monthly:")
	}
	return u, err
}

// parseDaily reads a volume per time, or a volume, which is then a day's.
func parseDaily(s string) (units.Quantity, error) {
	if q, err := units.Parse(units.Flow, "a daily use", s); err == nil {
		return q, nil
	}
	return units.Parse(units.Volume, "a daily use", s)
}

func siteDays(f yamlFile, n *yaml.Node) (days [7]bool, err error) {
	words := resolve(n).Value
	if resolve(n).Kind == yaml.SequenceNode {
		var all []string
		err = f.list(n, "days", 7, func(n *yaml.Node) error {
			w, err := f.scalar(n, "a day")
			all = append(all, w)
			return err
		})
		words = strings.Join(all, " ")
	}
	if err == nil {
		if days, err = parseDays(words); err != nil {
			err = f.fail(n, "%v", err)
		}
	}
	return days, err
}

func siteTank(f yamlFile, n *yaml.Node, s *sim.Study) error {
	costs := &sim.Costs{Life: sim.DefaultLife, Discount: sim.DefaultDiscount}
	var prices, water *yaml.Node
	life := sim.DefaultLife
	err := f.mapping(n, "tank", []key{
		{"sizes", func(n *yaml.Node) error { return siteSizes(f, n, s) }},
		{"dead", f.quantity(units.Share, "dead storage", &s.Dead)},
		{"start", f.quantity(units.Volume, "the starting storage", &s.Start)},
		{"prices", func(n *yaml.Node) error {
			prices = n
			return sitePrices(f, n, costs)
		}},
		{"water_price", func(n *yaml.Node) error {
			water = n
			return f.quantity(units.Price, "a water price", &costs.Water)(n)
		}},
		{"life", f.whole("life", 1, 200, &life)},
		{"discount", f.quantity(units.Share, "a discount rate", &costs.Discount)},
		{"currency", f.text("currency", mostName, &costs.Currency)},
	})
	costs.Life = float64(life)
	switch {
	case err != nil:
		return err
	case s.Dead >= 1:
		return f.fail(n, "dead storage leaves nothing usable; write less than 100 %%")
	case prices != nil && water == nil:
		return f.fail(prices, "prices need water_price too, as in water_price: %s", "3.20 per m3")
	case prices == nil && water != nil:
		return f.fail(water, "water_price needs the prices of at least two sizes, as in prices: {2000 L: 900, 10000 L: 2600}")
	case prices != nil:
		s.Costs = costs
	}
	return nil
}

// siteSizes reads a list of volumes or the text of a range or list.
func siteSizes(f yamlFile, n *yaml.Node, s *sim.Study) (err error) {
	s.Sizes = nil
	if resolve(n).Kind == yaml.SequenceNode {
		err = f.list(n, "sizes", mostSizes, func(n *yaml.Node) error {
			var x float64
			if err := f.quantity(units.Volume, "a tank size", &x)(n); err != nil {
				return err
			}
			s.Sizes = append(s.Sizes, x)
			return nil
		})
	} else {
		err = f.parsed("sizes", func(text string) (err error) {
			var system units.System
			s.Sizes, system, err = units.ParseList(units.Volume, "a tank size", text)
			f.typed.add(system)
			return err
		})(n)
	}
	if err == nil {
		if zero := aboveZero(s.Sizes, "tank sizes are"); zero != nil {
			err = f.fail(n, "%v", zero)
		}
	}
	slices.Sort(s.Sizes)
	s.Sizes = slices.Compact(s.Sizes)
	return err
}

// sitePrices reads a mapping of tank sizes to prices.
func sitePrices(f yamlFile, n *yaml.Node, costs *sim.Costs) error {
	m := resolve(n)
	if m.Kind != yaml.MappingNode || len(m.Content) < 4 {
		return f.fail(n, "prices are at least two sizes, each with its price, as in {2000 L: 900, 10000 L: 2600}")
	}
	if len(m.Content) > 2*mostSizes {
		return f.fail(n, "prices has %d entries; it may have %d", len(m.Content)/2, mostSizes)
	}
	type offer struct{ size, price float64 }
	var offers []offer
	for i := 0; i < len(m.Content); i += 2 {
		var o offer
		if err := f.quantity(units.Volume, "a tank size", &o.size)(m.Content[i]); err != nil {
			return err
		}
		err := f.parsed("a price", func(s string) (err error) {
			o.price, err = units.Number("a price", s)
			return err
		})(m.Content[i+1])
		if err != nil {
			return err
		}
		if !(o.size > 0) {
			return f.fail(m.Content[i], "tank sizes are above 0")
		}
		offers = append(offers, o)
	}
	slices.SortStableFunc(offers, func(a, b offer) int { return cmp.Compare(a.size, b.size) })
	for i, o := range offers {
		if i > 0 && o.size == offers[i-1].size {
			return f.fail(n, "one size has two prices")
		}
		costs.Sizes = append(costs.Sizes, o.size)
		costs.Prices = append(costs.Prices, o.price)
	}
	return nil
}

func siteTarget(f yamlFile, n *yaml.Node, s *sim.Study) error {
	return f.mapping(n, "target", []key{
		{"reliability", f.parsed("reliability", func(text string) (err error) {
			s.Target, err = parseTarget(text)
			return err
		})},
		{"measure", f.parsed("measure", func(text string) (err error) {
			s.Measure, err = sim.ParseMeasure(strings.ToLower(text))
			return err
		})},
		{"allow", f.whole("allow", 0, rainfall.DaysPerYear, &s.Allow)},
	})
}

func (p *plan) siteSimulation(f yamlFile, n *yaml.Node) error {
	s := p.study
	return f.mapping(n, "simulation", []key{
		{"years", f.whole("years", sim.TraceYears, mostYears, &s.Years)},
		{"seed", f.parsed("seed", func(text string) (err error) {
			if s.Seed, err = strconv.ParseUint(text, 10, 64); err != nil {
				return fmt.Errorf("seed %q is not a whole number of 0 or more", text)
			}
			return nil
		})},
		{"generator", f.parsed("generator", func(text string) (err error) {
			p.generator, err = gen.Find(text)
			return err
		})},
		{"rule", f.parsed("rule", func(text string) (err error) {
			s.Rule, err = sim.ParseRule(strings.ToLower(text))
			return err
		})},
	})
}
