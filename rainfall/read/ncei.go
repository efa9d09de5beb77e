package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// ncei reads the daily summaries of NOAA NCEI: CSV with the columns STATION,
// DATE and one an element, and its flags in columns beside it. They come from
// two places. The archive ("access": a file a station) gives PRCP in tenths of
// a millimetre; a day without any element has no line. Orders (Climate Data
// Online, the access service) are in millimetres or inches as the orderer
// chose, and nothing in the file says which. So the unit is asked for, with
// the best guess beside the question: half a metre of rain taken for inches
// would make a tank of any size look full. TMAX and TMIN are in degrees of the
// same system: tenths of a degree Celsius beside tenths of a millimetre.
func ncei() format {
	return delimited{
		name: "NCEI daily summaries (CSV)", within: usualHead,
		header: func(c []string) bool {
			return hasCells(c, "STATION", "DATE") && slices.ContainsFunc(nceiElements, func(e string) bool { return slices.Contains(c, e) }) && !isGSOD(c)
		},
		keep: among("NAME", "STATION_NAME", "DATE", "PRCP", "PRCP_ATTRIBUTES", "MDPR", "MDPR_ATTRIBUTES",
			"DAPR", "DAPR_ATTRIBUTES", "Measurement Flag", "Quality Flag"),
		thermal: among("TMAX", "TMAX_ATTRIBUTES", "TMIN", "TMIN_ATTRIBUTES"),
		station: []string{"STATION"},
		read:    readNCEI,
	}.format()
}

// nceiElements are the elements by which a header is known where PRCP is not
// among them: such a file must be named for what it lacks.
var nceiElements = []string{"PRCP", "SNOW", "SNWD", "TMAX", "TMIN", "TAVG", "TOBS", "MDPR", "AWND"}

func readNCEI(t *table) *rainfall.Record {
	at := t.find("PRCP")
	if at < 0 {
		t.in.fail(t.heading.line, "no column PRCP: the file holds no daily rain", "order it with precipitation, or choose another station")
	}
	n := nceiTable{table: t, unit: unitTenth}
	n.prcp = t.amounts(at)
	days := t.days(t.find("DATE"))
	if n.archived(at) {
		return n.record(days)
	}
	checked, flags := make([]string, len(n.prcp)), n.flags("PRCP") // without what failed a check
	for k, c := range n.prcp {
		if _, q := flags(k); q == ' ' {
			checked[k] = c
		}
	}
	depths := numbersOf(checked)
	codes := t.in.missingCodes(t.line, checked, depths)
	codes.blank(n.prcp, numbersOf(n.prcp))
	codes.blank(checked, depths)
	g := guessUnit(checked, depths)
	u, ok := parseUnit(t.in.opt.Unit)
	if !ok {
		t.in.askUnit("PRCP", g)
	}
	n.unit = u
	r := n.record(days)
	doubtUnit(r, u, g, true)
	unitChange(r, checked, depths)
	codes.tell(r)
	return r
}

// archived reports whether the file is of the archive's form: PRCP in whole
// tenths of a millimetre. Orders print millimetres with one decimal and inches
// with two, zero included, so one decimal point settles it. A file without
// any is the archive's if it also has the archive's padding, or its attributes
// and enough rain to show no decimals; else somebody saved it anew, and the
// unit has to be asked for.
func (n *nceiTable) archived(at int) bool {
	if slices.ContainsFunc(n.prcp, func(c string) bool { return strings.Contains(c, ".") }) {
		return false
	}
	padded := func(c string) bool { return strings.HasPrefix(c, " ") && strings.TrimSpace(c) != "" }
	wet := 0
	for _, c := range n.prcp {
		if isWet(c) {
			wet++
		}
	}
	return slices.ContainsFunc(n.raw(at), padded) || n.find("PRCP_ATTRIBUTES") >= 0 && wet >= fewWet
}

// nceiTable holds the columns of a file of daily summaries that matter here.
type nceiTable struct {
	*table
	unit unit
	prcp []string
}

// flags returns an element's measurement and quality flags of each row, from
// its attributes column (`M,Q,S` or `M,Q,S,time`) or, in orders of before
// about 2017, from the columns after it (their names from memory, unverified).
func (n *nceiTable) flags(element string) func(row int) (m, q byte) {
	at := n.find(element)
	isFlag := func(i int, name string) bool { return at >= 0 && i < len(n.header) && n.header[i] == name }
	if isFlag(at+1, "Measurement Flag") && isFlag(at+2, "Quality Flag") {
		ms, qs := n.column(at+1), n.column(at+2)
		return func(row int) (byte, byte) { return flag([]byte(ms[row])), flag([]byte(qs[row])) }
	}
	cells := n.column(n.find(element + "_ATTRIBUTES"))
	return func(row int) (byte, byte) {
		m, rest, _ := strings.Cut(cells[row], ",")
		q, _, _ := strings.Cut(rest, ",")
		return flag([]byte(m)), flag([]byte(q))
	}
}

// missing reports whether a cell of an element holds no value.
func (n *nceiTable) missing(cell string) bool {
	return isMissingWord(cell) || cell == "-9999" || cell == "-9999.0" || cell == "-9999.00"
}

// record reads the rain and the totals over several days.
func (n *nceiTable) record(days []rainfall.Date) *rainfall.Record {
	prcpFlags, mdprFlags, daprFlags := n.flags("PRCP"), n.flags("MDPR"), n.flags("DAPR")
	mdpr, dapr := n.amounts(n.find("MDPR")), n.column(n.find("DAPR"))
	r := n.recordOf(days, n.prcp, func(k int, c string) (mm float64, mark rainfall.Mark) {
		line := n.line[k]
		m, q := prcpFlags(k)
		switch {
		case n.missing(c):
			mm = math.NaN()
		case isTraceWord(c):
			mark = rainfall.Trace
		default:
			mm, mark = n.build.flagged(line, days[k], n.unit.inMM(n.in.number(line, c, "PRCP")), m, q)
		}
		if _, q := mdprFlags(k); n.missing(mdpr[k]) || q != ' ' {
			return mm, mark
		}
		total, span, ok := n.in.number(line, mdpr[k], "MDPR"), 0, true
		if _, q := daprFlags(k); !n.missing(dapr[k]) && q == ' ' {
			if span, ok = spanOf(trimZero(dapr[k])); !ok {
				n.in.fail(line, fmt.Sprintf("DAPR %q is no number of days", clipped(dapr[k])), "leave the cell blank if the value is missing")
			}
		}
		n.build.addTotal(line, days[k], span, n.unit.inMM(total))
		return mm, mark
	})
	r.Unit = n.unit.name
	r.Place = n.column(n.find("NAME", "STATION_NAME"))[0]
	if n.in.opt.Temperatures {
		n.temperatures(r, n.thermometer("TMAX"), n.thermometer("TMIN"))
	}
	return r
}

func (n *nceiTable) thermometer(element string) thermometer {
	flags := n.flags(element)
	return thermometer{n.find(element), degreesWith(n.unit), func(row int) bool { _, q := flags(row); return q != ' ' }}
}
