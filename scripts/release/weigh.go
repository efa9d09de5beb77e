package main

import (
	"cmp"
	"debug/elf"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// weigh prints what each module costs in the program for linux/amd64, by the sizes of
// the symbols that the linker kept, and how long the program takes to begin.
func weigh() error {
	dir, err := os.MkdirTemp("", "weigh-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	parts, err := partsOf("./cmd/tankodds")
	if err != nil {
		return err
	}
	program, bare := filepath.Join(dir, "symbols"), filepath.Join(dir, "tankodds")
	for to, flags := range map[string]string{program: "", bare: "-s -w"} {
		cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", flags, "-o", to, "./cmd/tankodds")
		cmd.Env = append(append(os.Environ(), building...), "GOOS=linux", "GOARCH=amd64")
		if said, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("go build: %w\n%s", err, said)
		}
	}
	f, err := elf.Open(program)
	if err != nil {
		return err
	}
	defer f.Close()
	symbols, err := f.Symbols()
	if err != nil {
		return err
	}
	bytes := map[string]uint64{}
	for _, s := range symbols {
		if int(s.Section) < len(f.Sections) && f.Sections[s.Section].Type != elf.SHT_NOBITS {
			bytes[owner(s.Name, parts)] += s.Size
		}
	}
	tables := f.Section(".gopclntab")
	info, err := os.Stat(bare)
	if err != nil {
		return err
	}
	fmt.Printf("linux/amd64, as released: %.1f MB, of which %.1f MB are Go's tables of functions and lines\n", mb(uint64(info.Size())), mb(tables.Size))
	var names []string
	for n := range bytes {
		names = append(names, n)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Compare(bytes[b], bytes[a]) })
	for _, n := range names {
		fmt.Printf("%-36s %6.2f MB\n", n, mb(bytes[n]))
	}
	for _, args := range [][]string{{"--version"}, {"help"}, {"help", "notice"}} {
		took, err := begins(bare, args)
		if err != nil {
			return err
		}
		fmt.Printf("tankodds %-12s %.1f ms, median of %d\n", strings.Join(args, " "), took.Seconds()*1000, runs)
	}
	return nil
}

func mb(n uint64) float64 { return float64(n) / 1e6 }

// owner is the module that a symbol belongs to, by the path in its name.
func owner(symbol string, parts []*part) string {
	for _, p := range parts[1:] {
		module, _, _ := strings.Cut(p.name, " ")
		at := strings.Index(symbol, module)
		if at >= 0 && !strings.HasSuffix(symbol[:at], "vendor/") {
			return module
		}
	}
	switch {
	case strings.HasPrefix(symbol, "tankodds/"), strings.HasPrefix(symbol, "main."), strings.Contains(symbol, "*tankodds/"), strings.Contains(symbol, ".tankodds/"):
		return "tankodds"
	}
	return "Go"
}

const runs = 41

// begins is the median time of a run, after one that does not count.
func begins(program string, args []string) (time.Duration, error) {
	var took []time.Duration
	for range runs + 1 {
		began := time.Now()
		if err := exec.Command(program, args...).Run(); err != nil {
			return 0, err
		}
		took = append(took, time.Since(began))
	}
	took = took[1:]
	slices.Sort(took)
	return took[runs/2], nil
}
