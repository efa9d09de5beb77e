package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"html/template"
	"net/http"
	"strings"

	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
)

// Start is what the page begins with.
type Start struct {
	Version string
	Site    string            // the text of a site file
	Files   map[string][]byte // the records that it names
	Units   units.System
	// Invented says that Site and Files are the example, which is invented.
	Invented bool
	Workers  int // cores, 0 for all
	// Log is told of faults; it may be nil.
	Log func(text string)
}

// Server answers the requests of the page.
type Server struct {
	start Start
	sums  map[string]string // of Start.Files
	index []byte
	style string

	files   *store
	answers *shelf[*answered]
	quick   slots // for what is looked at in passing
	full    slots // for what is worked out to its end
	bodies  *purse
}

//go:embed html
var texts embed.FS

// MostFile is how long a record that is handed over may be, bytes.
const MostFile = 64 << 20

// The memory that is taken at most, in bytes, and how much is worked on at once.
const (
	mostFiles   = 160 << 20 // of all that are kept
	mostAsked   = 2 << 20   // of a question
	mostBodies  = 96 << 20  // of all requests while they come in
	mostAnswers = 12
	mostWaiting = 256
)

// New makes a server. Its error is a fault of the program.
func New(s Start) (*Server, error) {
	out := &Server{
		start: s, sums: map[string]string{}, files: newStore(mostFiles), answers: newShelf[*answered](mostAnswers),
		quick: newSlots(1, mostWaiting), full: newSlots(1, mostWaiting), bodies: newPurse(mostBodies),
	}
	for name, data := range s.Files {
		out.sums[name] = out.files.put(data)
	}
	t, err := template.New("page.html").Funcs(template.FuncMap{"id": func(path string) string {
		return "f-" + strings.NewReplacer(".", "-", "#", "N").Replace(path)
	}}).ParseFS(texts, "html/page.html")
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = t.Execute(&b, map[string]any{
		"Version": s.Version, "Parts": site.Form(s.Units),
		"Asked": site.FlagFields(site.Size, s.Units, "rain-scale", "dry-spell-scale", "horizon", "record-error", "explain"),
	})
	if err != nil {
		return nil, err
	}
	out.index = b.Bytes()
	out.style = sheet.Style()
	return out, nil
}

// Handler answers requests that name one of hosts, such as 127.0.0.1:8080.
func (s *Server) Handler(hosts ...string) http.Handler {
	mux := http.NewServeMux()
	text := func(path, kind string, body []byte) {
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", kind+"; charset=utf-8")
			w.Write(body)
		})
	}
	file := func(name string) []byte {
		b, err := texts.ReadFile("html/" + name)
		if err != nil {
			panic(err) // which a test would have seen
		}
		return b
	}
	text("/{$}", "text/html", s.index)
	text("/sheet.css", "text/css", []byte(s.style))
	text("/sheet.js", "text/javascript", []byte(sheet.Script()))
	text("/page.css", "text/css", file("page.css"))
	for _, name := range []string{"page.js", "state.js", "form.js", "curve.js", "many.js"} {
		text("/"+name, "text/javascript", file(name))
	}
	text("/icon.svg", "image/svg+xml", file("icon.svg"))
	mux.HandleFunc("GET /start", s.begin)
	mux.HandleFunc("POST /record", s.record)
	mux.HandleFunc("GET /record/{sum}/{name}", s.recordFile)
	mux.HandleFunc("POST /site", s.site)
	mux.HandleFunc("POST /answer", s.answer)
	mux.HandleFunc("POST /year", s.year)
	mux.HandleFunc("POST /difference", s.difference)
	mux.HandleFunc("POST /compare", s.compare)
	mux.HandleFunc("GET /answer/{key}/{name}", s.answerFile)
	return s.guarded(mux, hosts)
}

// digest is the SHA-256 of some bytes, hexadecimal.
func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
