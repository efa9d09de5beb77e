package page

import (
	"errors"
	"net/http"
	"regexp"
	"strings"

	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

// begin tells what the page begins with.
func (s *Server) begin(w http.ResponseWriter, _ *http.Request) {
	reply(w, map[string]any{
		"version": s.start.Version, "site": s.start.Site, "files": s.sums, "invented": s.start.Invented,
		"units": map[units.System]string{units.US: "us"}[s.start.Units],
	})
}

// record reads a record that is handed over, keeps it and says what it is.
func (s *Server) record(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Query().Get("name")
	if name == "" || len(name) > 200 || strings.ContainsAny(name, "/\\\x00\n") || name == "-" {
		fail(w, &site.Misuse{Text: "the file has no name that a site file could give it", Hint: "give it a plain name"})
		return
	}
	b, done, err := s.body(w, r, MostFile)
	if err != nil {
		fail(w, err)
		return
	}
	defer done()
	sum := s.files.put(b)
	reply(w, map[string]string{"sha256": sum})
}

// recordFile gives a record back as it was handed over.
func (s *Server) recordFile(w http.ResponseWriter, r *http.Request) {
	b, ok := s.files.get(r.PathValue("sum"))
	if !ok {
		refuse(w, http.StatusNotFound, "this record is no longer held", "hand it over again")
		return
	}
	give(w, r.PathValue("name"), b)
}

// siteOut is what the page is told of a site.
type siteOut struct {
	Site     string                `json:"site"`
	Values   map[string]site.Value `json:"values"`
	Problems []problemOut          `json:"problems"`
	Units    string                `json:"units"` // that it is printed in
	Roof     float64               `json:"roof_m2"`
	Use      float64               `json:"use_l_per_day"`
	Command  string                `json:"command"`
	Records  []string              `json:"records"` // the files that it names
	Record   *recordOut            `json:"record,omitempty"`
}

// recordOut is what is told of the site's record.
type recordOut struct {
	Brief   string      `json:"brief"`
	HTML    string      `json:"html"`
	Command string      `json:"command"`
	Problem *problemOut `json:"problem,omitempty"`
}

// site makes edits in the text of a site and tells what stands there.
func (s *Server) site(w http.ResponseWriter, r *http.Request) {
	var q struct {
		question
		Edits  []site.Edit `json:"edits"`
		Record bool        `json:"record"` // whether it is wanted what the record is
	}
	if !s.read(w, r, &q) {
		return
	}
	out, err := s.told(&q.question, q.Edits, q.Record)
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, out)
}

func (s *Server) told(q *question, edits []site.Edit, record bool) (*siteOut, error) {
	text, err := site.Edited(site.FileName, []byte(q.Site), edits...)
	if err == nil {
		text, err = site.Edited(site.FileName, text, site.WithoutFolders(site.FileName, text, q.Files)...)
	}
	if err != nil {
		return nil, err
	}
	q.Site = string(text)
	if err := q.moved(); err != nil {
		return nil, err
	}
	u := site.SystemOf(site.FileName, []byte(q.Site), q.Flags)
	values, err := site.Held(site.FileName, []byte(q.Site), u)
	if err != nil {
		return nil, err
	}
	out := &siteOut{Site: q.Site, Values: values, Problems: []problemOut{}, Command: command(q.Flags), Units: "si"}
	if u == units.US {
		out.Units = "us"
	}
	for _, p := range site.Problems(site.FileName, []byte(q.Site)) {
		out.Problems = append(out.Problems, problemOut{Text: p.Text, Hint: onPage.Replace(p.Hint), Line: p.Line, Path: p.Path})
	}
	p, err := s.plan(q)
	var need *needed
	switch {
	case errors.As(err, &need):
		return nil, err
	case err != nil && len(out.Problems) == 0:
		x, _ := problemOf(err)
		out.Problems = append(out.Problems, x)
	case err == nil:
		out.Roof, out.Use = sim.TotalArea(p.Study.Roofs), sim.MeanDemand(p.Study.Uses)
		out.Records = recordsOf(p)
	}
	if record {
		out.Record = s.recordSheet(q, u)
	}
	return out, nil
}

// recordSheet says what a record is, as the command does.
func (s *Server) recordSheet(q *question, u units.System) *recordOut {
	source := site.SourceOf(site.FileName, []byte(q.Site))
	out := &recordOut{Command: "tankodds record " + word(source.File)}
	wrong := func(err error) *recordOut {
		p, _ := problemOf(err)
		out.Problem = atField(&p)
		return out
	}
	if source.File == "" {
		return wrong(&site.Misuse{Text: "no record yet", Hint: "drop a file of daily rain onto the page, or pick one"})
	}
	rec, _, err := source.Series(handed{s.files, q.Files}, nil)
	if err != nil {
		return wrong(err)
	}
	page := report.RecordSheet(rec, u)
	brief := &sheet.Sheet{Title: page.Title, Sections: []sheet.Section{{ID: "claim"}}}
	if source.WaterYear == 0 {
		page.Under = append(page.Under, "Here the water year begins in the month that the rain alone points to. With the site’s roofs and uses it may begin in another: then one year more or less may be usable, and another the driest.")
	}
	for _, text := range page.Under {
		brief.Sections[0].Blocks = append(brief.Sections[0].Blocks, sheet.Text("%s", text))
	}
	var drawn []figure.Figure
	if f, ok := figure.Record(rec, figure.Options{Units: u}); ok {
		drawn = append(drawn, f)
		brief.Sections[0].Blocks = append(brief.Sections[0].Blocks, sheet.Figure(f.Name))
	}
	out.Brief, out.HTML = fragment(brief, drawn), fragment(page, nil)
	return out
}

// fragment sets a sheet as part of the page.
func fragment(x *sheet.Sheet, drawn []figure.Figure) string {
	x.Bind()
	b, err := x.Fragment(drawn)
	if err != nil {
		panic(err)
	}
	return string(b)
}

// word is a name as it is typed in a shell.
func word(s string) string {
	if plainWord.MatchString(s) {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

var (
	plainWord = regexp.MustCompile(`^[\w.,:@%+/-]+$`)
	flagIn    = regexp.MustCompile(`--([a-z][a-z-]*)(?: (\S+))?`)
)

// atField turns a remedy that names a flag into one of the field that does the same.
func atField(p *problemOut) *problemOut {
	m := flagIn.FindStringSubmatch(p.Hint)
	if m == nil {
		return p
	}
	if row := site.Takes(m[1], site.Size); row != nil && row.Key != "" {
		p.Path = row.Key
		p.Hint = flagIn.ReplaceAllStringFunc(p.Hint, func(s string) string {
			m := flagIn.FindStringSubmatch(s)
			if row := site.Takes(m[1], site.Size); row != nil && row.Key != "" {
				return strings.TrimSpace("“" + row.Label() + "” " + m[2])
			}
			return s
		})
	}
	return p
}
