package sim

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// recordOf is a record of depths from 1 January 2001.
func recordOf(depth []float64) *rainfall.Record {
	return &rainfall.Record{First: rainfall.Day(2001, time.January, 1), Depth: depth, Mark: make([]rainfall.Mark, len(depth))}
}

// siteOf is a site of so many m² that give all their rain, and L a day.
func siteOf(area, daily float64) *Study {
	return &Study{Roofs: plain(area, 1, 1), Uses: []Use{{Daily: daily}}}
}

// It rains twice the use of every day from October to March and never else
// (DERIV): the stores are full on 1 April, whatever their size, and in the
// mirrored year on 1 October.
func TestStorageYearOfOneSeason(t *testing.T) {
	for _, half := range []struct {
		wet   func(m time.Month) bool
		start time.Month
	}{
		{func(m time.Month) bool { return m >= 10 || m <= 3 }, time.April},
		{func(m time.Month) bool { return m >= 4 && m <= 9 }, time.October},
	} {
		var depth []float64
		first := rainfall.Day(2001, time.January, 1)
		for d := first; d < rainfall.Day(2021, time.January, 1); d++ {
			_, m, _ := d.YMD()
			depth = append(depth, map[bool]float64{true: 4}[half.wet(m)])
		}
		for _, s := range []*Study{siteOf(50, 100), {Roofs: plain(50, 1, 1), Uses: []Use{{Daily: 100}}, Rule: YBS}} {
			got, ok := s.StorageYear(recordOf(depth))
			assert.True(t, ok)
			assert.Equal(t, half.start, got)
		}
		assert.Equal(t, half.start, recordOf(depth).StartMonth())
		// Days without data wait: the record of the dry half alone lost, or of
		// every fifth day, tells the same.
		rng := rand.New(rand.NewPCG(61, 62))
		for i := range depth {
			if rng.IntN(5) == 0 {
				depth[i] = math.NaN()
			}
		}
		got, ok := siteOf(50, 100).StorageYear(recordOf(depth))
		assert.True(t, ok)
		assert.Equal(t, half.start, got)
	}
}

// A store at a time, in litres, on records of two wet seasons that begin and end
// anywhere: the mean share of its size that each holds on the mornings of a month,
// after its first five years have been run once.
func TestStorageYearByHand(t *testing.T) {
	rng := rand.New(rand.NewPCG(65, 66))
	seen := map[time.Month]bool{}
	for range 40 {
		first := rainfall.Day(2001, time.January, 1) + rainfall.Date(rng.IntN(365))
		var chance [12]float64
		for range 2 {
			for m, k := rng.IntN(12), rng.IntN(4); k >= 0; k-- {
				chance[(m+k)%12] = 0.2 + 0.4*rng.Float64()
			}
		}
		r := &rainfall.Record{First: first, Depth: make([]float64, 2200+rng.IntN(2000))}
		for i := range r.Depth {
			_, m, _ := (first + rainfall.Date(i)).YMD()
			if rng.Float64() < chance[m-1] {
				r.Depth[i] = float64(1 + rng.IntN(20))
			}
		}
		s := siteOf(30, 60)
		s.Rule = Rule(rng.IntN(2))
		var mean, n [12]float64
		for _, size := range []float64{600, 1200, 3000, 6000, 12000} {
			held := 0.0
			for i := -5 * 365; i < len(r.Depth); i++ {
				_, m, d := (first + rainfall.Date(i)).YMD()
				t := i
				if i < 0 {
					t += 5 * 365
				}
				q := r.Depth[t] * 30
				if i >= 0 && d == 1 {
					mean[m-1] += held / size
					n[m-1]++
				}
				if s.Rule == YAS {
					y := min(60, held)
					held = min(held+q-y, size-y)
				} else {
					held = min(held+q-min(60, held+q), size)
				}
			}
		}
		want, most := time.Month(0), 0.0
		for m := range mean {
			if x := mean[m] / n[m]; x > most+1e-9 {
				want, most = time.Month(m+1), x
			}
		}
		got, ok := s.StorageYear(r)
		require.True(t, ok)
		require.Equal(t, want, got)
		seen[got] = true
	}
	assert.Greater(t, len(seen), 5)
}

// The uses count, where the rain alone does not tell: with the same rain every
// day, stores are fullest as a season begins that draws on them most.
func TestStorageYearAsksTheUses(t *testing.T) {
	depth := make([]float64, 15*365)
	for i := range depth {
		depth[i] = 1.2
	}
	s := siteOf(50, 40)
	s.Uses = append(s.Uses, Use{Monthly: [12]float64{5: 5000, 6: 6000, 7: 5000}})
	got, ok := s.StorageYear(recordOf(depth))
	assert.True(t, ok)
	assert.Equal(t, time.June, got)
	// And so do the roofs: as all small rain wets the roof and dries off, a season of
	// heavy rain fills the stores though more falls in the other.
	for i := range depth {
		_, m, _ := (rainfall.Day(2001, time.January, 1) + rainfall.Date(i)).YMD()
		depth[i] = 1.5
		if m >= 4 && m <= 6 {
			depth[i] = map[bool]float64{true: 8}[i%7 == 0]
		}
	}
	s = siteOf(50, 20)
	s.Roofs[0].Wetting = 1.6
	got, _ = s.StorageYear(recordOf(depth))
	assert.Equal(t, time.July, got)
	assert.NotEqual(t, got, recordOf(depth).StartMonth())
}

// Days without data are waited for: a store that the wet months filled is full
// when the record goes on.
func TestStorageYearWaits(t *testing.T) {
	depth := make([]float64, 20*365)
	for i := range depth {
		_, m, _ := (rainfall.Day(2001, time.January, 1) + rainfall.Date(i)).YMD()
		if depth[i] = 4; m > 3 {
			depth[i] = math.NaN()
		}
	}
	got, ok := siteOf(50, 100).StorageYear(recordOf(depth))
	assert.True(t, ok)
	assert.Equal(t, time.January, got)
}

// By the rule of the study: with rain to spare every day a store is full by one,
// and lacks a day's use by the other, least after the month that wants least.
func TestStorageYearByTheRule(t *testing.T) {
	depth := make([]float64, 12*365)
	for i := range depth {
		depth[i] = 10
	}
	s := siteOf(50, 0)
	s.Uses[0].Monthly = [12]float64{3000, 3000, 3000, 3000, 600, 3000, 3000, 3000, 3000, 3000, 3000, 3000}
	for rule, want := range map[Rule]time.Month{YAS: time.June, YBS: time.January} {
		s.Rule = rule
		got, _ := s.StorageYear(recordOf(depth))
		assert.Equal(t, want, got, "%v", rule)
	}
}

// Sizes, target, the rest of a study and what the tank holds at first have no
// say.
func TestStorageYearIsOfTheSiteAlone(t *testing.T) {
	r := recordOf(showers(rand.New(rand.NewPCG(63, 64)), 30*365))
	s := question()
	want, ok := s.StorageYear(r)
	require.True(t, ok)
	s.Sizes, s.Areas, s.Target, s.Measure, s.Dead, s.Allow = []float64{3, 90000}, []float64{7}, 0.5, Volume, 0.4, 30
	got, _ := s.StorageYear(r)
	assert.Equal(t, want, got)
	again := *s
	again.Roofs = plain(60000, 0.9, 1)
	again.Roofs[0].FirstFlush, again.Uses = 0.5, []Use{{Daily: 60000}}
	got, _ = again.StorageYear(r)
	assert.Equal(t, want, got, "a thousand sites together are one")
}

// Without roofs, uses, rain or a month's first day nothing tells.
func TestStorageYearDoesNotTell(t *testing.T) {
	wet := make([]float64, 800)
	for i := range wet {
		wet[i] = 3
	}
	for name, c := range map[string]struct {
		s     *Study
		depth []float64
	}{
		"no rain":  {siteOf(50, 100), make([]float64, 800)},
		"no use":   {&Study{Roofs: plain(50, 1, 1)}, wet},
		"no roof":  {&Study{Uses: []Use{{Daily: 100}}}, wet},
		"bad roof": {siteOf(-1, 100), wet},
		"too much": {siteOf(1e13, 100), wet},
		"no day":   {siteOf(50, 100), nil},
	} {
		_, ok := c.s.StorageYear(recordOf(c.depth))
		assert.False(t, ok, name)
	}
	start, ok := siteOf(50, 100).StorageYear(&rainfall.Record{First: rainfall.Day(2001, time.May, 20), Depth: wet[:40]})
	assert.True(t, ok)
	assert.Equal(t, time.June, start, "the only one")
}

// The demo by hand: its rain comes from October to April, so its stores are
// fullest in March. The years of the real records were looked at size by size;
// in Phoenix, with rain in winter and in July and August, winter fills them
// more.
func TestStorageYearOfRecords(t *testing.T) {
	months := func(file string, o read.Options) (out []time.Month) {
		r, err := read.File(file, o)
		require.NoError(t, err)
		for _, daily := range []float64{30, 60, 90} {
			s := siteOf(0, daily)
			s.Roofs = []Roof{NewRoof(180)}
			m, ok := s.StorageYear(r)
			require.True(t, ok)
			out = append(out, m)
		}
		return out
	}
	const march, april, may, january = time.March, time.April, time.May, time.January
	assert.Equal(t, []time.Month{march, march, march}, months("../cmd/tankodds/demo.csv", read.Options{}))
	dir := os.Getenv("TANKODDS_DATA")
	if _, err := os.Stat(dir); dir == "" || err != nil {
		t.Skip("set TANKODDS_DATA to a folder of station records to run the rest of this")
	}
	for file, want := range map[string]time.Month{
		"ghcn-dly/USW00094728.dly": april, "met-eireann/dly532.csv": january, "ncei-access/USW00053908.csv": may, "ncei-past-weather/Phoenix_Weather.csv": march,
	} {
		assert.Equal(t, []time.Month{want, want, want}, months(filepath.Join(dir, file), read.Options{}), file)
	}
}
