package words

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// Reason says why an answer is the size it is, or why there is none.
func Reason(a sim.Answer) string {
	goal := target(a.Measure, a.Target, a.Allow)
	switch a.Why {
	case sim.Meets:
		return "the smallest size that meets " + goal
	case sim.MeetsBelow:
		return "the smallest size that meets " + goal + "; every size asked about is larger"
	}
	return fmt.Sprintf("no size in this range meets %s: the largest reaches %s; %s", goal, units.Percent(a.Reached), WhyNone(a))
}

// WhyNone says why no size asked about meets a target, "" where one does.
func WhyNone(a sim.Answer) string {
	switch a.Why {
	case sim.SpellsTooLong:
		return "the dry spells are longer than it lasts"
	case sim.YieldTooSmall:
		return fmt.Sprintf("the roof yields %s of the water wanted, and no tank mends that", units.Percent(a.Cell.Inflow/a.Cell.Demand))
	case sim.NoneWithinReach:
		return "no tank does, however large"
	}
	return ""
}

// Method says how a stop was found, with the numbers of the study, in SI.
func Method(method string, s *sim.Study) string {
	if method == sim.ByValue {
		return fmt.Sprintf("largest worth of the water saved over %g years at %.3g %% a year less the tank's price", s.Costs.Life, 100*s.Costs.Discount)
	}
	return "the largest size whose last litre, as that of every smaller one, is used at least every other year"
}

// shortRecord says what a record cannot carry.
func shortRecord(f rainfall.Finding) string {
	n := int(f.Of("usable_years"))
	are := fmt.Sprintf("%d usable years are", n)
	if n == 1 {
		are = "1 usable year is"
	}
	text := fmt.Sprintf("%s few to size a tank from: %g are the least, more where droughts are long", are, f.Of("least_years"))
	if need := f.Of("years_to_show"); need > 0 {
		text = fmt.Sprintf("%s too few to show %s: even with no failure in them it would take %g", are, units.Percent(f.Of("target")), need)
	}
	if f.Of("synthetic_only") > 0 {
		text += "; the size is the one at which the synthetic years meet it"
	}
	return text
}

// stressed says what stress the synthetic rain is under.
func stressed(f rainfall.Finding) string {
	s := gen.Stress{DrySpell: f.Of("dry_spell")}
	for m := range s.Rain {
		s.Rain[m] = f.Of(time.Month(m + 1).String())
	}
	return "the synthetic rain is under stress: " + Stress(s) + "; what if, not a forecast; the real years are as they were"
}

// Stress says what a stress does to the synthetic rain.
func Stress(s gen.Stress) string {
	var parts []string
	if s.Rain != ([12]float64{}) {
		same := true
		for _, x := range s.Rain {
			same = same && x == s.Rain[0]
		}
		if same && s.Rain[0] != 1 {
			parts = append(parts, fmt.Sprintf("rain × %g", s.Rain[0]))
		}
		if !same {
			var months []string
			for m, x := range s.Rain {
				if x != 1 {
					months = append(months, fmt.Sprintf("%.3s × %g", time.Month(m+1), x))
				}
			}
			parts = append(parts, "rain of "+strings.Join(months, ", "))
		}
	}
	if s.DrySpell > 1 {
		parts = append(parts, fmt.Sprintf("dry spells × %g as long", s.DrySpell))
	}
	return strings.Join(parts, "; ")
}

// TooShort warns of the records that a backtest could not learn from.
func TooShort(r *backtest.Result) []Warning {
	var out []Warning
	for _, rec := range r.Records {
		if rec.Windows == 0 {
			out = append(out, Warn("short-record", fmt.Sprintf("%s has %s; %d to learn from and %d to judge by are the least",
				rec.Name, Plural(rec.Usable, "usable year"), slices.Min(r.Study.Learn), r.Study.Least)))
		}
	}
	return out
}
