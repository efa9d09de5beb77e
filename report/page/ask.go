package page

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report"
	"tankodds/report/site"
	"tankodds/sim"
)

// question is what the page asks: the text of a site file, flags as they are typed,
// and the records by the names that the text gives them.
type question struct {
	Site  string            `json:"site"`
	Flags []string          `json:"flags"`
	Files map[string]string `json:"files"` // name → SHA-256 of its bytes
	// Roof and Use are what handles stand at: the total roof area in m² and the
	// mean use in L a day to which all are scaled; 0 leaves them.
	Roof float64 `json:"roof"`
	Use  float64 `json:"use"`
	// Quick asks for what can be told at once, of fewer years.
	Quick bool `json:"quick"`
}

// flags that the page may set: those that name no file and bind no machine.
var mayAsk = []string{"units", "horizon", "rain-scale", "dry-spell-scale", "explain", "record-error"}

const (
	mostFlags = 16
	mostNamed = 64 // records
)

// quickYears are simulated at once; quickSlowYears where each size is gone through
// by itself.
const (
	quickYears     = 2000
	quickSlowYears = 100
)

// moved scales the site's text to where the handles stand.
func (q *question) moved() error {
	if q.Roof == 0 && q.Use == 0 {
		return nil
	}
	text, err := site.Scaled(site.FileName, []byte(q.Site), q.Roof, q.Use)
	q.Site, q.Roof, q.Use = string(text), 0, 0
	return err
}

// check refuses flags that the page may not set.
func (q *question) check() error {
	if len(q.Flags) > mostFlags || len(q.Files) > mostNamed {
		return &site.Misuse{Text: "the question is too long"}
	}
	for _, f := range q.Flags {
		name, value, _ := strings.Cut(strings.TrimPrefix(f, "--"), "=")
		if !strings.HasPrefix(f, "--") || !slices.Contains(mayAsk, name) {
			return &site.Misuse{Text: fmt.Sprintf("the page does not take %s", clip(f))}
		}
		if strings.HasPrefix(value, "@") {
			return &site.Misuse{Text: "the page reads no file of factors", Hint: "type them, as in jun-aug=0.8"}
		}
	}
	return nil
}

// plan is what the question asks for.
func (s *Server) plan(q *question) (*site.Plan, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	p, err := site.PlanOf(site.Size, site.FileName, []byte(q.Site), "", q.Flags)
	if err != nil {
		return nil, err
	}
	p.Study.Workers = s.start.Workers
	if p.Record.Embedded || p.Record.File == "-" {
		return nil, &read.Error{File: site.FileName, Text: "the record is a file of the page", Hint: "drop it onto the page"}
	}
	var lost []string
	for _, name := range recordsOf(p) {
		if sum, ok := q.Files[name]; ok {
			if _, held := s.files.get(sum); !held {
				lost = append(lost, sum)
			}
		}
	}
	if lost != nil {
		return nil, &needed{lost}
	}
	return p, nil
}

// recordsOf are the names of the records that a plan rests on.
func recordsOf(p *site.Plan) []string {
	out := []string{p.Record.File}
	if p.Record.Second != "" {
		out = append(out, p.Record.Second)
	}
	for _, n := range p.Record.Near {
		out = append(out, n.File)
	}
	return out
}

// key tells questions apart that have other answers.
func (s *Server) key(q *question) string {
	text, err := json.Marshal(struct {
		Version string
		*question
	}{s.start.Version, q}) // maps are written in the order of their keys
	if err != nil {
		panic(err)
	}
	return digest(text)
}

// handed are the records that a question brings along.
type handed struct {
	*store
	files map[string]string
}

// Record reads one by its name in the site file.
func (h handed) Record(file string, o read.Options) (*rainfall.Record, error) {
	sum, ok := h.files[file]
	if !ok {
		return nil, &read.Error{File: clip(file), Text: "is not among the files of this page", Hint: "drop it onto the page, or pick it"}
	}
	key := fmt.Sprintf("%s %q %+v", sum, file, o)
	rec, ok := h.records.get(key)
	if !ok {
		data, held := h.get(sum)
		if !held {
			return nil, &needed{[]string{sum}}
		}
		h.reading.Lock()
		defer h.reading.Unlock()
		var err error
		if rec, err = read.Bytes(file, data, o); err != nil {
			return nil, err
		}
		h.records.put(key, rec)
	}
	out := *rec
	return &out, nil
}

// Demo is not asked for: on the page the invented record is a file like any other.
func (handed) Demo(read.Options) (*rainfall.Record, error) {
	return nil, &site.Misuse{Text: "the record is a file of the page"}
}

// prepared is a plan with its record read.
type prepared struct {
	plan   *site.Plan
	rec    *rainfall.Summary
	series *rainfall.Series
}

func (s *Server) prepare(q *question) (*prepared, error) {
	p, err := s.plan(q)
	if err != nil {
		return nil, err
	}
	from := handed{s.files, q.Files}
	rec, series, err := p.Record.Usable(from, p.Study.StorageYear)
	if err != nil {
		return nil, err
	}
	if err := p.Record.Borrow(from, p.Record.Near, rec, series); err != nil {
		return nil, err
	}
	p.Study.Uses = p.Study.WithBeds(series)
	return &prepared{p, rec, series}, nil
}

// quickly is the same for few years.
func (x *prepared) quickly() *prepared {
	p, study := *x.plan, *x.plan.Study
	years := quickYears
	if study.Slow() {
		years = quickSlowYears
	}
	study.Years = min(study.Years, years)
	p.Study = &study
	return &prepared{&p, x.rec, x.series}
}

// size works it out; brief is what can be told at once.
func (x *prepared) size(ctx context.Context, version string, brief bool, show func(done, all int)) (*report.Sizing, error) {
	work := sim.Size
	if brief {
		work = sim.SizeBriefly
	}
	x.plan.Study.Progress = show
	r, err := work(ctx, x.series, x.plan.Generator, x.plan.Study)
	x.plan.Study.Progress = nil
	if err != nil {
		return nil, err
	}
	r.Study.Progress = nil // the answer is asked again when this request is over
	z := report.NewSizing(version, x.plan, x.rec, r)
	z.Source.Unpacked = z.Record.Unpacked
	return z, nil
}
