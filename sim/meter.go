package sim

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// MeterOf is what a meter at a tank measures.
type MeterOf uint8

const (
	NoMeter     MeterOf = iota
	DrawMeter           // what the uses take out of the tank
	MainsMeter          // what the mains give because the tank lacks it
	LevelSensor         // what the tank holds
)

var meterNames = []string{"none", "draw", "mains", "level"}

// String names it by a short fixed word.
func (m MeterOf) String() string { return meterNames[m] }

// MarshalText returns the word.
func (m MeterOf) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads the word.
func (m *MeterOf) UnmarshalText(text []byte) error {
	k := slices.Index(meterNames, string(text))
	if k < 0 {
		return fmt.Errorf("%q is none of %s", text, strings.Join(meterNames, ", "))
	}
	*m = MeterOf(k)
	return nil
}

// Reading is what a meter showed in the evening of a day.
type Reading struct {
	Date rainfall.Date
	// Litres is the counter of a meter that runs on, the amount since the
	// reading before it, or all that the tank held, with what lies under its
	// outlet. NaN is a reading not taken.
	Litres float64
}

// Readings are those of one meter, in the order of their dates, no date twice.
type Readings struct {
	Of      MeterOf
	Amounts bool // of a draw or mains meter: since the reading before, and not a counter
	All     []Reading
}

// LeastIntervals is how many intervals between readings are needed to hold a
// model against them: common practice, no source.
const LeastIntervals = 6

// meterSpan is the time between two readings.
type meterSpan struct {
	from, to rainfall.Date // its first and its last day
	litres   float64       // drawn, topped up, or by how much the tank held more
}

// spans cuts the readings into the times between them.
func (m *Readings) spans() []meterSpan {
	var out []meterSpan
	last := -1
	for i, r := range m.All {
		switch {
		case math.IsNaN(r.Litres) && m.Amounts:
			last = i // what was used up to here is not known
			continue
		case math.IsNaN(r.Litres):
			continue
		case last >= 0 && m.Amounts:
			out = append(out, meterSpan{m.All[last].Date + 1, r.Date, r.Litres})
		case last >= 0:
			out = append(out, meterSpan{m.All[last].Date + 1, r.Date, r.Litres - m.All[last].Litres})
		}
		last = i
	}
	return out
}

// Within counts the intervals between readings all of whose days a series has.
func (m *Readings) Within(s *rainfall.Series) int {
	n := 0
	for _, x := range m.spans() {
		if x.within(s) {
			n++
		}
	}
	return n
}

func (x meterSpan) within(s *rainfall.Series) bool {
	a, z := int(x.from-s.First), int(x.to-s.First)
	return a >= 0 && z < len(s.Depth) && !slices.ContainsFunc(s.Depth[a:z+1], math.IsNaN)
}

// metering is a meter and the model it is held against.
type metering struct {
	of     MeterOf
	spans  []meterSpan // whose days the series has
	series *rainfall.Series
	roofs  []Roof
	uses   []Use
	tank   Tank
}

// newMetering cuts the series to what the readings need. Water drawn and topped
// up are modelled from the record's first day on, as Replay does. What the tank
// held is known at the first reading: the model begins there, with that.
func newMetering(s *rainfall.Series, roofs []Roof, uses []Use, tank Tank, m *Readings) (*metering, int) {
	out := &metering{of: m.Of, series: s, roofs: roofs, uses: uses, tank: tank}
	out.tank.Fittings.Of = "" // a meter measures all uses
	all := m.spans()
	for _, x := range all {
		if x.within(s) {
			out.spans = append(out.spans, x)
		}
	}
	if len(out.spans) == 0 {
		return out, len(all)
	}
	last := out.spans[len(out.spans)-1].to
	from, to := s.First, max(last, s.First+rainfall.Date(tank.RunIn*rainfall.DaysPerYear)-1)
	if m.Of == LevelSensor {
		from = out.spans[0].from
		at := slices.IndexFunc(m.All, func(r Reading) bool { return r.Date == from-1 })
		usable := tank.Under.usable(tank.Nominal, tank.Dead)
		out.tank.Start, out.tank.RunIn = min(usable, max(0, m.All[at].Litres-(tank.Nominal-usable))), 0
		to = last
	}
	out.series = s.Between(from, to)
	return out, len(all) - len(out.spans)
}

// meterModel is what the model says of one interval.
type meterModel struct {
	Water
	litres float64 // as the meter should show it
	short  bool    // on some day less was supplied than wanted
}

// informs says whether such a meter can tell of the inflow there: the tank
// lacked water, or its level moved.
func (x *meterModel) informs(of MeterOf) bool {
	switch of {
	case LevelSensor:
		return math.Abs(x.litres) > 0.5*litreUnit
	case MainsMeter:
		return x.litres > 0
	}
	return x.short
}

// litreUnit is the unit that volumes are whole numbers of, L.
const litreUnit = 0.01

// demandAlone says whether what the meter shows is the water wanted, whatever
// flowed in: the tank gave all of it, gave nothing, or only fell.
func (x *meterModel) demandAlone(of MeterOf) bool {
	switch {
	case !(x.Demand > 0):
		return false
	case of == MainsMeter:
		return x.Supplied == 0 && x.LetIn == 0
	case of == LevelSensor:
		return !x.short && x.Inflow == 0 && x.LetIn == 0 && x.Fell == 0 && x.Dried == 0 && x.Pumped == 0
	}
	return !x.short
}

// at is the model of each interval with the inflow multiplied by k > 0.
func (m *metering) at(k float64) ([]meterModel, error) {
	roofs := slices.Clone(m.roofs)
	for i := range roofs {
		roofs[i].Area *= k
	}
	r, err := Replay(m.series, roofs, m.uses, m.tank)
	if err != nil {
		return nil, err
	}
	out := make([]meterModel, len(m.spans))
	t, held := 0, r.StartsWith
	for i, x := range m.spans {
		for ; t < len(r.Daily) && r.Daily[t].Date < x.from; t++ {
			held = r.Daily[t].Storage
		}
		began := held
		for ; t < len(r.Daily) && r.Daily[t].Date <= x.to; t++ {
			d := r.Daily[t]
			out[i].Water.add(d.Water)
			out[i].short = out[i].short || d.Supplied < d.Demand
			held = d.Storage
		}
		out[i].Water.whole()
		switch m.of {
		case DrawMeter:
			out[i].litres = out[i].Supplied
		case MainsMeter:
			out[i].litres = out[i].TopUp()
		case LevelSensor:
			out[i].litres = held - began
		}
	}
	return out, nil
}
