package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// results holds what was measured by name; what was not is absent.
type results map[string]float64

// get returns NaN for what was not measured.
func (r results) get(name string) float64 {
	if x, ok := r[name]; ok {
		return x
	}
	return math.NaN()
}

// spent is what one run of a program took.
type spent struct {
	wall float64 // s
	cpu  float64 // processor time of all cores, s
	peak float64 // most memory held, MB of 10⁶ bytes; NaN where unknown
}

// timed runs a program; what it prints goes to stdout, nil to nowhere. A
// child's peak memory begins with that of the process it was forked from, so
// this one must stay small: it reads no record, keeps no long output, and
// draws nothing before the last measurement.
func timed(stdout io.Writer, name string, args ...string) (spent, error) {
	var stderr bytes.Buffer
	c := exec.Command(name, args...)
	c.Stdout, c.Stderr = stdout, &stderr
	start := time.Now()
	if err := c.Run(); err != nil {
		return spent{}, fmt.Errorf("%s: %w: %s", filepath.Base(name), err, strings.TrimSpace(stderr.String()))
	}
	wall, state := time.Since(start), c.ProcessState
	return spent{wall.Seconds(), (state.UserTime() + state.SystemTime()).Seconds(), peak(state)}, nil
}

// output runs a program for what it prints.
func output(name string, args ...string) (string, error) {
	var text bytes.Buffer
	_, err := timed(&text, name, args...)
	return text.String(), err
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

// firstOutput times the demo from the start of the process to the first byte
// on its standard output, a pipe.
func (b *bench) firstOutput() error {
	var took []float64
	for range 3 * b.runs {
		c := exec.Command(b.program, "size")
		pipe, err := c.StdoutPipe()
		if err != nil {
			return err
		}
		start := time.Now()
		if err := c.Start(); err != nil {
			return err
		}
		if _, err := pipe.Read(make([]byte, 1)); err != nil {
			return fmt.Errorf("the demo prints nothing: %w", err)
		}
		took = append(took, time.Since(start).Seconds())
		for {
			if _, err := pipe.Read(make([]byte, 4096)); err != nil {
				break
			}
		}
		if err := c.Wait(); err != nil {
			return err
		}
	}
	b.found["first output"] = median(took)
	fmt.Printf("first output of the demo: %.3f s\n\n", median(took))
	return nil
}

// reading times the reader in a process of its own each time, so that it
// finds no memory laid out for it.
func (b *bench) reading() error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	var took []float64
	for range 3 * b.runs {
		text, err := output(self, "-record", b.record, "-plain", filepath.Join(b.dir, "record.csv"))
		if err != nil {
			return err
		}
		var s float64
		if _, err := fmt.Sscan(text, &s); err != nil {
			return err
		}
		took = append(took, s)
	}
	b.found["reading"] = median(took)
	fmt.Printf("reading %s: %.1f ms\n\n", filepath.Base(b.record), 1000*median(took))
	return nil
}

// readOnce reads the record, prints the seconds that took, and writes the
// record for the peers.
func readOnce(o options) error {
	start := time.Now()
	r, err := read.File(o.record, read.Options{})
	if err != nil {
		return err
	}
	fmt.Println(time.Since(start).Seconds())
	var b bytes.Buffer
	b.WriteString("date,mm\n")
	for i, x := range r.Depth {
		if math.IsNaN(x) {
			fmt.Fprintf(&b, "%v,\n", r.First+rainfall.Date(i))
		} else {
			fmt.Fprintf(&b, "%v,%g\n", r.First+rainfall.Date(i), x)
		}
	}
	return os.WriteFile(o.plain, b.Bytes(), 0o666)
}
