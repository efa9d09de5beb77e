package report

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

var update = flag.Bool("update", false, "write the expected files anew")

// sheetCase is a study whose sheet is looked at.
type sheetCase struct {
	name   string
	file   string // of the record
	change func(*sim.Study, *Sizing)
}

var sheetCases = []sheetCase{
	{"costs", "../cmd/tankodds/demo.csv", func(s *sim.Study, z *Sizing) {
		s.Costs = &sim.Costs{Sizes: []float64{2000, 40000}, Prices: []float64{900, 7900}, Water: 3.2, Life: 25, Discount: 0.035, Currency: "$"}
		s.Areas = []float64{90, 180}
		height := 120.0
		z.Cover = Cover{Client: "Ash & Fell <Ceramics>", Author: "M. Thorn", Location: "Tarn Lane", Note: "second draft", Date: "2031-02-03", Elevation: &height}
	}},
	{"us, three roofs, days met", "../cmd/tankodds/demo.csv", func(s *sim.Study, z *Sizing) {
		z.Units = units.US
		s.Measure, s.Unit, s.Rule = sim.Time, units.LPerGallon, sim.YBS
		for i, name := range []string{"barn", "a lean-to with a name that goes on for longer than anyone would expect of a roof"} {
			r := sim.NewRoof(40 + 10*float64(i))
			r.Name, r.FirstFlush, r.Filter = name, 0, 0.9
			s.Roofs = append(s.Roofs, r)
		}
		s.Uses = append(s.Uses, sim.Use{Name: "plants", Monthly: [12]float64{0, 0, 0, 100, 300, 500, 600, 600, 300, 100, 0, 0}})
		s.Areas = []float64{100, 400} // none is the site's own
	}},
	{"three roofs, many sizes", "../cmd/tankodds/demo.csv", func(s *sim.Study, z *Sizing) {
		for _, name := range []string{"barn", "shed"} {
			s.Roofs = append(s.Roofs, sim.Roof{Name: name, Area: 60, Runoff: 0.8, Filter: 0.95, Drains: 2, Surface: "metal"})
		}
		s.Areas, s.Sizes, z.Units = []float64{100, 200, 300, 400}, units.Geometric(500, 40000, 60), units.US
		s.Unit = units.LPerGallon
	}},
	{"no size meets", "../cmd/tankodds/demo.csv", func(s *sim.Study, _ *Sizing) {
		s.Sizes, s.Target = []float64{500, 1000, 2000}, 0.99
	}},
	{"the roof yields too little", "../cmd/tankodds/demo.csv", func(s *sim.Study, _ *Sizing) {
		s.Uses = []sim.Use{{Name: "laundry", Daily: 900}}
		s.Start = new(700.0)
	}},
	{"record error off, volume", "../cmd/tankodds/demo.csv", func(s *sim.Study, _ *Sizing) {
		s.RecordError, s.Measure, s.Target = false, sim.Volume, 0.8
	}},
	{"one size, allowance", "../cmd/tankodds/demo.csv", func(s *sim.Study, _ *Sizing) {
		s.Sizes, s.Allow, s.Dead = []float64{16000}, 5, 0.05
	}},
	{"smallest roof, us", "../cmd/tankodds/demo.csv", func(s *sim.Study, z *Sizing) {
		s.Sizes, s.Sought = []float64{5000 * units.LPerGallon}, sim.ForRoof
		z.Units, s.Unit, s.AreaUnit = units.US, units.LPerGallon, units.M2PerSqFt
	}},
	{"largest use, out of reach", "../cmd/tankodds/demo.csv", func(s *sim.Study, _ *Sizing) {
		s.Sizes, s.Sought, s.Uses[0].Daily, s.Measure = []float64{20_000}, sim.ForUse, 900, sim.Volume
	}},
	{"short record", "../testdata/seattle-weather.csv", func(s *sim.Study, z *Sizing) {
		s.Target, z.Title = 0.8, "Seattle"
	}},
}

// answer puts into a sizing what a study comes to under a record, quickly.
func (z *Sizing) answer(rec *rainfall.Record, s *sim.Study) error {
	series, err := rec.Fill(rec.StartMonth())
	if err != nil {
		return err
	}
	g, err := gen.Find("years")
	if err != nil {
		return err
	}
	z.Record = rainfall.Summarise(rec, series)
	z.Result, err = sim.Size(context.Background(), series, g, s)
	return err
}

// sheetSizings answers every case, once for all tests.
var sheetSizings = sync.OnceValues(func() (map[string]*Sizing, error) {
	out := map[string]*Sizing{}
	for _, c := range sheetCases {
		rec, err := read.File(c.file, read.Options{})
		if err != nil {
			return nil, err
		}
		roof := sim.NewRoof(180)
		roof.Name, roof.Surface, roof.Runoff = "studio", "metal", 0.85
		s := &sim.Study{
			Roofs: []sim.Roof{roof}, Uses: []sim.Use{{Name: "toilets", Daily: 90}}, Areas: []float64{180},
			Sizes: []float64{1000, 2000, 5000, 10000, 15000, 20000, 30000, 40000}, Target: 0.9, Years: 500, Seed: 1,
			RecordError: true, Horizon: 30, Level: 0.9, Unit: 1, AreaUnit: 1,
		}
		z := &Sizing{Version: "test", Title: "Tarn Lane <pottery> & studio", Units: units.SI}
		c.change(s, z)
		if err = z.answer(rec, s); err != nil {
			return nil, fmt.Errorf("%s: %w", c.name, err)
		}
		out[c.name] = z
	}
	return out, nil
})

// answered is the sizing of a case.
func answered(t testing.TB, name string) *Sizing {
	t.Helper()
	all, err := sheetSizings()
	require.NoError(t, err)
	return all[name]
}

func eachSheet(t *testing.T, look func(t *testing.T, z *Sizing, s *sheet.Sheet)) {
	t.Helper()
	for _, c := range sheetCases {
		z := answered(t, c.name)
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			look(t, z, z.Sheet().Only(sheet.Page))
		})
	}
}

// wordsOf lists every text of a sheet.
func wordsOf(s *sheet.Sheet) []string {
	var out []string
	s.Texts(func(text *string) { out = append(out, *text) })
	return out
}

// Whatever was found, the sheet has its eleven sections in their order, whole
// tables, and no number that is none.
func TestSheetIsWhole(t *testing.T) {
	eachSheet(t, func(t *testing.T, z *Sizing, s *sheet.Sheet) {
		var ids []string
		seen := map[string]bool{}
		for _, x := range s.Sections {
			ids = append(ids, x.ID)
			assert.NotEmpty(t, x.Heading)
			assert.NotEmpty(t, x.Blocks, x.ID)
			for _, b := range x.Blocks {
				set := 0
				for _, is := range []bool{b.Text != "", b.List != nil, b.Facts != nil, b.Table != nil, b.Figure != ""} {
					if is {
						set++
					}
				}
				assert.Equal(t, 1, set, "%s: %+v", x.ID, b)
				if b.Table == nil {
					continue
				}
				assert.False(t, seen[b.Table.Name], b.Table.Name)
				seen[b.Table.Name] = true
				assert.NotEmpty(t, b.Table.Rows, b.Table.Name)
				for _, r := range b.Table.Rows {
					assert.Len(t, r.Cells, len(b.Table.Columns), "%s: %v", b.Table.Name, r.Cells)
				}
			}
		}
		want := []string{"answer", "sizes", "quote", "year", "overflow", "stop", "sure", "record", "assumptions", "thumbs", "cautions", "method", "repeat"}
		if math.IsNaN(z.Result.Main.Lead) {
			want = slices.Delete(want, 2, 3) // nothing to quote
		}
		if z.Result.Main.Grade == sim.TooShort {
			want = slices.DeleteFunc(want, func(id string) bool { return id == "stop" })
		}
		assert.Equal(t, want, ids)
		answer := s.Answer
		if z.Result.Study.Sought != sim.ForTank {
			answer = answer[2:] // what was asked comes first
		}
		assert.Len(t, answer, 2)
		assert.Contains(t, answer[0], s.Key)
		for _, w := range wordsOf(s) {
			for _, bad := range []string{"NaN", "+Inf", "-Inf", "%!", "  ", "..", " ,", "–––"} {
				assert.NotContains(t, w, bad)
			}
			assert.Equal(t, strings.TrimSpace(w), w)
		}
	})
}

// The outline of every sheet: headings, the heads of tables, how many rows,
// where figures stand, and all words of the answer.
func TestSheetOutline(t *testing.T) {
	var b strings.Builder
	for _, c := range sheetCases {
		s := answered(t, c.name).Sheet().Only(sheet.Page)
		fmt.Fprintf(&b, "=== %s\n", c.name)
		for _, a := range s.Answer {
			fmt.Fprintf(&b, "%s\n", strings.ReplaceAll(a, "\u00a0", " "))
		}
		for _, x := range s.Sections {
			fmt.Fprintf(&b, "%s: %s\n", x.ID, x.Heading)
			for _, k := range x.Blocks {
				switch {
				case k.Figure != "":
					fmt.Fprintf(&b, "  figure %s\n", k.Figure)
				case k.Table != nil:
					var heads []string
					for _, c := range k.Table.Columns {
						heads = append(heads, strings.TrimSpace(c.Title+" "+c.Unit))
					}
					fmt.Fprintf(&b, "  table %s, %d rows: %s\n", k.Table.Name, len(k.Table.Rows), strings.Join(heads, " | "))
				case k.List != nil:
					fmt.Fprintf(&b, "  list of %d\n", len(k.List))
				case k.Facts != nil:
					fmt.Fprintf(&b, "  facts, %d\n", len(k.Facts))
				default:
					fmt.Fprintf(&b, "  text %s\n", k.Lead)
				}
			}
		}
	}
	name := filepath.Join("testdata", "sheet-outline.txt")
	if *update {
		require.NoError(t, os.WriteFile(name, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String(), "go test ./report -run TestSheetOutline -update writes it anew")
}

// tableOf returns the table of that name.
func tableOf(s *sheet.Sheet, name string) *sheet.Table {
	for _, x := range s.Sections {
		for _, b := range x.Blocks {
			if b.Table != nil && b.Table.Name == name {
				return b.Table
			}
		}
	}
	return nil
}

// shows checks that a cell shows x, in the unit of its column, to the digits
// that it has.
func shows(t *testing.T, tab *sheet.Table, row, col int, x float64) {
	t.Helper()
	unit, _, _ := strings.Cut(tab.Columns[col].Unit, " ")
	if by := map[string]float64{"gal": 3.785411784, "ft²": 0.09290304, "in": 25.4, "m³": 1000, "%": 0.01, "gal/day": 3.785411784}[unit]; by > 0 {
		x /= by
	}
	cell := tab.Rows[row].Cells[col]
	where := fmt.Sprintf("%s, %s, column %s: %s for %g", tab.Name, tab.Rows[row].Cells[0], tab.Columns[col].Title, cell, x)
	switch {
	case math.IsNaN(x):
		assert.Equal(t, "–", cell, where)
		return
	case cell == ">99.99":
		assert.True(t, x > 99.99 && x < 100, where)
		return
	case cell == "<0.01":
		assert.True(t, x < 0.01 && x > 0, where)
		return
	}
	plain := strings.NewReplacer(",", "", "\u2212", "-").Replace(cell)
	got, err := strconv.ParseFloat(plain, 64)
	require.NoError(t, err, where)
	_, fraction, _ := strings.Cut(plain, ".")
	if unit == "%" || tab.Columns[col].Title == "Short days" {
		assert.Equal(t, x == 0, got == 0, where)
	}
	if unit == "%" {
		assert.Equal(t, x == 100, got == 100, where)
	}
	assert.InDelta(t, x, got, 0.5*math.Pow10(-len(fraction))+1e-9, where)
}

// showsAll checks the cells of a row, by the titles of their columns.
func showsAll(t *testing.T, tab *sheet.Table, row int, want map[string]float64) {
	t.Helper()
	for title, x := range want {
		shows(t, tab, row, columnOf(t, tab, title), x)
	}
}

// columnOf finds a column by its title.
func columnOf(t *testing.T, tab *sheet.Table, title string) int {
	t.Helper()
	for i, c := range tab.Columns {
		if c.Title == title {
			return i
		}
	}
	require.Fail(t, "no column "+title)
	return -1
}

// Every number of every table is the result's.
func TestSheetNumbers(t *testing.T) {
	eachSheet(t, func(t *testing.T, z *Sizing, s *sheet.Sheet) {
		r := z.Result
		cellRow := func(tab *sheet.Table, i int, c sim.Cell) {
			showsAll(t, tab, i, map[string]float64{"Tank": c.Tank, "Good years": c.Annual.Estimate, "Days met": c.Time.Estimate, "Water met": c.Volumetric.Estimate})
			low, high, ok := strings.Cut(tab.Rows[i].Cells[columnOf(t, tab, "Band")], "–")
			require.True(t, ok)
			x := c.Of(r.Study.Measure)
			assert.Equal(t, []string{units.PercentCell(x.Low), units.PercentCell(x.High)}, []string{low, high})
		}
		tab := tableOf(s, "sizes")
		by := map[string]sim.Cell{}
		col := z.Units.VolumeColumn(r.Study.Sizes...)
		for _, c := range z.ownCells() {
			by[col.Cell(c.Tank)] = c
		}
		if a := r.Main; !math.IsNaN(a.Lead) {
			by[col.Cell(a.Lead)] = a.Cell
			require.Equal(t, 1, strings.Count(fmt.Sprint(tab.Rows), "{["+col.Cell(a.Lead)+" "), "the answer has its row")
		}
		require.LessOrEqual(t, len(tab.Rows), sheetRows)
		for i, row := range tab.Rows {
			c, ok := by[row.Cells[0]]
			require.True(t, ok, row.Cells[0])
			cellRow(tab, i, c)
			showsAll(t, tab, i, map[string]float64{"Short days": c.ShortDays, "Supplied": c.Supplied, "Overflow": c.SpillShare})
			meets := strings.HasPrefix(row.Mark, "meets the target") || strings.HasPrefix(row.Mark, "the size that this record points to")
			assert.Equal(t, c.Tank == r.Main.Lead, meets, "%v", row)
			if costs := r.Study.Costs; costs != nil {
				showsAll(t, tab, i, map[string]float64{"Price": costs.Price(c.Tank), "Net value": costs.Value(c.Tank, c.Supplied)})
			}
		}
		tab = tableOf(s, "thumbs")
		for i, x := range r.Thumbs {
			x.Cell.Tank = x.Tank
			cellRow(tab, i, x.Cell)
		}
		if !math.IsNaN(r.Main.Tank) {
			cellRow(tab, len(r.Thumbs), r.Main.Cell)
		}
		tab = tableOf(s, "months")
		for i, m := range r.Months {
			showsAll(t, tab, i, map[string]float64{"Flows in": m.Inflow, "Wanted": m.Demand, "Supplied": m.Supplied, "Topped up": m.Demand - m.Supplied, "Overflows": m.Spilled, "Short days": m.ShortDays})
		}
		tab = tableOf(s, "driest")
		years := map[string]sim.RealYear{}
		for _, y := range r.Real {
			years[words.WaterYear(y.Label, r.WaterYear)] = y
		}
		for i, row := range tab.Rows {
			y, ok := years[row.Cells[0]]
			require.True(t, ok, row.Cells[0])
			showsAll(t, tab, i, map[string]float64{"Rain": y.Rain, "Short days": float64(y.ShortDays), "Longest run": float64(y.LongestDry), "Supplied": y.Supplied, "Lacking": y.Demand - y.Supplied})
			delete(years, row.Cells[0])
			for _, other := range years { // those left are no harder
				if i == len(tab.Rows)-1 {
					assert.LessOrEqual(t, other.ShortDays, y.ShortDays)
				}
			}
		}
		if tab = tableOf(s, "areas"); tab != nil {
			for i, a := range r.Answers {
				showsAll(t, tab, i, map[string]float64{"Roof": a.Area, "Tank": a.Tank, "Safe size": a.Safe})
			}
		}
	})
}

// The answer names the size found, and the safe one where it was asked.
func TestSheetAnswer(t *testing.T) {
	eachSheet(t, func(t *testing.T, z *Sizing, s *sheet.Sheet) {
		answer, a := s.Answer, z.Result.Main
		if x := z.Result.Turned; z.Result.Study.Sought != sim.ForTank { // it comes first
			first := squeezed(answer[0] + " " + answer[1])
			for _, number := range []float64{x.Use, x.UseSafe, x.UseHigh} {
				assert.Contains(t, first, z.Units.Flow(number))
			}
			for _, number := range []float64{x.Roof, x.RoofSafe, x.RoofLow} {
				if math.IsNaN(number) {
					assert.Contains(t, first, "even a far larger roof is not enough")
				} else {
					assert.Contains(t, first, z.Units.Area(number))
				}
			}
			assert.Less(t, strings.Index(first, map[bool]string{true: "this use", false: "this roof"}[z.Result.Study.Sought == sim.ForRoof]), 40)
			answer = answer[2:]
		}
		found, sure := squeezed(answer[0]), squeezed(answer[1])
		if math.IsNaN(a.Tank) {
			assert.Empty(t, s.Key)
			assert.Contains(t, found, map[sim.Grade]string{sim.TooShort: "no size is told from 3 usable years", sim.OutOfReach: "no tank gives 90"}[a.Grade])
			return
		}
		if a.Grade == sim.Indicated {
			assert.Contains(t, found, "this record points to a tank of about "+z.Units.Volume(a.Tank)+" for ")
			assert.Contains(t, sure, fmt.Sprintf("are too few to show that; it would take about %s.", words.Whole(a.Shows)))
			assert.True(t, math.IsNaN(a.Safe))
		} else {
			assert.Contains(t, found, "a tank of "+z.Units.Volume(a.Tank)+" is the smallest that meets ")
		}
		assert.Equal(t, !z.Result.Study.RecordError, strings.Contains(sure, "was not asked"))
		if !math.IsNaN(a.Safe) {
			assert.Contains(t, sure, "the safe size is "+z.Units.Volume(a.Safe)+":")
		}
		short := strings.Contains(strings.Join(wordsOf(s), " "), "too short for any claim")
		assert.Equal(t, z.Result.Usable < 5, short)
	})
}

// The cautions carry this site's own numbers.
func TestSheetCautions(t *testing.T) {
	eachSheet(t, func(t *testing.T, z *Sizing, s *sheet.Sheet) {
		words := squeezed(strings.Join(wordsOf(s), " "))
		if p := z.Result.Peak; p != nil {
			assert.Contains(t, words, fmt.Sprintf("On %v it rained", p.Date))
			assert.Contains(t, words, z.Units.Volume(p.Spill))
		}
		assert.Contains(t, words, z.Units.Volume(z.Result.Study.Roofs[0].FlushVolume()))
		if z.Units == units.US {
			assert.Contains(t, words, "0.433 psi for every 1 ft")
			assert.Contains(t, words, " lb of water")
			assert.NotContains(t, words, " mm ")
			assert.NotContains(t, words, " L ")
			assert.NotContains(t, words, "L/day")
			assert.NotContains(t, words, "m²")
		} else {
			assert.Contains(t, words, "9.8 kPa for every 1 m")
			assert.Contains(t, words, " kg of water")
		}
		for _, need := range []string{"not drinking water", "Never enter a tank", "cross-connection", "Screen every opening", "authority having jurisdiction", "estimates from past rain", "licensed electrician", "asbestos"} {
			assert.Contains(t, words, need)
		}
		assert.Contains(t, words, z.Record.SHA256)
	})
}
