package sim

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// A use of so many people, in some months, on some weekdays and not in the
// holidays, day by day against the calendar of package time.
func TestDatesOfAUse(t *testing.T) {
	off := []Span{{6, 27, 8, 29, 0}, {12, 22, 1, 5, 0}, {2, 29, 2, 29, 0}, {4, 18, 4, 18, 0}}
	use := Use{People: 30, Each: 12, Daily: 40, Days: weekdays(), Months: Months{true, true, false, true, true, true, true, true, true, true, false, true}, Except: off}
	first := rainfall.Day(1999, time.December, 1)
	got := make([]float64, 3000)
	Demand(got, first, []Use{use})
	at, on := time.Date(1999, time.December, 1, 0, 0, 0, 0, time.UTC), 0
	for _, d := range got {
		m, day := at.Month(), at.Day()
		leap := time.Date(at.Year(), time.March, 0, 0, 0, 0, 0, time.UTC).Day() == 29
		holiday := m == time.June && day >= 27 || m == time.July || m == time.August && day <= 29 ||
			m == time.December && day >= 22 || m == time.January && day <= 5 || m == time.April && day == 18 ||
			m == time.February && (day == 29 || day == 28 && !leap)
		want := 0.0
		if wd := at.Weekday(); wd != time.Saturday && wd != time.Sunday && m != time.March && m != time.November && !holiday {
			want = 400
			on++
		}
		require.Equal(t, want, d, "%v", at)
		at = at.AddDate(0, 0, 1)
	}
	assert.Greater(t, on, 1000)

	// Synthetic years have 365 days and no 29 February: the 28th stands for it.
	trace := TraceDemand(1, time.January, []Use{{Daily: 1, Except: []Span{{2, 29, 3, 1, 0}}}})
	assert.Equal(t, []float64{1, 0, 0, 1}, trace[57:61])
}

// An exception of one year is of that year alone, over New Year too, and of no
// synthetic year.
func TestExceptionsOfOneYear(t *testing.T) {
	use := Use{Daily: 1, Except: []Span{{6, 10, 6, 11, 2003}, {12, 30, 1, 2, 2003}}}
	first := rainfall.Day(2002, time.January, 1)
	got := make([]float64, 365+365+366+365)
	Demand(got, first, []Use{use})
	var off []string
	for k, d := range got {
		if d == 0 {
			off = append(off, (first + rainfall.Date(k)).String())
		}
	}
	assert.Equal(t, []string{"2003-06-10", "2003-06-11", "2003-12-30", "2003-12-31", "2004-01-01", "2004-01-02"}, off)
	for _, d := range TraceDemand(3, time.January, []Use{use}) {
		require.Equal(t, 1.0, d)
	}
}

func TestMonthsAsText(t *testing.T) {
	var m Months
	require.NoError(t, m.SetTexts([]string{"Nov", "Dec", "Jan"}))
	assert.Equal(t, []string{"Jan", "Nov", "Dec"}, m.Texts())
	assert.Error(t, m.SetTexts([]string{"Brumaire"}))
	require.NoError(t, m.SetTexts(Months{}.Texts()))
	assert.Equal(t, Months{}, m)
	for _, bad := range []Span{{0, 1, 1, 1, 0}, {1, 0, 1, 1, 0}, {4, 31, 5, 1, 0}, {1, 1, 13, 1, 0}, {2, 30, 3, 1, 0}} {
		assert.Error(t, bad.Check(), "%v", bad)
	}
	assert.NoError(t, Span{2, 29, 2, 29, 0}.Check())
}

// What lies under the outlet stands under the tank that the uses need, whatever
// is asked of it, and in a replay: V(S + R, kept R) = V(S).
func TestWhatLiesUnderIsAdded(t *testing.T) {
	series := usualYears(t, 25)
	const reserve, dead = 3000.0, 250.0
	for m := Annual; m <= Volume; m++ {
		s := question()
		s.Measure, s.Target, s.RecordError = m, [3]float64{0.8, 0.95, 0.9}[m], true
		plain := sized(t, series, gen.WaterYears(), s)
		kept := *s
		kept.Under = Under{Dead: dead, Reserve: reserve}
		kept.Sizes = []float64{reserve + dead + 1, 90_000}
		got := sized(t, series, gen.WaterYears(), &kept)
		if m == Annual {
			assert.InDelta(t, plain.Main.Exact+reserve+dead, got.Main.Exact, 1e-9)
		}
		assert.InDelta(t, plain.Main.Exact+reserve+dead, got.Main.Exact, 12, "%v: a step of three digits", m)
		assert.GreaterOrEqual(t, got.Main.Tank, got.Main.Exact-1e-9)
		assert.InDelta(t, plain.Main.Safe+reserve+dead, got.Main.Safe, 0.02*got.Main.Safe, "%v", m)
	}
	uses := []Use{{Daily: 60}}
	roofs := plain(40, 0.8, 1)
	a := replayed(t, series, roofs, uses, Tank{Nominal: 2000})
	b := replayed(t, series, roofs, uses, Tank{Nominal: 2000 + reserve + dead, Under: Under{Dead: dead, Reserve: reserve}})
	c := replayed(t, series, roofs, uses, Tank{Nominal: 2500, Under: Under{Share: 0.2}})
	assert.Equal(t, a.Water, c.Water)
	assert.Equal(t, a.Water, b.Water)
	for k := range a.Years {
		near(t, a.Years[k].Needs+reserve+dead, b.Years[k].Needs, 1e-9)
	}
	for _, bad := range []Under{{Dead: -1}, {Reserve: -1}, {Reserve: 2e9}, {Share: 1}, {Share: -0.1}} {
		s := question()
		s.Under = bad
		assert.Error(t, s.Check(), "%v", bad)
		assert.Error(t, Tank{Nominal: 100, Under: bad}.Check(), "%v", bad)
	}
}
