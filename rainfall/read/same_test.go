package read

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// drawnRain is a record drawn at random: whole tenths of a millimetre, −1 where a day
// is missing; the first and the last day are not.
func drawnRain(rng *rand.Rand) (first rainfall.Date, tenths []int) {
	first = rainfall.Day(1950+rng.IntN(60), 1, 1) + rainfall.Date(rng.IntN(365))
	tenths = make([]int, 700+rng.IntN(900))
	wet, deep := 0.1+0.5*rng.Float64(), 20+100*rng.Float64()
	for i := range tenths {
		switch {
		case rng.Float64() < wet:
			tenths[i] = 1 + int(deep*rng.ExpFloat64())
		case i > 0 && i < len(tenths)-1 && rng.IntN(40) == 0:
			tenths[i] = -1
		}
	}
	tenths[0], tenths[len(tenths)-1] = 3, 4
	return first, tenths
}

// One record, in every form that the formats allow, is one record.
func TestOneRecordInManyForms(t *testing.T) {
	t.Parallel()
	many := 12
	if testing.Short() {
		many = 4
	}
	for n := range many {
		rng := rand.New(rand.NewPCG(11, uint64(n)))
		first, tenths := drawnRain(rng)
		days := make([]rainfall.Date, len(tenths))
		want := make([]float64, len(tenths))
		for i, x := range tenths {
			days[i], want[i] = first+rainfall.Date(i), float64(x)/10
			if x < 0 {
				want[i] = math.NaN()
			}
		}
		mm := func(x int) string {
			if x < 0 {
				return ""
			}
			return fmt.Sprintf("%d.%d", x/10, x%10)
		}
		table := func(head, form string, cell func(i int) string, order []int) string {
			var b strings.Builder
			b.WriteString(head + "\n")
			for _, i := range order {
				y, m, d := days[i].YMD()
				line := strings.NewReplacer("YYYY", fmt.Sprint(y), "MM", fmt.Sprintf("%02d", m), "DD", fmt.Sprintf("%02d", d), "V", cell(i)).Replace(form)
				b.WriteString(line + "\n")
			}
			return b.String()
		}
		in := make([]int, len(tenths))
		for i := range in {
			in[i] = i
		}
		mixed := slices.Clone(in)
		rng.Shuffle(len(mixed), func(a, b int) { mixed[a], mixed[b] = mixed[b], mixed[a] })
		plain := table("date,rain_mm", "YYYY-MM-DD,V", func(i int) string { return mm(tenths[i]) }, in)
		var packed bytes.Buffer
		z := gzip.NewWriter(&packed)
		z.Write([]byte(plain))
		require.NoError(t, z.Close())
		tenth := func(i int) string {
			if tenths[i] < 0 {
				return "-9999"
			}
			return fmt.Sprint(tenths[i])
		}
		var dly, byYear, access strings.Builder
		access.WriteString(`"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES"` + "\n")
		for i := 0; i < len(tenths); {
			y, m, _ := days[i].YMD()
			var month []string
			for d := 1; d <= rainfall.DaysIn(y, m); d++ {
				if at := int(rainfall.Day(y, m, d) - first); at >= 0 && at < len(tenths) {
					month = append(month, tenth(at))
					i = at + 1
				} else {
					month = append(month, "-9999")
				}
			}
			dly.WriteString(dlyLine("XX000000001", y, int(m), "PRCP", month...))
		}
		for i, x := range tenths {
			if x < 0 {
				continue
			}
			y, m, d := days[i].YMD()
			fmt.Fprintf(&byYear, "XX000000001,%d%02d%02d,PRCP,%d,,,7,0700\n", y, m, d, x)
			fmt.Fprintf(&access, "\"XX000000001\",\"%d-%02d-%02d\",\"1.5\",\"2.5\",\"3.0\",\"NOWHERE, XX\",\"%5d\",\",,7\"\n", y, m, d, x)
		}
		for name, c := range map[string]struct {
			text string
			opt  Options
		}{
			"plain":                           {plain, Options{}},
			"permuted rows":                   {table("date,rain_mm", "YYYY-MM-DD,V", func(i int) string { return mm(tenths[i]) }, mixed), Options{}},
			"CRLF":                            {strings.ReplaceAll(plain, "\n", "\r\n"), Options{}},
			"a byte-order mark":               {"\ufeff" + plain, Options{}},
			"gzip":                            {packed.String(), Options{}},
			"tabs":                            {strings.ReplaceAll(plain, ",", "\t"), Options{}},
			"semicolons and decimal commas":   {strings.ReplaceAll(strings.ReplaceAll(plain, ",", ";"), ".", ","), Options{}},
			"three columns of a date":         {table("year,month,day,rain_mm", "YYYY,MM,DD,V", func(i int) string { return mm(tenths[i]) }, in), Options{}},
			"day before month":                {table("date,rain_mm", "DD.MM.YYYY,V", func(i int) string { return mm(tenths[i]) }, in), Options{}},
			"month before day":                {table("date,rain_mm", "MM/DD/YYYY,V", func(i int) string { return mm(tenths[i]) }, in), Options{}},
			"whole tenths":                    {table("date,rain", "YYYY-MM-DD,V", func(i int) string { return strings.Replace(tenth(i), "-9999", "", 1) }, in), Options{Unit: "0.1mm"}},
			"a code for missing":              {table("date,rain_mm", "YYYY-MM-DD,V", func(i int) string { return map[bool]string{true: "-99.9", false: mm(tenths[i])}[tenths[i] < 0] }, in), Options{}},
			"other columns beside":            {table("id,tmax,date,rain_mm,remark", "7,21.5,YYYY-MM-DD,V,ok", func(i int) string { return mm(tenths[i]) }, in), Options{}},
			"no header":                       {table("", "YYYY-MM-DD,V", func(i int) string { return mm(tenths[i]) }, in)[1:], Options{Columns: "date,rain_mm"}},
			"GHCN-Daily, fixed width":         {dly.String(), Options{}},
			"GHCN-Daily, a line a value":      {byYear.String(), Options{}},
			"the archive's own delimited one": {access.String(), Options{}},
		} {
			r, err := Bytes("f", []byte(c.text), c.opt)
			require.NoError(t, err, "%s, %d", name, n)
			require.Equal(t, first, r.First, name)
			sameDepths(t, fmt.Sprintf("%s, %d", name, n), want, r.Depth)
		}
	}
}

// Inches of a hundredth are the same rain as the millimetres that they make.
func TestInchesAreMillimetres(t *testing.T) {
	t.Parallel()
	for n := range 6 {
		first, hundredths := drawnRain(rand.New(rand.NewPCG(12, uint64(n))))
		var inch, mm strings.Builder
		inch.WriteString("date,rain_in\n")
		mm.WriteString("date,rain_mm\n")
		want := make([]float64, len(hundredths))
		for i, x := range hundredths {
			day := (first + rainfall.Date(i)).String()
			if want[i] = float64(x) * 0.254; x < 0 {
				want[i] = math.NaN()
				fmt.Fprintf(&inch, "%s,\n", day)
				fmt.Fprintf(&mm, "%s,\n", day)
				continue
			}
			fmt.Fprintf(&inch, "%s,%d.%02d\n", day, x/100, x%100)
			fmt.Fprintf(&mm, "%s,%.3f\n", day, float64(x)*0.254)
		}
		for name, text := range map[string]string{"inches": inch.String(), "millimetres": mm.String()} {
			r, err := Bytes("f", []byte(text), Options{})
			require.NoError(t, err)
			sameDepths(t, fmt.Sprintf("%s, %d", name, n), want, r.Depth)
		}
	}
}

// Three decimals in every value are decimals where no value could be thousands
// without a sign; a 0 is not one.
func TestThreeDecimalsEverywhere(t *testing.T) {
	text := "date,rain_mm\n2001-01-01,0\n2001-01-02,1.016\n2001-01-03,0\n2001-01-04,12.700\n2001-01-05,2.540\n"
	r, err := Bytes("f", []byte(text), Options{})
	require.NoError(t, err)
	sameDepths(t, "three decimals", []float64{0, 1.016, 0, 12.7, 2.54}, r.Depth)
	_, err = Bytes("f", []byte(strings.Replace(text, "12.700", "12", 1)), Options{})
	assert.ErrorContains(t, err, "may be a number with decimals or one in thousands")
}

func sameDepths(t *testing.T, what string, want, got []float64) {
	t.Helper()
	require.Len(t, got, len(want), what)
	for i := range want {
		if math.IsNaN(want[i]) != math.IsNaN(got[i]) || !math.IsNaN(want[i]) && math.Abs(want[i]-got[i]) > 1e-9 {
			assert.Failf(t, "another depth", "%s: day %d is %v, not %v", what, i, got[i], want[i])
			return
		}
	}
}
