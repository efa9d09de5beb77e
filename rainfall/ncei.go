package rainfall

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// The daily summaries of NOAA NCEI come as CSV with the columns STATION, DATE
// and one an element, from two places: the archive ("access": a file a
// station) and orders (Climate Data Online, the access service). What they
// share is here; they differ in the unit.

// nceiElements are the elements by which a header is known where PRCP is not
// among them: such a file must be named for what it lacks.
var nceiElements = []string{"PRCP", "SNOW", "SNWD", "TMAX", "TMIN", "TAVG", "TOBS", "MDPR", "AWND"}

// nceiHeader returns the header's columns if they are those of NCEI's daily
// summaries.
func (in *input) nceiHeader() ([]string, bool) {
	cols := strings.Split(in.line(1), ",")
	for i, c := range cols {
		cols[i] = strings.Trim(c, "\" ")
	}
	has := func(name string) bool { return slices.Contains(cols, name) }
	return cols, has("STATION") && has("DATE") && slices.ContainsFunc(nceiElements, has)
}

// nceiTenths reports whether the file is of the archive's form: PRCP in whole
// tenths of a millimetre. Orders print millimetres with one decimal and inches
// with two, zero included, so one decimal point settles it. A file without
// any is the archive's if it also has the archive's attributes or padding;
// else somebody saved it anew, and the unit has to be asked for.
func (in *input) nceiTenths(cols []string) bool {
	at := slices.Index(cols, "PRCP")
	if at < 0 {
		return slices.Contains(cols, "LATITUDE")
	}
	archive := slices.Contains(cols, "PRCP_ATTRIBUTES")
	for _, s := range in.lines[1:] {
		cell := fieldAt(s, at)
		if strings.Contains(cell, ".") {
			return false
		}
		archive = archive || strings.HasPrefix(cell, " ") && strings.TrimSpace(cell) != ""
	}
	return archive
}

// fieldAt returns field i (from 0) of a comma-separated line without its
// quotes, "" where there is none.
func fieldAt(s string, i int) string {
	for ; ; i-- {
		end := strings.IndexByte(s, ',')
		if strings.HasPrefix(s, `"`) {
			if q := strings.IndexByte(s[1:], '"'); q >= 0 {
				end = strings.IndexByte(s[q+2:], ',')
				if end >= 0 {
					end += q + 2
				}
			}
		}
		if end < 0 {
			end = len(s)
		}
		if i == 0 {
			return strings.Trim(s[:end], `"`)
		}
		if end == len(s) {
			return ""
		}
		s = s[end+1:]
	}
}

// nceiTable holds the columns of a file of daily summaries that matter here.
type nceiTable struct {
	*table
	rows  []int // those of the one station
	id    string
	place string
	date  []string
}

func (in *input) nceiTable() (*nceiTable, error) {
	t, err := in.table(1, ',', false, "STATION", "NAME", "STATION_NAME", "DATE",
		"PRCP", "PRCP_ATTRIBUTES", "MDPR", "MDPR_ATTRIBUTES", "DAPR", "DAPR_ATTRIBUTES",
		"Measurement Flag", "Quality Flag")
	if err != nil {
		return nil, err
	}
	if t.find("PRCP") < 0 {
		return nil, in.fail(1, "no column PRCP: the file holds no daily rain", "order it with precipitation, or choose another station")
	}
	n := &nceiTable{table: t, date: t.column(t.find("DATE"))}
	if n.rows, n.id, err = t.rowsOf(t.find("STATION")); err != nil {
		return nil, err
	}
	if len(n.rows) > 0 {
		n.place = t.column(t.find("NAME", "STATION_NAME"))[n.rows[0]]
	}
	return n, nil
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
	return cell == "" || cell == "-9999" || cell == "-9999.0" || cell == "-9999.00"
}

// record reads the rain, which is in unit u.
func (n *nceiTable) record(u unit) (*Record, error) {
	b := &builder{in: n.in}
	prcp, prcpFlags := n.column(n.find("PRCP")), n.flags("PRCP")
	mdpr, mdprFlags := n.column(n.find("MDPR")), n.flags("MDPR")
	dapr, daprFlags := n.column(n.find("DAPR")), n.flags("DAPR")
	for _, k := range n.rows {
		line := n.line[k]
		day, err := n.in.isoOrPacked(line, n.date[k])
		if err != nil {
			return nil, err
		}
		m, q := prcpFlags(k)
		mm, mark := math.NaN(), Mark(0)
		switch c := prcp[k]; {
		case n.missing(c):
		case strings.EqualFold(c, "T"):
			mm, mark = 0, Trace
		default:
			x, err := n.in.number(line, c, "PRCP")
			if err != nil {
				return nil, err
			}
			mm, mark = u.inMM(x), ghcnMark(m, q)
		}
		if err := b.add(line, day, mm, mark); err != nil {
			return nil, err
		}
		if _, q := mdprFlags(k); n.missing(mdpr[k]) || q != ' ' {
			continue
		}
		total, err := n.in.number(line, mdpr[k], "MDPR")
		if err != nil {
			return nil, err
		}
		days := 0.0
		if _, q := daprFlags(k); !n.missing(dapr[k]) && q == ' ' {
			if days, err = n.in.number(line, dapr[k], "DAPR"); err != nil {
				return nil, err
			}
			if days != math.Trunc(days) || days < 1 || days > 366 {
				return nil, n.in.fail(line, fmt.Sprintf("DAPR %q is no number of days", dapr[k]), "leave the cell blank if the value is missing")
			}
		}
		if err := b.addTotal(line, day, int(days), u.inMM(total)); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Station, r.Place, r.Unit = n.id, n.place, u.name
	return r, nil
}

// isoOrPacked reads YYYY-MM-DD or, as older orders have it, YYYYMMDD.
func (in *input) isoOrPacked(line int, cell string) (Date, error) {
	if len(cell) == 8 && strings.IndexByte(cell, '-') < 0 {
		return in.ymd(line, cell)
	}
	return in.iso(line, cell)
}
