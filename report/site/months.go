package site

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// parseMonth reads "oct", "October" or "10".
func parseMonth(s string) (time.Month, error) {
	w := strings.ToLower(strings.TrimSpace(s))
	if n, err := strconv.Atoi(w); err == nil && n >= 1 && n <= 12 {
		return time.Month(n), nil
	}
	if m, ok := begins(w, 12, func(i int) string { return time.Month(i + 1).String() }); ok {
		return time.Month(m + 1), nil
	}
	return 0, fmt.Errorf("%q is no month; write a name such as oct or a number from 1 to 12", s)
}

// begins finds the name that w is or, with three letters or more, begins.
func begins(w string, n int, name func(int) string) (int, bool) {
	for i := range n {
		if len(w) >= 3 && strings.HasPrefix(strings.ToLower(name(i)), w) {
			return i, true
		}
	}
	return 0, false
}
