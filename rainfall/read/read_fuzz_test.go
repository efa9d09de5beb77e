package read

import (
	"math"
	"slices"
	"strings"
	"testing"

	"tankodds/rainfall"
)

// checkAnyInput holds whatever bytes are read: no panic; an error is a
// *Error with the file's name; a record's lengths agree, it begins and ends
// with a value, and each depth is missing or a possible one.
func checkAnyInput(t *testing.T, b []byte, o Options) {
	r, err := Bytes("f", b, o)
	if err != nil {
		if e, ok := err.(*Error); !ok || e.File != "f" || e.Text == "" || strings.Contains(e.Error(), "\n") {
			t.Fatalf("not a read error of one line that names the file: %T, %v", err, err)
		}
		return
	}
	n := len(r.Depth)
	switch {
	case n == 0 || len(r.Mark) != n:
		t.Fatalf("%d depths, %d marks", n, len(r.Mark))
	case math.IsNaN(r.Depth[0]) || math.IsNaN(r.Depth[n-1]):
		t.Fatal("a record begins and ends with a value")
	case r.Format == "" || r.Unit == "" || r.File != "f" || len(r.SHA256) != 64:
		t.Fatalf("format %q, unit %q, file %q, digest %q", r.Format, r.Unit, r.File, r.SHA256)
	}
	for i, x := range r.Depth {
		if !(math.IsNaN(x) || x >= 0 && x <= MaxDaily) {
			t.Fatalf("depth %g on %v", x, r.First+rainfall.Date(i))
		}
		if r.Mark[i]&rainfall.Failed != 0 && r.Mark[i]&rainfall.Spread == 0 && !math.IsNaN(x) {
			t.Fatalf("a failed value was kept on %v", r.First+rainfall.Date(i))
		}
	}
	if o.Temperatures {
		if len(r.Max) != len(r.Min) || r.Max != nil && len(r.Max) != n {
			t.Fatalf("%d days, %d highest and %d lowest temperatures", n, len(r.Max), len(r.Min))
		}
		for _, x := range slices.Concat(r.Max, r.Min) {
			if !(math.IsNaN(x) || x >= coldest && x <= hottest) {
				t.Fatalf("%g °C", x)
			}
		}
	}
	for _, s := range r.Totals {
		if s.Days < 2 || !(s.MM >= 0) {
			t.Fatalf("total %+v", s)
		}
	}
}

// fuzzText feeds the readers with texts in two parts, so that the head often
// stays whole while rows change.
func fuzzText(f *testing.F, o Options, texts ...string) {
	for _, s := range texts {
		lines := strings.SplitAfter(s, "\n")
		k := max(1, len(lines)-4)
		f.Add([]byte(strings.Join(lines[:k], "")), []byte(strings.Join(lines[k:], "")))
	}
	f.Fuzz(func(t *testing.T, head, rows []byte) {
		checkAnyInput(t, slices.Concat(head, rows), o)
		o := o
		o.Temperatures = true
		checkAnyInput(t, slices.Concat(head, rows), o)
	})
}

func fuzzFormat(f *testing.F, of format) {
	texts := worldSamples()[of.name]
	for _, c := range heatSamples() {
		if r, err := Bytes("f", []byte(c.text), c.opt); err == nil && r.Format == of.name && len(c.text) < 2000 {
			texts = append(texts, c.text)
		}
	}
	fuzzText(f, Options{}, texts...)
}

func FuzzGHCN(f *testing.F)            { fuzzFormat(f, ghcnDaily()) }
func FuzzGHCNCSV(f *testing.F)         { fuzzFormat(f, ghcnCSV()) }
func FuzzNCEIAccess(f *testing.F)      { fuzzText(f, Options{}, sampleAccess) }
func FuzzNCEIOrder(f *testing.F)       { fuzzText(f, Options{Unit: "in"}, sampleOrder) }
func FuzzNCEIOrderNoUnit(f *testing.F) { fuzzText(f, Options{}, sampleOrder) }
func FuzzNCEIPast(f *testing.F)        { fuzzFormat(f, nceiPastWeather()) }
func FuzzReadBoM(f *testing.F)         { fuzzFormat(f, bom()) }
func FuzzReadECAD(f *testing.F)        { fuzzFormat(f, ecad()) }
func FuzzReadDWD(f *testing.F)         { fuzzFormat(f, dwd()) }
func FuzzReadKNMI(f *testing.F)        { fuzzFormat(f, knmi()) }
func FuzzReadMetEireann(f *testing.F)  { fuzzFormat(f, metEireann()) }
func FuzzReadEnvCanada(f *testing.F)   { fuzzFormat(f, envCanada()) }
func FuzzReadNASAPower(f *testing.F)   { fuzzFormat(f, nasaPower()) }
func FuzzReadOpenMeteo(f *testing.F)   { fuzzFormat(f, openMeteo()) }
func FuzzReadGSOD(f *testing.F)        { fuzzFormat(f, gsod()) }

func FuzzPlain(f *testing.F) {
	fuzzText(f, Options{}, samplePlain,
		"rain (mm);date\n1.3;20010127\nNA;20010128\n25.4;20010130\n",
		"Date\tprecip [in]\tsite\n27/01/2001\t1.3\tA\n28/01/2001\ttrace\tA\n",
		"Day,Month,Year,RainMM\n27,1,2001,1.3\n29,Feb,2001,T\n",
		"# unit: 0.1 mm\n2001-01-27T09:00,1\n\n27-Jan-2001,-99.9\n1.2.2001,3\n")
}
