package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"time"

	"tankodds/rainfall/read"
	"tankodds/report/site"
)

// problemOut is what stopped a request, for people.
type problemOut struct {
	Text string   `json:"text"`
	Hint string   `json:"hint,omitempty"`
	File string   `json:"file,omitempty"`
	Line int      `json:"line,omitempty"`
	Path string   `json:"path,omitempty"` // of the field
	Need []string `json:"need,omitempty"` // digests of files to be handed over again
}

// event is a line of an answer that comes in several.
type event struct {
	Done    int             `json:"done,omitempty"` // of All
	All     int             `json:"all,omitempty"`
	Problem *problemOut     `json:"problem,omitempty"`
	Answer  json.RawMessage `json:"answer,omitempty"`
}

// writeTime is how long a browser may take to read a line.
const writeTime = 30 * time.Second

// told sends one line.
func told(w http.ResponseWriter, e event) error {
	line, err := json.Marshal(e)
	if err != nil {
		return err
	}
	c := http.NewResponseController(w)
	c.SetWriteDeadline(time.Now().Add(writeTime))
	if _, err := w.Write(append(line, '\n')); err != nil {
		return err
	}
	return c.Flush()
}

// reply sends one object.
func reply(w http.ResponseWriter, x any) {
	body, err := json.Marshal(x)
	if err != nil {
		panic(err)
	}
	http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeTime))
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Write(body)
}

// refuse ends a request with a problem.
func refuse(w http.ResponseWriter, code int, text, hint string) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(map[string]any{"problem": problemOut{Text: text, Hint: hint}})
}

// needed are files that are no longer held.
type needed struct{ sums []string }

func (n *needed) Error() string { return "the record is to be handed over again" }

// onPage turns remedies that name a command into what does the same on the page.
var onPage = strings.NewReplacer(
	"tankodds new writes a site file to compare with", "“Load the example” has a site file to compare with, at the end of the form",
	"tankodds new writes one to start from", "“Load the example” has one to start from",
	"tankodds new writes a site file to start from", "“Load the example” has one to start from",
	"tankodds record shows what is missing", "“All that is known of this record” shows what is missing",
	"give the path of the rain record; - is standard input", "drop the record onto the page",
)

// problemOf is an error for people, with the code of its reply.
func problemOf(err error) (out problemOut, code int) {
	defer func() { out.Hint = onPage.Replace(out.Hint) }()
	return problemTold(err)
}

func problemTold(err error) (problemOut, int) {
	out := problemOut{Text: err.Error()}
	var wrong *read.Error
	var slip *site.Misuse
	var need *needed
	switch {
	case errors.As(err, &need):
		return problemOut{Text: need.Error(), Need: need.sums}, http.StatusConflict
	case errors.Is(err, errBusy):
		return out, http.StatusServiceUnavailable
	case errors.As(err, &wrong):
		out.Text, out.File, out.Line, out.Hint = wrong.Text, wrong.File, wrong.Line, wrong.Hint
	case errors.As(err, &slip):
		out.Hint = slip.Hint
	}
	return out, http.StatusUnprocessableEntity
}

// fail ends a request with an error.
func fail(w http.ResponseWriter, err error) {
	if errors.Is(err, context.Canceled) {
		return // nobody reads it
	}
	p, code := problemOf(err)
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	json.NewEncoder(w).Encode(map[string]any{"problem": p})
}

// body reads what a request brings, which is bounded. What it takes of memory is
// given back by done.
func (s *Server) body(w http.ResponseWriter, r *http.Request, most int64) (b []byte, done func(), err error) {
	n := r.ContentLength
	if n < 0 || n > most {
		n = most
	}
	if r.ContentLength > most {
		return nil, nil, &site.Misuse{Text: tooLong(most)}
	}
	back, err := s.bodies.take(n)
	if err != nil {
		return nil, nil, err
	}
	var buf bytes.Buffer
	if r.ContentLength > 0 {
		buf.Grow(int(r.ContentLength) + bytes.MinRead)
	}
	if _, err := io.Copy(&buf, http.MaxBytesReader(w, r.Body, most)); err != nil {
		back()
		var long *http.MaxBytesError
		if errors.As(err, &long) {
			return nil, nil, &site.Misuse{Text: tooLong(most)}
		}
		return nil, nil, err
	}
	return buf.Bytes(), back, nil
}

// read reads a question.
func (s *Server) read(w http.ResponseWriter, r *http.Request, into any) bool {
	b, done, err := s.body(w, r, mostAsked)
	if err == nil {
		defer done()
		if err = json.Unmarshal(b, into); err != nil {
			err = &site.Misuse{Text: "the question cannot be read: " + err.Error()}
		}
	}
	if err != nil {
		fail(w, err)
	}
	return err == nil
}

func tooLong(most int64) string {
	if most == MostFile {
		return "the file is longer than 64 MB"
	}
	return "the question is too long"
}
