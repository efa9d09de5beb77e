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
		if y != wantY || m != wantM || day != wantD || Day(y, m, day) != d {
			require.Failf(t, "another day", "day %d is %d-%d-%d, not %d-%d-%d", d, y, m, day, wantY, wantM, wantD)
		}
	}
	assert.Equal(t, "1970-01-01", Date(0).String())
}
