package page

import (
	"context"
	"encoding/json"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Whatever a request of the page says, the reply is an answer or one problem in words,
// and never a fault. kind is the address, and whether first is a site file or the body as
// it is sent.
func FuzzQuestion(f *testing.F) {
	paths := []string{"/answer", "/site", "/compare", "/year", "/difference", "/record?name=a.csv"}
	rain, err := os.ReadFile(filepath.Join("..", "..", "testdata", "seattle-weather.csv"))
	if err != nil {
		f.Fatal(err)
	}
	short := rain[:min(len(rain), 40_000)]
	s, err := New(Start{Version: "0", Site: aSite, Files: map[string][]byte{"gauge.csv": rain, "short.csv": short}, Workers: 1})
	if err != nil {
		f.Fatal(err)
	}
	handler := s.Handler("here")
	raw := uint8(len(paths)) // added to the number of a path
	for _, text := range []string{aSite, strings.Replace(aSite, "volume", "days", 1),
		aSite + "tank: {prices: {1000 L: 500, 5000 L: 900}, water_price: 3 per m3}\n",
		"rain: {file: gauge.csv}\nroofs: [{area: 80 m2, surge: 500 L}]\nuses: [{daily: 90 L}, {beds: 40 m2}]\nsurges: {pump: 2 L/min}\nmains: none\n",
		"rain: {file: short.csv, neighbours: [gauge.csv]}\nroofs: [{area: 1500 sqft}]\nuses: [{daily: 30 gal}]\n"} {
		for k := range paths {
			f.Add(uint8(k), text, "--units=us --horizon=5", 0.0, 0.0)
		}
		f.Add(uint8(0), text, "--rain-scale=jun-aug=0.8 --record-error=off", 120.0, 300.0)
	}
	for k := range paths {
		f.Add(raw+uint8(k), string(s.asked(map[string]any{"quick": true})), "", 0.0, 0.0)
		f.Add(raw+uint8(k), `{"records":["gauge.csv","short.csv"],"key":"x","tank_l":5000,"kept":"a","now":"b"}`, "", 0.0, 0.0)
	}
	f.Fuzz(func(t *testing.T, kind uint8, first, flags string, roof, use float64) {
		kind %= 2 * raw
		body := []byte(first)
		if kind < raw {
			q := map[string]any{"site": first, "files": s.sums, "flags": strings.Fields(flags), "quick": len(first)%4 > 0, "records": []string{"gauge.csv", "short.csv"}}
			if x, err := json.Marshal([]float64{roof, use}); err == nil && len(x) > 0 { // not an infinity, which JSON cannot say
				q["roof"], q["use"] = roof, use
			}
			if body, err = json.Marshal(q); err != nil {
				t.Fatal(err)
			}
		}
		// Nobody waits longer: what is still worked out then is stopped.
		ctx, stop := context.WithTimeout(context.Background(), 300*time.Millisecond)
		defer stop()
		r := httptest.NewRequest("POST", paths[kind%raw], strings.NewReader(string(body))).WithContext(ctx)
		r.Host = "here"
		w := httptest.NewRecorder()
		handler.ServeHTTP(w, r)
		if w.Code >= 500 || strings.Contains(w.Body.String(), "internal fault") {
			t.Fatalf("%s %q: %d %s", r.URL, body, w.Code, w.Body)
		}
		for _, line := range strings.Split(strings.TrimSpace(w.Body.String()), "\n") {
			if line != "" && !json.Valid([]byte(line)) {
				t.Fatalf("%s: no JSON: %q", r.URL, line)
			}
		}
	})
}
