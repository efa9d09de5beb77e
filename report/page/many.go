package page

import (
	"errors"
	"io"
	"net/http"
	"slices"
	"strings"

	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/sheet"
	"tankodds/report/site"
)

// fewest and most records are compared on the page; the command compares thousands.
const (
	fewestCompared = 2
	mostCompared   = 10
)

// memory holds the rows of a comparison.
type memory struct{ b []byte }

func (m *memory) Write(p []byte) (int, error) {
	m.b = append(m.b, p...)
	return len(p), nil
}

func (m *memory) ReadAt(p []byte, at int64) (int, error) {
	if at >= int64(len(m.b)) {
		return 0, io.EOF
	}
	n := copy(p, m.b[at:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// compare answers for the site under several records, as the command does.
func (s *Server) compare(w http.ResponseWriter, r *http.Request) {
	var q struct {
		question
		Records []string `json:"records"`
	}
	if !s.read(w, r, &q) {
		return
	}
	if n := len(q.Records); n < fewestCompared || n > mostCompared {
		fail(w, &site.Misuse{Text: "two to ten records are compared on the page", Hint: "the command compare takes thousands"})
		return
	}
	p, err := s.planMany(&q.question, q.Records)
	if err != nil {
		fail(w, err)
		return
	}
	done, err := s.full.take(r.Context())
	if err != nil {
		fail(w, err)
		return
	}
	defer done()
	w.Header().Set("Content-Type", "application/x-ndjson; charset=utf-8")
	out := &memory{}
	head := report.PartHead{
		Version: s.start.Version, Records: len(q.Records), Shard: 1, Shards: 1,
		Inputs: report.Inputs{Title: p.Name, Units: p.Units, Cover: p.Cover, Record: p.Record, Generator: p.Generator.Name, Study: p.Study},
	}
	part, err := report.NewPart(out, head)
	if err != nil {
		panic(err)
	}
	for i, name := range q.Records {
		told(w, event{Done: i, All: len(q.Records)})
		row, err := report.RowOf(r.Context(), s.start.Version, p, handed{s.files, q.Files}, name, i, p.Study.Workers)
		if err != nil {
			return // nobody waits for it
		}
		if err := part.Write(out, row); err != nil {
			panic(err)
		}
	}
	html, err := comparison(part)
	if err != nil {
		x, _ := problemOf(err)
		told(w, event{Problem: &x})
		return
	}
	words := []string{"tankodds compare", site.FileName}
	for _, name := range q.Records {
		words = append(words, word(name))
	}
	told(w, event{Answer: raw(map[string]string{"html": html, "command": strings.Join(append(append(words, manyFlags(q.Flags)...), "--out compared"), " ")})})
}

// manyFlags are the flags that a comparison takes.
func manyFlags(flags []string) (out []string) {
	for _, f := range flags {
		name, _, _ := strings.Cut(strings.TrimPrefix(f, "--"), "=")
		if site.Takes(name, site.Compare) != nil {
			out = append(out, f)
		}
	}
	return out
}

// planMany is the plan of a comparison.
func (s *Server) planMany(q *question, records []string) (*site.Plan, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	var lost []string
	for _, name := range records {
		sum, ok := q.Files[name]
		if !ok {
			return nil, &site.Misuse{Text: clip(name) + " is not among the files of this page", Hint: "drop it onto the page, or pick it"}
		}
		if _, held := s.files.get(sum); !held {
			lost = append(lost, sum)
		}
	}
	if lost != nil {
		return nil, &needed{lost}
	}
	p, err := site.PlanOf(site.Compare, site.FileName, []byte(q.Site), records[0], manyFlags(q.Flags))
	if err == nil {
		p.Study.Workers = s.start.Workers
		p.ForRecords(len(records))
	}
	return p, err
}

// comparison is the rows of a part as a page shows them.
func comparison(part *report.Part) (string, error) {
	z, err := report.Gather([]*report.Part{part})
	if err != nil {
		return "", err
	}
	if z.Answered() == 0 {
		return "", errors.New("none of these records could be answered for: " + z.Stations[0].Reason)
	}
	if err := z.Work(); err != nil {
		return "", err
	}
	page, err := z.Sheet()
	if err != nil {
		return "", err
	}
	stations, err := z.Drawn()
	if err != nil {
		return "", err
	}
	drawn := figure.Comparison(z.Study, stations, z.Study.Years, report.RegionalPoints(z.Region), figure.Options{Units: z.Units})
	kept := drawn[:0]
	for _, f := range drawn {
		if f.Name == "compare" || f.Name == "compare-ranked" {
			kept = append(kept, f)
		}
	}
	page.Subject, page.Answer = "The same site under several records", nil
	for i, f := range kept { // above the table, in their order
		page.Sections = slices.Insert(page.Sections, i, sheet.Section{ID: "figure-" + f.Name, Blocks: []sheet.Block{sheet.Figure(f.Name)}})
	}
	page.Bind()
	b, err := page.Fragment(kept)
	return string(b), err
}
