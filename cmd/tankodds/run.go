package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"tankodds/report/codec"
	"tankodds/report/site"
)

// command is one thing that the tool does.
type command struct {
	name    string
	args    string        // what follows the name, as in "[SITE.yaml]"
	short   string        // one line for the list
	long    string        // what help says, wrapped at 80 columns
	example string        // a command that runs as it stands, without leading "$ "
	maxArgs int           // most arguments taken; −1 for any number
	takes   site.Commands // whose parameters are its flags
	run     func(context.Context, *call) error
}

// call is one run of a command.
type call struct {
	stdin          io.Reader
	stdout, stderr io.Writer // text, see output; writes to stdout need no check: run sees the first error
	terminal       io.Writer // stderr as it is, for the progress line
	args           []string
	typed          []string    // all that follows the command's name
	asked          *site.Asked // the flags
	plan           *site.Plan  // what they ask for by themselves
	out            *output     // stdout

	mu   sync.Mutex
	fill *folder   // of --out
	line *progress // shown last
}

// run is the whole tool: it does what args say and returns the exit code.
//
// The command works beside this goroutine, so that nothing it is busy with,
// be it a read that waits for bytes or a long sum, keeps an interrupt waiting:
// it is given a moment to stop by itself and then left behind.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	out := &output{w: codec.Visible(stdout), failed: func() { cancel(errNoReader) }}
	errs := &output{w: codec.Visible(stderr), failed: func() {}}
	c := &call{stdin: stdin, stdout: out, stderr: errs, terminal: stderr, out: out}
	done := make(chan error, 1)
	go func() {
		defer func() {
			if fault := recover(); fault != nil {
				done <- fmt.Errorf("internal fault: %v; please report it with the command you typed", fault)
			}
		}()
		done <- dispatch(ctx, args, c)
	}()
	var err error
	select {
	case err = <-done:
	case <-ctx.Done():
		select {
		case err = <-done:
		case <-time.After(grace):
			err = c.abandon()
		}
	}
	out.close()
	failed := out.failure()
	if failed != nil && (errors.Is(err, failed) || context.Cause(ctx) == errNoReader && isInterrupt(err)) {
		err = nil // it is the same failure, told by the work
	}
	if failed != nil && err == nil && !brokenPipe(failed) { // who reads no more has seen enough
		err = cannot("", "standard output cannot be written: %s", cause(failed))
	}
	if err != nil {
		return sayError(errs, err)
	}
	return exitDone
}

// grace is how long a command that is interrupted may take to stop by itself.
const grace = 300 * time.Millisecond

// errNoReader is why the work ends where nobody reads what it prints.
var errNoReader = fmt.Errorf("standard output is closed: %w", context.Canceled)

func isInterrupt(err error) bool { return errors.Is(err, context.Canceled) }

// abandon leaves the work behind as it is: it prints and writes nothing more.
func (c *call) abandon() error {
	c.out.close()
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.line != nil {
		c.line.clear()
		c.line.end()
	}
	if c.fill.discard() {
		return &problem{code: exitInterrupted, text: "interrupted; the files were written"}
	}
	return context.Canceled
}

// filling says that the answer is wanted in files: they are written even if
// nobody reads what is printed.
func (c *call) filling(f *folder) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.fill = f
	if c.out != nil {
		c.out.goOn()
	}
}

// output is one of the two streams of a run. All that is printed passes here,
// so that no name from a file can give a terminal orders. It remembers the
// first error and ends the work then, unless that is to go on.
type output struct {
	mu     sync.Mutex
	w      io.WriteCloser
	err    error
	failed func()
	closed bool
}

func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	switch {
	case o.err != nil:
		return 0, o.err
	case o.closed:
		return 0, context.Canceled
	}
	n, err := o.w.Write(p)
	if err != nil {
		o.err = err
		o.failed()
	}
	return n, err
}

// goOn lets the work go on whatever becomes of the stream.
func (o *output) goOn() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.failed = func() {}
}

// close ends the stream: what comes later is not printed.
func (o *output) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if err := o.w.Close(); err != nil && o.err == nil {
		o.err = err
	}
	o.closed = true
}

func (o *output) failure() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.err
}

func brokenPipe(err error) bool {
	return pipeGone(err) || errors.Is(err, io.ErrClosedPipe)
}

func dispatch(ctx context.Context, args []string, c *call) error {
	if len(args) == 0 {
		sayOverview(c.stdout)
		return nil
	}
	switch name := args[0]; name {
	case "--version":
		sayVersion(c.stdout)
		return nil
	case "help", "--help", "-h":
		if len(args) == 1 {
			sayOverview(c.stdout)
			return nil
		}
		return sayHelpOn(c.stdout, args[1])
	default:
		cmd, err := findCommand(name)
		if err != nil {
			return err
		}
		return cmd.do(ctx, args[1:], c)
	}
}

func findCommand(name string) (*command, error) {
	var names []string
	for _, c := range commands {
		if c.name == name {
			return c, nil
		}
		names = append(names, c.name)
	}
	if _, ok := findTopic(name); ok {
		return nil, misuse("tankodds help "+name+" tells of it", "%s is no command but a topic of help", name)
	}
	if strings.HasPrefix(name, "-") {
		return nil, misuse("flags follow a command, as in tankodds size --target 0.9", "%s stands where a command is expected", name)
	}
	hint := "tankodds help lists the commands"
	if n := site.Nearest(name, names); n != "" {
		hint = "did you mean tankodds " + n
	}
	return nil, misuse(hint, "no command is called %q", name)
}

// do reads the command's flags and runs it.
func (cmd *command) do(ctx context.Context, args []string, c *call) error {
	fs, asked := cmd.flagSet()
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, pflag.ErrHelp) {
			sayHelp(c.stdout, cmd)
			return nil
		}
		return flagError(cmd, fs, err)
	}
	if name := asked.Empty(); name != "" {
		return misuse(fmt.Sprintf("tankodds help %s lists its flags", cmd.name), "--%s needs a value", name)
	}
	c.asked, c.args, c.typed = asked, fs.Args(), args
	if slices.Contains(c.args, "") {
		return misuse(fmt.Sprintf("usage: tankodds %s %s", cmd.name, cmd.args), "an argument is empty")
	}
	if cmd.maxArgs >= 0 && len(c.args) > cmd.maxArgs {
		return misuse(fmt.Sprintf("usage: tankodds %s %s", cmd.name, cmd.args), "%s takes %s, not %d", cmd.name, arguments(cmd.maxArgs), len(c.args))
	}
	var err error
	if c.plan, err = asked.Options(); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return cmd.run(ctx, c)
}

// site is the site file named, "" for none.
func (c *call) site() string {
	if len(c.args) == 0 {
		return ""
	}
	return c.args[0]
}

func arguments(n int) string {
	switch n {
	case 0:
		return "no argument"
	case 1:
		return "one argument"
	}
	return fmt.Sprintf("at most %d arguments", n)
}

func (cmd *command) flagSet() (*pflag.FlagSet, *site.Asked) {
	fs := pflag.NewFlagSet(cmd.name, pflag.ContinueOnError)
	fs.SortFlags = false
	fs.Usage = func() {}
	fs.SetOutput(io.Discard)
	return fs, site.Flags(fs, cmd.takes)
}

// flagError words what the flag library found wrong.
func flagError(cmd *command, fs *pflag.FlagSet, err error) error {
	hint := fmt.Sprintf("tankodds help %s lists its flags", cmd.name)
	var unknown *pflag.NotExistError
	var missing *pflag.ValueRequiredError
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			return misuse(hint, "%s has no flag -%s", cmd.name, name)
		}
		var names []string
		fs.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if n := site.Nearest(name, names); n != "" {
			hint = "did you mean --" + n
		}
		return misuse(hint, "%s has no flag --%s", cmd.name, name)
	case errors.As(err, &missing):
		return misuse(hint, "--%s needs a value", missing.GetFlag().Name)
	}
	return misuse(hint, "%v", err)
}

func sayOverview(w io.Writer) {
	fmt.Fprint(w, `tankodds sizes a roof-water tank from the daily rain record of a gauge, and
says how sure the size is.

usage: tankodds COMMAND [flags]

commands:
`)
	for _, c := range commands {
		fmt.Fprintf(w, "  %-12s%s\n", c.name, c.short)
	}
	fmt.Fprint(w, `
"tankodds help COMMAND" says more of each. Topics that help also tells of, as
in "tankodds help method":

`)
	for _, t := range topics {
		fmt.Fprintf(w, "  %-12s%s\n", t.name, t.short)
	}
	fmt.Fprint(w, `
"tankodds --version" says which version this is, and of what commit. Exit
codes: 0 done, 1 could not run, 2 wrong usage, 3 recheck disagrees, 130
interrupted.

To see an answer at once, from an invented site with an invented record:

  tankodds size
`)
}

// sayHelpOn prints the help of a command or a topic.
func sayHelpOn(w io.Writer, name string) error {
	if t, ok := findTopic(name); ok {
		text, err := t.text()
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, text)
		return err
	}
	cmd, err := findCommand(name)
	if err != nil {
		var names []string
		for _, t := range topics {
			names = append(names, t.name)
		}
		if near := site.Nearest(name, names); near != "" {
			return misuse("did you mean tankodds help "+near, "no command or topic is called %q", name)
		}
		return err
	}
	sayHelp(w, cmd)
	return nil
}

func sayHelp(w io.Writer, c *command) {
	fs, _ := c.flagSet()
	synopsis := strings.TrimSpace("tankodds " + c.name + " " + c.args)
	if fs.HasFlags() {
		synopsis += " [flags]"
	}
	fmt.Fprintf(w, "usage: %s\n\n%s\n", synopsis, strings.TrimSpace(c.long))
	if fs.HasFlags() {
		fmt.Fprintf(w, "\nflags:\n%s", flagsText(fs))
	}
	fmt.Fprintf(w, "\nexample:\n  %s\n", strings.ReplaceAll(strings.TrimSpace(c.example), "\n", "\n  "))
}
