package report

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode"

	"tankodds/rainfall"
	"tankodds/report/codec"
	"tankodds/sim"
)

// keyOf gives a field of a result a key with its unit. A field that is not
// here gets its own name, in small letters: new numbers join by themselves,
// and a line here tells their unit.
var keyOf = map[string]string{
	"Result.Main":      "answer",
	"Result.Answers":   "answer_by_roof",
	"Result.Real":      "real_years",
	"Result.Params":    "generator_parameters",
	"Result.Simulated": "simulated_years",

	"Cell.Area":      "roof_m2",
	"Cell.Tank":      "tank_l",
	"Cell.ShortDays": "short_days_per_year",
	"Cell.Supplied":  "supplied_l_per_year",
	"Cell.Demand":    "demand_l_per_year",
	"Cell.Inflow":    "inflow_l_per_year",
	"Cell.Spilled":   "spilled_l_per_year",

	"Answer.Area":   "roof_m2",
	"Answer.Tank":   "tank_l",
	"Answer.Low":    "low_l",
	"Answer.High":   "high_l",
	"Answer.Safe":   "safe_tank_l",
	"Answer.Listed": "listed_tank_l",
	"Answer.Beyond": "beyond_range_l",

	"Stop.Tank": "tank_l",
	"Stop.Low":  "low_l",
	"Stop.High": "high_l",

	"Season.Tank":        "tank_l",
	"Season.Low":         "low_l",
	"Season.Mid":         "median_l",
	"Season.High":        "high_l",
	"Season.Driest":      "driest_l",
	"Season.DriestLabel": "driest_year",

	"RealYear.Label":    "year",
	"RealYear.Rain":     "rain_mm",
	"RealYear.Supplied": "supplied_l",
	"RealYear.Demand":   "demand_l",
	"RealYear.Spilled":  "spilled_l",
	"RealYear.Needs":    "needs_l",

	"ShortDay.Day":  "day_of_year",
	"ShortDay.Lack": "lack_l",

	"Month.Inflow":   "inflow_l",
	"Month.Demand":   "demand_l",
	"Month.Supplied": "supplied_l",
	"Month.Spilled":  "spilled_l",

	"PeakSpill.Rain":  "rain_mm",
	"PeakSpill.Spill": "spill_l",

	"Thumb.Of":    "of_l",
	"Thumb.Days":  "bridged_days",
	"Thumb.First": "first_month",
	"Thumb.Count": "dry_months",
	"Thumb.Tank":  "tank_l",

	"Outlook.Tank":    "tank_l",
	"Outlook.Horizon": "horizon_years",
	"Outlook.Low":     "low_years",
	"Outlook.Mid":     "median_years",
	"Outlook.High":    "high_years",
}

// leftOut are the types that a result refers to and evidence holds otherwise:
// the study is an input, the years come from the record.
var leftOut = map[reflect.Type]bool{
	reflect.TypeFor[*sim.Study]():      true,
	reflect.TypeFor[*rainfall.Years](): true,
}

// valuesOf returns a result's values by walking its fields. Functions and
// unexported fields are no values; no number is written as null, as JSON
// knows none.
func valuesOf(v reflect.Value) *codec.Node {
	if month, ok := v.Interface().(time.Month); ok && month == 0 {
		return &codec.Node{} // none, of which String makes "%!Month(0)"
	}
	if s, ok := v.Interface().(fmt.Stringer); ok && v.Kind() != reflect.Pointer {
		return textNode(s.String()) // a date, a month, a measure
	}
	switch v.Kind() {
	case reflect.Bool:
		return &codec.Node{Kind: codec.Truth, Text: strconv.FormatBool(v.Bool())}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return &codec.Node{Kind: codec.Number, Text: strconv.FormatInt(v.Int(), 10)}
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return &codec.Node{Kind: codec.Number, Text: strconv.FormatUint(v.Uint(), 10)}
	case reflect.Float32, reflect.Float64:
		if x := v.Float(); !math.IsNaN(x) && !math.IsInf(x, 0) {
			return &codec.Node{Kind: codec.Number, Text: strconv.FormatFloat(x, 'g', -1, 64)}
		}
	case reflect.String:
		return textNode(v.String())
	case reflect.Pointer:
		if !v.IsNil() {
			return valuesOf(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		return listOf(v)
	case reflect.Struct:
		n := &codec.Node{Kind: codec.Object}
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.IsExported() && f.Type.Kind() != reflect.Func && !leftOut[f.Type] {
				n.Add(keyFor(v.Type(), f.Name), valuesOf(v.Field(i)))
			}
		}
		return n
	}
	return &codec.Node{}
}

// textNode holds a text as it is read back: JSON knows no bytes that are no
// letters.
func textNode(s string) *codec.Node { return &codec.Node{Kind: codec.Text, Text: string([]rune(s))} }

func listOf(v reflect.Value) *codec.Node {
	byMeasure := v.Type() == reflect.TypeFor[[3]sim.Interval]()
	n := &codec.Node{Kind: codec.List}
	if byMeasure {
		n.Kind = codec.Object
	}
	for i := range v.Len() {
		x := valuesOf(v.Index(i))
		if byMeasure {
			n.Add(sim.Measure(i).String(), x)
		} else {
			n.Items = append(n.Items, x)
		}
	}
	return n
}

func keyFor(t reflect.Type, field string) string {
	if k, ok := keyOf[t.Name()+"."+field]; ok {
		return k
	}
	var b strings.Builder
	for i, r := range field {
		if i > 0 && unicode.IsUpper(r) {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// treeOf returns what v is as JSON.
func treeOf(v any) (*codec.Node, error) {
	b, err := marshal(v)
	if err != nil {
		return nil, err
	}
	return codec.Parse(b)
}

// told returns the value less what is empty: "", false, null and objects
// without keys.
func told(n *codec.Node) *codec.Node {
	out := &codec.Node{Kind: n.Kind, Text: n.Text}
	for i, v := range n.Items {
		v = told(v)
		if n.Kind == codec.List {
			out.Items = append(out.Items, v)
		} else if v.Kind != codec.Null && (v.Scalar() && v.Text != "" && v.Text != "false" || len(v.Items) > 0) {
			out.Add(n.Keys[i], v)
		}
	}
	return out
}
