package site

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// shelf holds records by their names.
type shelf map[string]*rainfall.Record

func (s shelf) Record(file string, _ read.Options) (*rainfall.Record, error) {
	if r := s[file]; r != nil {
		out := *r
		return &out, nil
	}
	return nil, errors.New("no such record")
}

func (shelf) Demo(read.Options) (*rainfall.Record, error) { return nil, errors.New("none") }

// years is a record of so many years with rain every third day, more on some days by
// kind.
func years(file string, n, kind int) *rainfall.Record {
	first := rainfall.Day(1990, time.January, 1)
	depth := make([]float64, int(rainfall.Day(1990+n, time.January, 1)-first))
	for i := range depth {
		if i%3 == 0 {
			depth[i] = 4 + float64((i*kind)%11)
		}
	}
	return &rainfall.Record{About: rainfall.About{File: file, SHA256: file}, First: first, Depth: depth, Mark: make([]rainfall.Mark, len(depth))}
}

// Neighbours are read by their names and refused where they are the record, each
// other, or too short; so is a record too short to be laid beside any.
func TestBorrow(t *testing.T) {
	from := shelf{"own": years("own", 12, 1), "few": years("few", 4, 3), "short": years("short", 3, 2), "other": years("other", 14, 5),
		"nine": years("nine", 10, 7), "ten": years("ten", 11, 9)}
	borrow := func(own string, near ...string) error {
		s := Source{File: own}
		for _, n := range near {
			s.Near = append(s.Near, Neighbour{File: n})
		}
		rec, series, err := s.Usable(from, nil)
		require.NoError(t, err)
		return s.Borrow(from, s.Near, rec, series)
	}
	assert.NoError(t, borrow("own"))
	assert.NoError(t, borrow("own", "other"))
	for want, near := range map[string][]string{
		"own: is the record itself":                     {"own"},
		"other: is the same as other":                   {"other", "other"},
		"few: has 3 usable years; a neighbour needs 10": {"other", "few"},
		"no such record":                                {"gone"},
	} {
		assert.ErrorContains(t, borrow("own", near...), want)
	}
	// Ten usable years are enough, of the record and of a neighbour's, and nine are not.
	assert.NoError(t, borrow("ten", "other"))
	assert.NoError(t, borrow("other", "ten"))
	assert.ErrorContains(t, borrow("nine", "other"), "nine: has 9 usable years; 10 are the least")
	assert.ErrorContains(t, borrow("other", "nine"), "nine: has 9 usable years; a neighbour needs 10")
	assert.ErrorContains(t, borrow("short", "other"), "short: has 2 usable years; 10 are the least")
}
