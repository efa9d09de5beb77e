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
	switch a.Grade {
	case sim.Shown:
		return "the smallest size that meets " + goal
	case sim.Indicated:
		return "the smallest size with which this record points to " + goal + "; it is too short to show that"
	}
	if a.Why == sim.TooFewYears {
		return fmt.Sprintf("no size can be told for %s: %s", goal, WhyNone(a))
	}
	return fmt.Sprintf("no tank gives %s: %s", goal, WhyNone(a))
}

// WhyNone says why there is no size for a target, "" where there is one.
func WhyNone(a sim.Answer) string {
	switch a.Why {
	case sim.TooFewYears:
		return fmt.Sprintf("the record is too short, and %d usable years are the least", sim.FewYears)
	case sim.YieldTooSmall:
		return fmt.Sprintf("the roof yields only %s of the water wanted, and a larger tank cannot change that", units.Percent(a.Cell.Inflow/a.Cell.Demand))
	case sim.NoneWithinReach:
		return "no tank is enough, however large"
	}
	return ""
}

// Method says how a stop was found, with the numbers of the study, in SI.
func Method(method string, s *sim.Study) string {
	if method == sim.ByValue {
		return fmt.Sprintf("of the sizes with a price, the largest worth of the water saved over %g years at %.3g %% a year, less the price", s.Costs.Life, 100*s.Costs.Discount)
	}
	return "the largest size all of which is used at least every other year"
}

// shortRecord says what a record cannot carry.
func shortRecord(f rainfall.Finding) string {
	n := int(f.Of("usable_years"))
	are := fmt.Sprintf("%d usable years are", n)
	if n == 1 {
		are = "1 usable year is"
	}
	if n < int(f.Of("least_years")) {
		return fmt.Sprintf("%s too few to size a tank from; %g are the least", are, f.Of("least_years"))
	}
	return fmt.Sprintf("%s too few to show %s here: even with no failure in them it would take about %s", are, units.Percent(f.Of("target")), Whole(int(f.Of("years_to_show"))))
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
