package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
)

// progress is a line on a terminal that says how far a long run is. On
// anything else, or with --quiet, it prints nothing.
type progress struct {
	mu    sync.Mutex
	w     io.Writer // nil where nothing is printed
	what  string
	last  int // per cent shown, −1 before the first
	width int // of the line shown
}

// newProgress makes the line; what is such as "simulating".
func (c *call) newProgress(what string) *progress {
	p := &progress{what: what, last: -1}
	if !c.plan.Quiet && isTerminal(c.terminal) {
		p.w = c.terminal
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.line = p
	return p
}

// isTerminal reports whether w is a character device, as a terminal is.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// show says that done of total is done. It fits sim.Study.Progress.
func (p *progress) show(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.w == nil || total <= 0 {
		return
	}
	percent := 100 * done / total
	if percent == p.last {
		return
	}
	p.last = percent
	line := fmt.Sprintf("%s %d %%", p.what, percent)
	fmt.Fprintf(p.w, "\r%s%s", line, strings.Repeat(" ", max(0, p.width-len(line))))
	p.width = len(line)
}

// clear takes the line away, before anything else is printed.
func (p *progress) clear() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.w != nil && p.width > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.width))
		p.width = 0
	}
}

// end shows nothing more.
func (p *progress) end() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.w = nil
}
