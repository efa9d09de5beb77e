package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/sim"
)

// A row of a part says which record it is of, or is none.
func TestRowAt(t *testing.T) {
	at, ok := rowAt([]byte(`{"at":17,"station":{}}`))
	assert.Equal(t, 17, at)
	assert.True(t, ok)
	for _, bad := range []string{"", `{"at":`, `{"at":17`, `{"at":17}`, `{"at":x,}`, `{"of":17,}`} {
		_, ok := rowAt([]byte(bad))
		assert.False(t, ok, bad)
	}
}

// A bound is told more closely only where it misses the target and would read like it.
func TestMeasureCells(t *testing.T) {
	b := &sheetMaker{u: units.SI, s: &sim.Study{Target: 0.9, Measure: sim.Annual}}
	cells := func(estimate, low float64) []string {
		return b.measureCells(sim.Cell{Measures: sim.Measures{Annual: sim.Interval{Estimate: estimate, Low: low, High: 0.99}}})[:2]
	}
	assert.Equal(t, []string{"95.0", "90.0–99.0"}, cells(0.95, 0.9001))
	assert.Equal(t, []string{"95.0", "89.99–99.0"}, cells(0.95, 0.8999))
	assert.Equal(t, []string{"89.99", "80.0–99.0"}, cells(0.8999, 0.8))
	assert.Equal(t, []string{"90.0", "80.0–99.0"}, cells(0.9001, 0.8))
}

// A member of a list is called by what it holds, where that is a text or a number.
func TestToldBy(t *testing.T) {
	of := func(text string) *codec.Node {
		n, err := codec.Parse([]byte(text))
		assert.NoError(t, err)
		return n
	}
	key, other := tells[0].key, tells[0].before
	assert.Contains(t, toldBy(of(`{"`+key+`": "abc"}`)), other+"abc")
	assert.Contains(t, toldBy(of(`{"`+key+`": 12}`)), other+"12")
	for _, none := range []string{`{}`, `{"` + key + `": {}}`, `{"` + key + `": []}`, `{"` + key + `": ""}`} {
		assert.Empty(t, toldBy(of(none)), none)
	}
}

// The years hardest on a tank begin with the one that the figure of its year shows:
// where no day was short, the one in which it fell lowest.
func TestHardestYears(t *testing.T) {
	b := &sheetMaker{r: &sim.Result{Real: []sim.RealYear{
		{Label: 1, Rain: 400, LowestStorage: 900}, {Label: 2, Rain: 700, LowestStorage: 100}, {Label: 3, Rain: 800, ShortDays: 1}, {Label: 4, Rain: 300, LowestStorage: 900},
	}}}
	var order []int
	for _, y := range b.hardest(3) {
		order = append(order, y.Label)
	}
	assert.Equal(t, []int{3, 2, 4}, order)
}

// A part is of a share that there is; its head says which.
func TestHeadOfAPart(t *testing.T) {
	t.Parallel()
	read := func(shard, shards, records int) (*Part, error) {
		h := PartHead{Version: "0", Inputs: Inputs{Units: units.SI, Study: smallStudy()}, Records: records, Shard: shard, Shards: shards}
		return ReadPart(bytes.NewReader(h.Line()))
	}
	own := map[int]int{}
	for shard := 1; shard <= 3; shard++ {
		p, err := read(shard, 3, 10)
		require.NoError(t, err)
		from, to := p.Head.Range()
		assert.Equal(t, to-from, p.Records())
		for at := from; at < to; at++ {
			own[at]++
		}
	}
	assert.Len(t, own, 10, "every record has its share, and one alone: %v", own)
	for _, c := range [][3]int{{4, 3, 10}, {2, 1, 10}, {0, 3, 10}, {-1, 3, 10}, {1, 0, 10}, {0, 0, 10}, {1, 1, -1}} {
		_, err := read(c[0], c[1], c[2])
		assert.EqualError(t, err, "is no part of a comparison", "%v", c)
	}
	p, err := read(1, 1, 0)
	require.NoError(t, err)
	assert.Zero(t, p.Records())
}

// Under the roofs stands what is taken of a roof that states nothing, and nothing
// where all roofs state all of it.
func TestRoofsSayWhatIsTaken(t *testing.T) {
	t.Parallel()
	z := *smallSizing(t)
	r, s := *z.Result, *z.Result.Study
	z.Result, r.Study = &r, &s
	notes := func(roofs ...sim.Roof) string {
		s.Roofs = roofs
		return strings.ReplaceAll(strings.Join(tableOf(z.Sheet(), "roofs").Notes, "\n"), "\u00a0", " ")
	}
	const lead = "Where a roof states nothing: "
	plain, stated := sim.NewRoof(60), sim.Roof{Area: 60, Surface: "metal", Runoff: 0.8, Wetting: 0.3, FirstFlush: 1, Filter: 0.95, Drains: 2}
	const flush = "first flush 0.5 mm (a manufacturer's guide for a clean roof; it asks four times as much of a dirty one)"
	const rest = "filter passes on 100 %, dry days to drain the diverter 1."
	assert.Contains(t, notes(plain), lead+"wetting loss 0.0 mm, "+flush+", "+rest)
	assert.Contains(t, notes(stated, plain), lead+"wetting loss 0.0 mm, "+flush+", "+rest, "one of two")
	assert.NotContains(t, notes(stated), lead)
	one := stated
	one.FirstFlush = plain.FirstFlush
	assert.Contains(t, notes(one)+"\n", lead+flush+".\n")
}

// A number that tells which member of a list is meant is short where that is shorter.
func TestRounded(t *testing.T) {
	for text, want := range map[string]string{
		"41.6666667": "41.67", "5000": "5000", "12345678": "12345678", "0.1": "0.1", "1e5": "1e5", "-0.000123456": "-0.0001235", "12345678901": "1.235e+10",
	} {
		assert.Equal(t, want, rounded(&codec.Node{Kind: codec.Number, Text: text}, 4), text)
	}
	assert.Equal(t, "41.6666667", rounded(&codec.Node{Kind: codec.Text, Text: "41.6666667"}, 4), "a text is what it is")
}

// What a meter and the model say in all stands in this order, a level's rises and falls
// not at all, as they cancel.
func TestMeterInAll(t *testing.T) {
	z := &Replayed{Units: units.SI, Result: &sim.ReplayResult{}, Meter: &Metered{Metered: sim.Metered{Of: sim.DrawMeter, Intervals: []sim.MeterRow{
		{Metered: 1000, Modelled: 3000}, {Metered: 2000, Modelled: 5000},
	}}}}
	said := func() (out string) {
		for _, f := range z.meterFacts() {
			if f.Label == "In all" {
				out += f.Value
			}
		}
		return strings.ReplaceAll(out, "\u00a0", " ")
	}
	assert.Equal(t, "8,000 L by the model as stated, 3,000 by the meter.", said())
	z.Meter.Of = sim.LevelSensor
	assert.Empty(t, said())
}

// Beside each record stands what the list of stations says of it, nothing where it says
// nothing.
func TestListedColumnsInTheirRows(t *testing.T) {
	z := comparedStations()
	z.Stations[2].Listed = append(z.Stations[2].Listed, Listed{"soil", "clay"})
	text, err := z.AnswersCSV()
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	file := slices.Index(rows[0], "file")
	require.Equal(t, []string{"coast", "soil"}, rows[0][len(rows[0])-2:])
	got := map[string][]string{}
	for _, r := range rows[1:] {
		got[r[file]] = r[len(r)-2:]
	}
	assert.Equal(t, map[string][]string{"a.csv": {"east", ""}, "b.csv": {"west", ""}, "c.csv": {"west", "clay"}, "d.csv": {"", ""}, "e.csv": {"east", ""}}, got)
}

// Records of which there is something to mind are counted, those with one thing too.
func TestRecordsToMind(t *testing.T) {
	z := comparedStations()
	assert.NotContains(t, z.rests(), "to mind")
	z.Stations[1].Minds = 1
	assert.Contains(t, z.rests(), "There is something to mind of 1 record:")
	z.Stations[3].Minds = 3
	assert.Contains(t, z.rests(), "There is something to mind of 2 records:")
}

// A file counts as compared where it was held against the digest that is listed.
func TestComparedWithItsOwnDigest(t *testing.T) {
	t.Parallel()
	z := smallSizing(t)
	c := rechecked(t, evidenceText(t, z), z)
	assert.Empty(t, reasons(c))
	was := c.Files[1].Wanted
	c.Files[1].Wanted = strings.Repeat("f", 64)
	c.judge()
	assert.Equal(t, "not compared: report.html", reasons(c))
	c.Files[1].Wanted = was
	c.judge()
	assert.Empty(t, reasons(c))
}

// Of the sizes in the table the one that is worth most at the prices is marked, and
// none where there are no prices; beside what it is for the target.
func TestMarkOfWorth(t *testing.T) {
	cells := []sim.Cell{
		{Tank: 1000, Measures: sim.Measures{Annual: sim.Interval{Estimate: 0.85, Low: 0.7}}},
		{Tank: 2000, Measures: sim.Measures{Annual: sim.Interval{Estimate: 0.92, Low: 0.8}}},
		{Tank: 4000, Measures: sim.Measures{Annual: sim.Interval{Estimate: 0.99, Low: 0.93}}},
	}
	b := &sheetMaker{u: units.SI, s: &sim.Study{Target: 0.9, RecordError: true}, r: &sim.Result{Main: sim.Answer{Lead: 2000}, Stop: sim.Stop{Tank: 1000}}}
	marks := func() (out []string) {
		for _, c := range cells {
			out = append(out, b.markOf(c, cells))
		}
		return out
	}
	assert.Equal(t, []string{"", "meets the target", "its lower bound meets the target"}, marks())
	b.s.Costs = &sim.Costs{}
	assert.Equal(t, []string{"worth most at these prices", "meets the target", "its lower bound meets the target"}, marks())
	b.r.Stop.Tank = 4000
	assert.Equal(t, []string{"", "meets the target", "its lower bound meets the target; worth most at these prices"}, marks())
}

// The answer beside the rules of thumb is the size that its shares are of, which of sizes
// for sale is larger than the one that would be just enough.
func TestAnswerAmongThumbs(t *testing.T) {
	t.Parallel()
	z := *smallSizing(t)
	r := *z.Result
	z.Result = &r
	require.False(t, math.IsNaN(r.Main.Tank))
	r.Main.Cell = r.Curve[len(r.Curve)-1]
	require.NotEqual(t, r.Main.Tank, r.Main.Cell.Tank)
	rows := tableOf(z.Sheet(), "thumbs").Rows
	last := rows[len(rows)-1]
	assert.Equal(t, "the answer", last.Mark)
	assert.Equal(t, units.SI.VolumeColumn(r.Main.Cell.Tank).Cell(r.Main.Cell.Tank), last.Cells[1])
	r.Main.Tank = math.NaN()
	rows = tableOf(z.Sheet(), "thumbs").Rows
	assert.NotEqual(t, "the answer", rows[len(rows)-1].Mark)
}
