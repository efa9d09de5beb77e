package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"
)

// results holds medians by name; what was not measured is absent.
type results map[string]float64

// trial is a program that is run several times.
type trial struct {
	name string
	args []string
	// says finds a name, a number and perhaps more of the name in what the
	// program prints, where it measures itself; nil where its time counts.
	says *regexp.Regexp
	// optional trials may fail: what they need is not on every machine.
	optional bool
}

// spent is what one run of a program took.
type spent struct {
	wall  float64 // s
	first float64 // until it printed something, s; NaN where it never did
	peak  float64 // most memory held, MB of 10⁶ bytes; NaN where unknown
	text  string  // the beginning of what it printed
}

// listener keeps the beginning of what a program prints, and when it began.
type listener struct {
	start, first time.Time
	text         bytes.Buffer
}

// mostText is more than any program here prints of numbers.
const mostText = 64 << 10

func (l *listener) Write(b []byte) (int, error) {
	if l.first.IsZero() {
		l.first = time.Now()
	}
	l.text.Write(b[:min(len(b), mostText-l.text.Len())])
	return len(b), nil
}

// once runs a program. A child's peak memory begins with that of the process
// it was forked from, so this one must stay small: it reads no record, keeps
// no long output, and draws nothing before the last measurement.
func once(name string, args ...string) (spent, error) {
	var stderr bytes.Buffer
	out := &listener{start: time.Now()}
	c := exec.Command(name, args...)
	c.Stdout, c.Stderr = out, &stderr
	if err := c.Run(); err != nil {
		return spent{}, fmt.Errorf("%s: %w: %s", filepath.Base(name), err, strings.TrimSpace(stderr.String()))
	}
	s := spent{time.Since(out.start).Seconds(), math.NaN(), peak(c.ProcessState), out.text.String()}
	if !out.first.IsZero() {
		s.first = out.first.Sub(out.start).Seconds()
	}
	return s, nil
}

// inTurn runs all trials so many times, one after the other, and notes the
// medians.
func (b *bench) inTurn(times int, trials []trial) error {
	seen := map[string][]float64{}
	for range times {
		for _, t := range trials {
			s, err := once(t.args[0], t.args[1:]...)
			switch {
			case err != nil && t.optional:
				fmt.Fprintf(os.Stderr, "%s is left out: %v\n", strings.TrimSpace(t.name), err)
				continue
			case err != nil:
				return err
			}
			for name, x := range t.values(s) {
				seen[name] = append(seen[name], x)
			}
		}
	}
	for name, xs := range seen {
		b.found[name] = median(xs)
	}
	return nil
}

// values names what one run gave. Of several passes that a program reports
// the best counts.
func (t trial) values(s spent) results {
	if t.says == nil {
		return results{t.name: s.wall, "first, " + t.name: s.first, "peak, " + t.name: s.peak}
	}
	out := results{}
	for _, m := range t.says.FindAllStringSubmatch(s.text, -1) {
		name := t.name + strings.Join(slices.Delete(slices.Clone(m[1:]), 1, 2), " ")
		x, err := strconv.ParseFloat(m[2], 64)
		if was, ok := out[name]; err == nil && (!ok || x < was) {
			out[name] = x
		}
	}
	return out
}

// median returns the middle of x; NaN of nothing.
func median(x []float64) float64 {
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	n := len(s)
	switch {
	case n == 0:
		return math.NaN()
	case n%2 == 1:
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}
