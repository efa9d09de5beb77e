package read

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// readWorld reads a text that is a file of one of the formats.
func readWorld(t *testing.T, text string) *rainfall.Record {
	t.Helper()
	r, err := Bytes("record.txt", []byte(text), Options{})
	require.NoError(t, err)
	require.Len(t, r.Mark, len(r.Depth))
	return r
}

// failWorld reads a text that is not, and returns the error.
func failWorld(t *testing.T, text string) *Error {
	t.Helper()
	_, err := Bytes("record.txt", []byte(text), Options{})
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "record.txt", e.File)
	return e
}

func assertDepths(t *testing.T, want []float64, r *rainfall.Record) {
	t.Helper()
	require.Len(t, r.Depth, len(want))
	for i, x := range want {
		if math.IsNaN(x) {
			assert.True(t, math.IsNaN(r.Depth[i]), "day %d is %g, not missing", i, r.Depth[i])
		} else {
			assert.InDelta(t, x, r.Depth[i], 1e-12, "day %d", i)
		}
	}
}

// toldOf writes what a finding holds.
func toldOf(f rainfall.Finding) string {
	parts := []string{f.Code}
	for _, v := range f.Values {
		parts = append(parts, fmt.Sprintf("%s=%.4g", v.Name, v.X))
	}
	return strings.Join(append(parts, f.Texts...), " ")
}

// assertTold looks for a finding and what it holds: "name=value … text …".
func assertTold(t *testing.T, r *rainfall.Record, code, want string) {
	t.Helper()
	for _, f := range r.Findings {
		if f.Code == code {
			assert.Equal(t, code+" "+want, toldOf(f))
			return
		}
	}
	assert.Fail(t, "not told", "of %s in %v", code, r.Findings)
}

// worldSamples are files by the format that must take them.
func worldSamples() map[string][]string {
	all := map[string][]string{
		bom().name:        {bomSample},
		ecad().name:       {ecadSample},
		dwd().name:        {dwdSample, dwdClimateSample},
		knmi().name:       {knmiSample, knmiSeveralSample},
		metEireann().name: {metEireannSample, metEireannShortSample},
		envCanada().name:  {envCanadaSample, envCanadaOldSample},
		nasaPower().name:  {nasaSample, nasaDOYSample},
		openMeteo().name:  {openMeteoSample},
		plain().name:      {"date,rain\n2020-01-01,1.0\n", "date,rain\n01-jan-2020,1.0\n", "STATION;DATE;RAIN\n1;2020-01-01;1.0\n", "Year,Month,Day,Rain (mm)\n2020,1,1,1.0\n"},
	}
	for name, text := range samples() {
		all[name] = append(all[name], text)
	}
	return all
}

// Every sample of every format is claimed by that format and no other, save
// the plain one, which is tried last and may take what it likes of the rest.
func TestOneFormatClaims(t *testing.T) {
	all := formats()
	require.Len(t, worldSamples(), len(all), "a format without a sample")
	for name, texts := range worldSamples() {
		for i, text := range texts {
			in, err := newInput("record.txt", strings.NewReader(text), len(text), Options{})
			require.NoError(t, err)
			for _, f := range all {
				if f.name != plain().name || name == f.name {
					assert.Equal(t, f.name == name, f.sniff(in), "%s on sample %d of %s", f.name, i, name)
				}
			}
		}
	}
}

// fuzzFormat feeds a reader with its own samples, mutated. Whatever comes, it
// gives a record that holds together or an error that names the file.
func fuzzFormat(f *testing.F, of format) {
	for _, s := range worldSamples()[of.name] {
		// in two parts, so that the head often stays whole while rows change
		lines := strings.SplitAfter(s, "\n")
		k := max(1, len(lines)-4)
		f.Add([]byte(strings.Join(lines[:k], "")), []byte(strings.Join(lines[k:], "")))
	}
	f.Fuzz(func(t *testing.T, head, rows []byte) {
		b := append(append([]byte(nil), head...), rows...)
		in, err := newInput("record.txt", bytes.NewReader(b), len(b), Options{})
		var r *rainfall.Record
		if err == nil {
			if !of.sniff(in) {
				return
			}
			r, err = of.read(in)
		}
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.File != "record.txt" || strings.Contains(e.Error(), "\n") {
				t.Fatalf("not a read error of one line that names the file: %#v", err)
			}
			return
		}
		if len(r.Depth) == 0 || len(r.Mark) != len(r.Depth) || math.IsNaN(r.Depth[0]) || math.IsNaN(r.Depth[len(r.Depth)-1]) {
			t.Fatalf("%d depths, %d marks", len(r.Depth), len(r.Mark))
		}
		for i, x := range r.Depth {
			if x < 0 || x > MaxDaily {
				t.Fatalf("%g mm on %v", x, r.First+rainfall.Date(i))
			}
		}
	})
}

func FuzzReadBoM(f *testing.F)        { fuzzFormat(f, bom()) }
func FuzzReadECAD(f *testing.F)       { fuzzFormat(f, ecad()) }
func FuzzReadDWD(f *testing.F)        { fuzzFormat(f, dwd()) }
func FuzzReadKNMI(f *testing.F)       { fuzzFormat(f, knmi()) }
func FuzzReadMetEireann(f *testing.F) { fuzzFormat(f, metEireann()) }
func FuzzReadEnvCanada(f *testing.F)  { fuzzFormat(f, envCanada()) }
func FuzzReadNASAPower(f *testing.F)  { fuzzFormat(f, nasaPower()) }
func FuzzReadOpenMeteo(f *testing.F)  { fuzzFormat(f, openMeteo()) }
func FuzzReadGSOD(f *testing.F)       { fuzzFormat(f, gsod()) }
