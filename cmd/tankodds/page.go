package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"time"

	"tankodds/report/page"
	"tankodds/report/site"
	"tankodds/report/units"
)

var pageCommand = command{
	name:  "page",
	args:  "[SITE.yaml]",
	short: "the same on a page in your browser, without typing commands",
	long: `
Opens a web page of this program in your browser: drop a rain record in, type
roofs and uses, move two handles, and curve, answer and sheet follow. Beside
everything stands the command that does the same. With a site file the page
begins with that and the records it names; without one, with the invented
example. Ctrl-C stops it.

The page is served to this machine alone (127.0.0.1), on a free port unless
one is asked for. It needs no network and no account, and sends nothing
anywhere. What is typed and dropped stays in the browser's storage until it is
cleared there.`,
	example: "tankodds page --no-browser",
	maxArgs: 1,
	takes:   site.Page,
	run:     runPage,
}

// How long the server waits for what is slow.
const (
	headerTime = 5 * time.Second
	bodyTime   = 2 * time.Minute
	idleTime   = 2 * time.Minute
	mostHeader = 32 << 10
)

func runPage(ctx context.Context, c *call) error {
	start, err := c.pageStart()
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(c.plan.Port)))
	if err != nil {
		return cannot("choose another with --port, or leave it out for a free one", "port %d cannot be used: %v", c.plan.Port, cause(err))
	}
	handler, err := page.New(*start)
	if err != nil {
		listener.Close()
		return err
	}
	port := strconv.Itoa(listener.Addr().(*net.TCPAddr).Port)
	address := "http://127.0.0.1:" + port + "/"
	server := &http.Server{
		Handler:           handler.Handler("127.0.0.1:"+port, "localhost:"+port),
		ReadHeaderTimeout: headerTime, ReadTimeout: bodyTime, IdleTimeout: idleTime, MaxHeaderBytes: mostHeader,
		ErrorLog: nil, BaseContext: func(net.Listener) context.Context { return ctx },
	}
	done := make(chan error, 1)
	go func() { done <- server.Serve(listener) }()
	fmt.Fprintf(c.stdout, "the page is at %s\nCtrl-C stops it\n", address)
	if !c.plan.NoBrowser {
		if err := openBrowser(address); err != nil {
			fmt.Fprintf(c.stderr, "tankodds: no browser could be opened; open the address above\n")
		}
	}
	select {
	case err := <-done:
		if !errors.Is(err, http.ErrServerClosed) {
			return cannot("", "the page cannot be served: %v", err)
		}
	case <-ctx.Done():
		server.Close()
		c.out.close()
	}
	return nil
}

// pageStart is what the page begins with: a site file and the records that it
// names, or the example.
func (c *call) pageStart() (*page.Start, error) {
	out := &page.Start{
		Version: version, Units: c.plan.Units, Workers: c.plan.Study.Workers, Files: map[string][]byte{},
		Log: func(text string) { fmt.Fprintln(c.stderr, "tankodds: "+text) },
	}
	if c.site() == "" {
		u := c.plan.Units
		if u == units.Unstated {
			u = units.SI
		}
		out.Site, out.Files[demoRainName], out.Invented = site.File(u), demoCSV, true
		return out, nil
	}
	text, p, err := site.ReadFile(c.site())
	if err != nil {
		return nil, err
	}
	out.Site = string(text)
	named := []string{p.Record.File, p.Record.Second}
	for _, n := range p.Record.Near {
		named = append(named, n.File)
	}
	for _, path := range named {
		if path == "" || path == "-" {
			continue
		}
		data, err := site.ReadPlain(path, page.MostFile)
		if err != nil {
			return nil, cannot("name a record that can be read in rain: file:", "%s: %s cannot be read: %v", c.site(), path, err)
		}
		name := filepath.Base(path) // the page's files have no folders
		if other, ok := out.Files[name]; ok && !bytes.Equal(other, data) {
			return nil, cannot("give one of them another name", "%s: two records are called %s", c.site(), name)
		}
		out.Files[name] = data
	}
	return out, nil
}

// openBrowser opens an address in the browser of whoever sits at the machine.
func openBrowser(address string) error {
	var cmd *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		cmd = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		cmd = exec.Command("open", address)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return errors.New("no screen")
		}
		cmd = exec.Command("xdg-open", address)
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait()
	return nil
}
