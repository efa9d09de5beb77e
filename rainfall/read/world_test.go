package read

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

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
	assert.Equal(t, plain().name, all[len(all)-1].name)
	for name, texts := range worldSamples() {
		for i, text := range texts {
			in := newInput("record.txt", strings.NewReader(text), len(text), Options{})
			for _, f := range all {
				if f.name != plain().name || name == f.name {
					assert.Equal(t, f.name == name, f.sniff(in), "%s on sample %d of %s", f.name, i, name)
				}
			}
			if r, err := Bytes("f", []byte(text), Options{Unit: "mm"}); err == nil {
				assert.Equal(t, name, r.Format)
			}
		}
	}
}
