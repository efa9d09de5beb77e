// Command bench measures tankodds against what a practitioner would write
// instead, and how its time and memory grow, in one run on one machine, and
// prints what it found as the tables that DEVELOPERS.md shows:
//
//	go run ./scripts/bench -record FILE -peers DIR
//
// FILE is a GHCN-Daily station file. DIR holds events.c, the daily balance of
// many tanks and of all sizes in C, and grid.py, a resampled grid in Python; a C compiler and
// Debian's python3-numpy and python3-numba are needed for them, and what does
// not run here is named and left out. Whatever is compared runs in turn,
// several times, so that a machine whose speed drifts does not favour one of
// them. -figure writes the growth as SVG; -readme writes the tables into a
// file, between the two comments that it holds for them.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

// options are the flags.
type options struct {
	record, peers, figure, readme, plain string
	runs, years, slow                    int
}

// bench is one run of the command.
type bench struct {
	options
	dir     string // for what is built and written, removed at the end
	machine string
	found   results
}

func main() {
	var o options
	flag.StringVar(&o.record, "record", "", "a GHCN-Daily station `file`")
	flag.StringVar(&o.peers, "peers", "", "`folder` with events.c and grid.py")
	flag.StringVar(&o.figure, "figure", "", "SVG `file` to draw the growth in")
	flag.StringVar(&o.readme, "readme", "", "`file` whose tables are written anew")
	flag.IntVar(&o.runs, "n", 5, "runs of each; the median counts")
	flag.IntVar(&o.years, "years", 10000, "synthetic years of the whole run")
	flag.IntVar(&o.slow, "slow-years", 200, "synthetic years of the peers in Python, scaled up")
	flag.StringVar(&o.plain, "plain", "", "read the record, once, write it to `file` as date,mm and print the seconds of the reading; used by bench itself")
	flag.Parse()
	do := run
	if o.plain != "" {
		do = readOnce
	}
	if err := do(o); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func run(o options) (err error) {
	if o.record == "" {
		return errors.New("give a station file with -record")
	}
	if o.runs < 1 || o.years < 100 || o.slow < 1 {
		return errors.New("-n and -slow-years are at least 1, -years at least 100")
	}
	b := &bench{options: o, found: results{}}
	b.machine = fmt.Sprintf("%s/%s, %s, %s", runtime.GOOS, runtime.GOARCH, processor(), runtime.Version())
	if b.record, err = filepath.Abs(o.record); err != nil {
		return err
	}
	if b.dir, err = os.MkdirTemp("", "bench-"); err != nil {
		return err
	}
	defer os.RemoveAll(b.dir)
	if err := b.build(); err != nil {
		return err
	}
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		fmt.Print(busy(string(load), runtime.NumCPU()))
	}
	self, err := os.Executable()
	if err != nil {
		return err
	}
	for _, trials := range [][]trial{b.opening(self), b.stores(), b.whole()} {
		if err := b.inTurn(o.runs, trials); err != nil {
			return err
		}
	}
	fmt.Print(b.markdown())
	grown, err := b.growth()
	if err != nil {
		return err
	}
	fmt.Print(grown.text())
	// The drawing comes last: see once.
	if o.figure != "" {
		svg, err := grown.draw(b.growthNote())
		if err != nil {
			return err
		}
		if err := os.WriteFile(o.figure, svg, 0o666); err != nil {
			return err
		}
	}
	if o.readme == "" {
		return nil
	}
	return b.writeReadme()
}

// built is the path of something built.
func (b *bench) built(name string) string { return filepath.Join(b.dir, name) }

// build makes the programs that are measured. A peer that cannot be built is
// named here, and left out later because it is not there.
func (b *bench) build() error {
	for _, args := range [][]string{
		{"go", "build", "-o", b.built("tankodds"), "./cmd/tankodds"},
		{"go", "test", "-c", "-o", b.built("Sweep.test"), "./sim/internal/store"},
		{"go", "test", "-c", "-o", b.built("Lanes.test"), "./sim/internal/lanes"},
	} {
		if text, err := exec.Command(args[0], args[1:]...).CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w: %s", strings.Join(args, " "), err, text)
		}
	}
	for _, p := range peersInC {
		cc := exec.Command("cc", "-O3", p.march, "-o", b.built(p.name), filepath.Join(b.peers, "events.c"), "-lm")
		if text, err := cc.CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "%s is not built: %v: %s\n", p.name, err, text)
		}
	}
	return nil
}

// medians words how many runs stand behind a number.
func (b *bench) medians() string {
	if b.runs == 1 {
		return "one run of each"
	}
	return fmt.Sprintf("medians of %d runs", b.runs)
}

// busy warns, from what /proc/loadavg says, of a machine with other work.
func busy(loadavg string, cores int) string {
	var load float64
	if _, err := fmt.Sscan(loadavg, &load); err != nil || load < 0.3*float64(cores) {
		return ""
	}
	return fmt.Sprintf("the machine is busy (load %.2f on %d cores): times will be too long\n", load, cores)
}

// processor names the processor and how much of it there is.
func processor() string {
	cores := fmt.Sprintf("%d cores", runtime.NumCPU())
	if runtime.NumCPU() == 1 {
		cores = "1 core"
	}
	info, err := os.ReadFile("/proc/cpuinfo")
	if err != nil {
		return cores
	}
	return cores + modelName(string(info))
}

// modelName returns " of an …" from what /proc/cpuinfo says.
func modelName(info string) string {
	for line := range strings.Lines(info) {
		name, value, _ := strings.Cut(line, ":")
		if strings.TrimSpace(name) == "model name" && strings.TrimSpace(value) != "" {
			return " of an " + strings.TrimSpace(value)
		}
	}
	return ""
}

// readOnce reads the record, prints the seconds that took, and writes the
// record for the peers. It is a process of its own each time, so that the
// reader finds no memory laid out for it.
func readOnce(o options) error {
	start := time.Now()
	r, err := read.File(o.record, read.Options{})
	if err != nil {
		return err
	}
	fmt.Printf("reading %g s\n", time.Since(start).Seconds())
	var b bytes.Buffer
	b.WriteString("date,mm\n")
	for i, x := range r.Depth {
		depth := ""
		if !math.IsNaN(x) {
			depth = fmt.Sprint(x)
		}
		fmt.Fprintf(&b, "%v,%s\n", r.First+rainfall.Date(i), depth)
	}
	return os.WriteFile(o.plain, b.Bytes(), 0o666)
}
