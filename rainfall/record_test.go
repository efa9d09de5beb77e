package rainfall

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A day counts that carries all of the marks asked for, whatever it carries besides.
func TestCountOfMarks(t *testing.T) {
	r := Record{Mark: []Mark{0, Trace, Doubtful, Trace | Doubtful, Trace | Doubtful | Failed, Failed}}
	assert.Equal(t, []int{3, 3, 2, 2, 1, 6},
		[]int{r.Count(Trace), r.Count(Doubtful), r.Count(Failed), r.Count(Trace | Doubtful), r.Count(Doubtful | Failed), r.Count(0)})
}
