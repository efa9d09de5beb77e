// Command bench measures tankodds against what a practitioner would write
// instead and against what was promised of it, in one run on one machine, and
// prints medians, ratios and a table of what is met:
//
//	go run ./scripts/bench -record FILE -peers DIR
//
// FILE is a GHCN-Daily station file. DIR holds store.c, the daily balance over
// 64 tanks in C, and grid.py, a resampled grid in Python; a C compiler and
// Debian's python3-numpy and python3-numba are needed for them, and what is
// absent is named and left out. Whatever is compared runs in turn, several
// times, so that a machine whose speed drifts does not favour one of them.
// -figure writes the growth as SVG; -readme writes the tables into a README,
// between the two comments that it holds for them.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// options are the flags.
type options struct {
	peers, record, figure, readme string
	runs, years, slow             int
	plain                         string
}

// bench is one run of the command.
type bench struct {
	options
	dir     string // for what is built and written, removed at the end
	program string // the built tankodds
	machine string
	found   results
}

func main() {
	var o options
	flag.StringVar(&o.record, "record", "", "a GHCN-Daily station `file`")
	flag.StringVar(&o.peers, "peers", "", "`folder` with store.c and grid.py")
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
	if b.record, err = filepath.Abs(o.record); err != nil {
		return err
	}
	if b.dir, err = os.MkdirTemp("", "bench-"); err != nil {
		return err
	}
	defer os.RemoveAll(b.dir)
	b.program = filepath.Join(b.dir, "tankodds")
	if _, err := output("go", "build", "-o", b.program, "./cmd/tankodds"); err != nil {
		return err
	}
	b.machine = fmt.Sprintf("%s/%s, %s, %s", runtime.GOOS, runtime.GOARCH, processor(), runtime.Version())
	fmt.Printf("%s; %s\n", b.machine, b.medians())
	if load, err := os.ReadFile("/proc/loadavg"); err == nil {
		fmt.Print(busy(string(load), runtime.NumCPU()))
	}
	fmt.Println()
	var grown growth
	for _, step := range []func() error{b.kernels, b.reading, b.firstOutput, b.whole, b.profiles,
		func() (err error) { grown, err = b.growth(); return err }} {
		if err := step(); err != nil {
			return err
		}
	}
	fmt.Print(verdictTable(b.found.verdicts()))
	// The drawing comes last: see timed.
	if o.figure != "" {
		if err := grown.write(o.figure, o.years); err != nil {
			return err
		}
	}
	if o.readme != "" {
		return b.writeReadme()
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
