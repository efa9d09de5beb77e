package rainfall

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Days are those of package time, before its epoch and before year 0 too.
func TestYMD(t *testing.T) {
	for d := Day(-401, 2, 27); d < Day(2801, 3, 2); d++ {
		y, m, day := d.YMD()
		wantY, wantM, wantD := time.Unix(int64(d)*86400, 0).UTC().Date()
		back, ok := MakeDate(y, m, day)
		if y != wantY || m != wantM || day != wantD || back != d || !ok {
			require.Failf(t, "another day", "day %d is %d-%d-%d, not %d-%d-%d", d, y, m, day, wantY, wantM, wantD)
		}
	}
	assert.Equal(t, "1970-01-01", Date(0).String())
	_, ok := MakeDate(2001, 2, 29)
	assert.False(t, ok)
}

func TestDateText(t *testing.T) {
	var d Date
	text, err := Day(2024, 2, 29).MarshalText()
	require.NoError(t, err)
	require.NoError(t, d.UnmarshalText(text))
	assert.Equal(t, Day(2024, 2, 29), d)
	require.NoError(t, d.UnmarshalText(nil))
	assert.Equal(t, NoDate, d)
	_, err = d.MarshalText()
	assert.Error(t, err)
	assert.Error(t, d.UnmarshalText([]byte("2023-02-29")))
}
