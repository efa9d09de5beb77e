package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	words := []string{"size", "record", "replay", "compare"}
	assert.Equal(t, "size", Nearest("siez", []string{"siz", "size"}[1:]))
	assert.Equal(t, "record", Nearest("recrod", words))
	assert.Equal(t, "", Nearest("tank", words))
	assert.Equal(t, 3, edits("kitten", "sitting"))
	assert.Equal(t, 4, edits("", "four"))
}
