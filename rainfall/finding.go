package rainfall

// Finding is one thing found in a record or done to it, as data: whoever shows
// it has the words and the units.
type Finding struct {
	Code   string   `key:"code" doc:"its kind"`
	From   Date     `key:"from" doc:"the first day of the stretch in question, none where that is the whole record"`
	Days   int      `key:"days" doc:"how long that is, 0 for the whole record"`
	Values []Value  `key:"values" doc:"the numbers of it"`
	Texts  []string `key:"texts" doc:"names and codes that the file holds"`
}

// Value is a named number of a finding or of a rule.
type Value struct {
	Name string    `key:"name" doc:"what it is"`
	Dim  Dimension `key:"dimension" doc:"what it measures"`
	X    float64   `key:"value" doc:"its value"`
}

// Dimension is what a value measures.
type Dimension string

const (
	InDepth  Dimension = "mm"          // a depth of rain, mm
	InCount  Dimension = "count"       // a number of things
	InFactor Dimension = "factor"      // a multiple
	InShare  Dimension = "share"       // 1 is all; a departure may be below 0
	InChance Dimension = "probability" // 0–1
	InYear   Dimension = "year"        // a calendar year, or that in which a water year begins
	InDay    Dimension = "weekday"     // 0 is Sunday
	InUnit   Dimension = "mm_per_unit" // a unit of a file: 1, 0.1 or 25.4 mm
	InFile   Dimension = "file_unit"   // a depth in the file's own unit
)

// Of makes a value of the dimension.
func (d Dimension) Of(name string, x float64) Value { return Value{name, d, x} }

// Of returns the value of a name, which must be there.
func (f Finding) Of(name string) float64 { return valueOf(f.Values, name) }

// Of returns the threshold of a name, which must be there.
func (c Check) Of(name string) float64 { return valueOf(c.Limits, name) }

// Depth returns the depth in question, mm; 0 where the finding has none.
func (f Finding) Depth() float64 {
	for _, v := range f.Values {
		if v.Name == "depth" {
			return v.X
		}
	}
	return 0
}

func valueOf(all []Value, name string) float64 {
	for _, v := range all {
		if v.Name == name {
			return v.X
		}
	}
	panic("rainfall: no value " + name) // a slip of the program's own
}
