package report

import (
	"fmt"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/codec"
	"tankodds/report/sheet"
)

// Work is something to cite.
type Work struct {
	Type    string `key:"type" doc:"software, article, report or data"`
	Authors string `key:"authors" doc:"its authors or publisher"`
	Year    string `key:"year" doc:"of its publication, empty where none is known"`
	Title   string `key:"title" doc:"its title"`
	In      string `key:"in" doc:"journal and volume, or publisher"`
	DOI     string `key:"doi" doc:"its digital object identifier, empty where none is known"`
	For     string `key:"for" doc:"what it is cited for"`
}

// Text is the work as it stands in a list of references.
func (w Work) Text() string {
	out := w.Authors
	if w.Year != "" {
		out += " (" + w.Year + ")"
	}
	for _, part := range []string{w.Title, w.In} {
		if part != "" {
			out = strings.TrimSuffix(out, ".") + ". " + part
		}
	}
	if w.DOI != "" {
		out += ". doi:" + w.DOI
	}
	return strings.TrimSuffix(out, ".") + "."
}

// works are those that the method follows, whatever the generator: volumes and
// identifiers from memory, unverified.
var works = []Work{
	{"article", "Fewkes, A. & Butler, D.", "2000", "Simulating the performance of rainwater collection and reuse systems using behavioural models", "Building Services Engineering Research and Technology 21", "", "the order of a day"},
	{"report", "Jenkins, D., Pearson, F., Moore, E., Sun, J. K. & Valentine, R.", "1978", "Feasibility of rainwater collection systems in California", "University of California", "", "yield after and before spillage"},
	{"article", "Hashimoto, T., Stedinger, J. R. & Loucks, D. P.", "1982", "Reliability, resiliency and vulnerability criteria for water resource system performance evaluation", "Water Resources Research 18:14", "", "the measures"},
	{"article", "Wilson, E. B.", "1927", "Probable inference, the law of succession, and statistical inference", "Journal of the American Statistical Association 22", "", "the Monte Carlo error of shares"},
	{"article", "Brown, Lawrence D., Cai, T. Tony & DasGupta, Anirban", "2001", "Interval estimation for a binomial proportion", "Statistical Science 16", "", "the claim from the record"},
	{"report", "World Meteorological Organization", "", "Guide to Climatological Practices (WMO-No. 100); Guidelines on the Calculation of Climate Normals (WMO-No. 1203)", "", "", "which years of a record are usable"},
}

// Cited lists what an answer is cited with: the program, the papers of its method,
// after what its generator follows, and the record as its publisher asks. m may be
// nil where no record was read.
func Cited(version, year, generator, follows string, m *rainfall.Summary, invented bool) []Work {
	out := []Work{{"software", "The tankodds authors", year, "tankodds " + version + ": the size of a roof-water tank and how sure it is, from daily rain", "Computer program", "", "the answer"}}
	out = append(out, works...)
	if follows != "" {
		out = append(out, Work{"article", follows, "", "", "", "", fmt.Sprintf("the generator “%s” of synthetic rain", generator)})
	}
	switch {
	case invented:
		out = append(out, Work{"data", "None", "", "The record is invented and is not to be cited", "", "", "the record"})
	case m != nil:
		w := Work{"data", read.Citation(m.Format), "", m.Name(), fmt.Sprintf("%v to %v, SHA-256 %s", m.First, m.Last, m.SHA256), "", "the record"}
		if w.Authors == "" {
			w.Authors = "Publisher not known from the file"
		}
		out = append(out, w)
	}
	return out
}

// CitedText is the list for a reader, by what each is cited for.
func CitedText(all []Work) *sheet.Sheet {
	s := &sheet.Sheet{Title: "To cite"}
	for _, w := range all {
		s.Sections = append(s.Sections, sheet.Section{Blocks: []sheet.Block{sheet.Led(strings.ToUpper(w.For[:1])+w.For[1:]+".", "%s", w.Text())}})
	}
	s.Sections = append(s.Sections, sheet.Section{Blocks: []sheet.Block{sheet.Text("Volumes and identifiers are from memory: check them, and the terms of the record, before you print them.")}})
	return s
}

// CiteSchema names the form of CitedJSON.
const CiteSchema = "tankodds/cite/1"

type citeDoc struct {
	Schema string `key:"schema" doc:"form of this object"`
	Works  []Work `key:"works" doc:"what to cite"`
}

// CitedJSON is the list as data.
func CitedJSON(all []Work) []byte { return codec.Encode(citeDoc{CiteSchema, all}).Bytes() }
