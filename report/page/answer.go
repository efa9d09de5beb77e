package page

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"path"
	"strings"
	"sync"
	"time"

	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/sim"
)

// answered is an answer that was worked out, with what its files are made of.
type answered struct {
	*prepared
	sizing *report.Sizing
	once   sync.Once
	files  map[string][]byte
	err    error
}

// answerOut is an answer as the page shows it.
type answerOut struct {
	Key     string            `json:"key"` // "" of one of few years
	Site    string            `json:"site"`
	Years   int               `json:"years"`
	HTML    string            `json:"html"`
	Tank    float64           `json:"tank_l"` // of the answer; 0 for none
	Sizes   []report.SizeNote `json:"sizes"`
	Command string            `json:"command"`
	Files   []string          `json:"files,omitempty"`
	Seconds float64           `json:"seconds"`
}

// answer works out an answer and sends lines: how far it is, and the answer.
func (s *Server) answer(w http.ResponseWriter, r *http.Request) {
	var q question
	if !s.read(w, r, &q) {
		return
	}
	began := time.Now()
	if err := q.moved(); err != nil {
		fail(w, err)
		return
	}
	if q.Quick {
		out, err := s.quickly(r.Context(), &q)
		if err != nil {
			fail(w, err)
			return
		}
		out.Seconds = time.Since(began).Seconds()
		w.Header().Set("Content-Type", "application/x-ndjson; charset=utf-8")
		told(w, event{Answer: raw(out)})
		return
	}
	a, key, known, err := s.known(&q)
	if err != nil {
		fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "application/x-ndjson; charset=utf-8")
	if !known {
		if a, err = s.work(r.Context(), w, &q); err != nil {
			if sent, ok := w.(*sending); !ok || !sent.begun {
				fail(w, err)
			} else if p, _ := problemOf(err); !errors.Is(err, context.Canceled) {
				told(w, event{Problem: &p})
			}
			return
		}
		s.answers.put(key, a)
	}
	html, err := a.sizing.Sheet().Fragment(a.sizing.Figures())
	if err != nil {
		panic(err)
	}
	told(w, event{Answer: raw(s.out(a.sizing, &q, key, html, began))})
}

// quickly answers of few years.
func (s *Server) quickly(ctx context.Context, q *question) (*answerOut, error) {
	done, err := s.quick.take(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	x, err := s.prepare(q)
	if err != nil {
		return nil, err
	}
	z, err := x.quickly().size(ctx, s.start.Version, true, nil)
	if err != nil {
		return nil, err
	}
	var drawn []figure.Figure
	if f, ok := figure.Reliability(z.Result, z.Record, figure.Options{Units: z.Units}); ok {
		drawn = append(drawn, f)
	}
	html, err := z.Brief().Fragment(drawn)
	if err != nil {
		return nil, err
	}
	return s.out(z, q, "", html, time.Now()), nil
}

// known is an answer that was worked out before.
func (s *Server) known(q *question) (a *answered, key string, known bool, err error) {
	if err := q.check(); err != nil {
		return nil, "", false, err
	}
	key = s.key(q)
	a, known = s.answers.get(key)
	return a, key, known, nil
}

// work works out an answer and tells how far it is.
func (s *Server) work(ctx context.Context, w http.ResponseWriter, q *question) (*answered, error) {
	done, err := s.full.take(ctx)
	if err != nil {
		return nil, err
	}
	defer done()
	x, err := s.prepare(q)
	if err != nil {
		return nil, err
	}
	last := -1
	z, err := x.size(ctx, s.start.Version, false, func(done, all int) {
		if percent := 100 * done / max(1, all); percent > last {
			last = percent
			told(w, event{Done: done, All: all})
		}
	})
	if err != nil {
		return nil, err
	}
	z.Digest = z.EvidenceDigest()
	return &answered{prepared: x, sizing: z}, nil
}

func (s *Server) out(z *report.Sizing, q *question, key string, html []byte, began time.Time) *answerOut {
	out := &answerOut{
		Key: key, Site: q.Site, Years: z.Result.Simulated, HTML: string(html), Sizes: z.SizeNotes(),
		Command: command(q.Flags), Seconds: time.Since(began).Seconds(),
	}
	if x := z.Result.Main.Lead; x > 0 {
		out.Tank = x
	}
	if key != "" {
		out.Files = []string{"report.html", "evidence.pdf", "curves.csv", report.EvidenceName}
	}
	return out
}

// command is what does the same, where the site file and its records are.
func command(flags []string) string {
	return strings.Join(append(append([]string{"tankodds size", site.FileName}, flags...), "--out sheet"), " ")
}

func raw(x any) json.RawMessage {
	b, err := json.Marshal(x)
	if err != nil {
		panic(err)
	}
	return b
}

// answerFile gives a file of an answer away, byte for byte what the command writes.
func (s *Server) answerFile(w http.ResponseWriter, r *http.Request) {
	a, ok := s.answers.get(r.PathValue("key"))
	if !ok {
		refuse(w, http.StatusNotFound, "this answer is no longer held", "ask for it again on the page")
		return
	}
	a.once.Do(func() { a.files, a.err = a.made() })
	if a.err != nil {
		panic(a.err)
	}
	name := r.PathValue("name")
	body, ok := a.files[name]
	if !ok {
		refuse(w, http.StatusNotFound, "an answer has no file "+clip(name), "")
		return
	}
	give(w, name, body)
}

// made makes all files of the answer.
func (a *answered) made() (map[string][]byte, error) {
	out := map[string][]byte{}
	var digests []report.FileDigest
	z := *a.sizing
	for _, f := range z.Files() {
		b, err := f.Render()
		if err != nil {
			return nil, err
		}
		b, sum, err := report.Written(f.Name, b)
		if err != nil {
			return nil, err
		}
		out[f.Name] = b
		digests = append(digests, sum)
	}
	b, _, err := report.Written(report.EvidenceName, z.EvidenceJSON(digests...))
	out[report.EvidenceName] = b
	return out, err
}

// kinds are the types of the files that are given away.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".pdf": "application/pdf", ".csv": "text/csv; charset=utf-8",
	".json": "application/json; charset=utf-8", ".svg": "image/svg+xml", ".png": "image/png",
}

// give sends a file to be kept, never to be shown in place of the page.
func give(w http.ResponseWriter, name string, body []byte) {
	kind := kinds[path.Ext(name)]
	if kind == "" {
		kind = "application/octet-stream"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", "attachment")
	http.NewResponseController(w).SetWriteDeadline(time.Now().Add(10 * writeTime))
	w.Write(body)
}

// year shows the year of one size of tank.
func (s *Server) year(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Key  string  `json:"key"`
		Tank float64 `json:"tank_l"`
	}
	if !s.read(w, r, &q) {
		return
	}
	a, ok := s.answers.get(q.Key)
	if !ok {
		refuse(w, http.StatusNotFound, "this answer is no longer held", "ask for it again on the page")
		return
	}
	study := a.sizing.Result.Study
	if !(q.Tank > 0 && q.Tank < sim.MostTank) || !(study.Usable(q.Tank) > 0) {
		fail(w, &site.Misuse{Text: fmt.Sprintf("a tank of %g L cannot be looked at", q.Tank)})
		return
	}
	done, err := s.quick.take(r.Context())
	if err != nil {
		fail(w, err)
		return
	}
	defer done()
	page, drawn, err := a.sizing.YearAt(r.Context(), a.series, a.plan.Generator, q.Tank)
	if err == nil {
		err = replyHTML(w, page, drawn)
	}
	if err != nil {
		fail(w, err)
	}
}

func replyHTML(w http.ResponseWriter, page *sheet.Sheet, drawn []figure.Figure) error {
	html, err := page.Fragment(drawn)
	if err == nil {
		reply(w, map[string]string{"html": string(html)})
	}
	return err
}

// difference lays two answers side by side.
func (s *Server) difference(w http.ResponseWriter, r *http.Request) {
	var q struct{ Kept, Now string }
	if !s.read(w, r, &q) {
		return
	}
	a, ok := s.answers.get(q.Kept)
	b, also := s.answers.get(q.Now)
	if !ok || !also {
		refuse(w, http.StatusNotFound, "one of the answers is no longer held", "ask for it again on the page")
		return
	}
	if err := replyHTML(w, report.Versions(a.sizing, b.sizing), nil); err != nil {
		panic(err)
	}
}
