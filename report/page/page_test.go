package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const aSite = "rain: {file: gauge.csv}\nroofs: [{area: 150 m2}]\nuses: [{daily: 120 L}]\ntarget: {measure: volume, reliability: 0.7}\nsimulation: {years: 200}\n"

// served is a server on a port of its own.
func served(t *testing.T) (*Server, string) {
	t.Helper()
	rain, err := os.ReadFile(filepath.Join("..", "..", "testdata", "seattle-weather.csv"))
	require.NoError(t, err)
	long, err := os.ReadFile(filepath.Join("..", "..", "testdata", "new-york.dly.gz"))
	require.NoError(t, err)
	s, err := New(Start{Version: "0", Site: aSite, Files: map[string][]byte{"gauge.csv": rain, "long.dly.gz": long}})
	require.NoError(t, err)
	mux := http.NewServeMux()
	var handler http.Handler
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) { handler.ServeHTTP(w, r) })
	h := httptest.NewServer(mux)
	t.Cleanup(h.Close)
	handler = s.Handler(strings.TrimPrefix(h.URL, "http://"))
	return s, h.URL
}

func (s *Server) asked(more map[string]any) []byte {
	q := map[string]any{"site": s.start.Site, "files": s.sums}
	for k, v := range more {
		q[k] = v
	}
	b, err := json.Marshal(q)
	if err != nil {
		panic(err)
	}
	return b
}

// do sends a request and returns its code and body.
func do(t *testing.T, method, url string, body []byte, header ...string) (int, string) {
	t.Helper()
	r, err := http.NewRequest(method, url, bytes.NewReader(body))
	require.NoError(t, err)
	for i := 0; i+1 < len(header); i += 2 {
		if header[i] == "Host" {
			r.Host = header[i+1]
		}
		r.Header.Set(header[i], header[i+1])
	}
	reply, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	require.NoError(t, err)
	return reply.StatusCode, string(text)
}

// Only a page of this server is answered: not one that comes by another name, from
// another origin, or by another method.
func TestOthersAreRefused(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	host := strings.TrimPrefix(url, "http://")
	for _, c := range []struct {
		method, path string
		header       []string
		want         int
	}{
		{"GET", "/", nil, 200},
		{"GET", "/start", nil, 200},
		{"POST", "/site", nil, 200},
		{"POST", "/site", []string{"Origin", url}, 200},
		{"POST", "/site", []string{"Sec-Fetch-Site", "same-origin"}, 200},
		{"GET", "/", []string{"Sec-Fetch-Site", "none"}, 200},
		{"GET", "/", []string{"Host", "evil.example"}, 421},
		{"GET", "/", []string{"Host", "127.0.0.1"}, 421},
		{"GET", "/", []string{"Host", host + ".evil.example"}, 421},
		{"POST", "/site", []string{"Host", "localhost:1"}, 421},
		{"POST", "/site", []string{"Origin", "http://evil.example"}, 403},
		{"POST", "/site", []string{"Origin", "null"}, 403},
		{"POST", "/record?name=a.csv", []string{"Origin", "http://localhost:1"}, 403},
		{"POST", "/answer", []string{"Sec-Fetch-Site", "cross-site"}, 403},
		{"POST", "/answer", []string{"Sec-Fetch-Site", "same-site"}, 403},
		{"GET", "/start", []string{"Sec-Fetch-Site", "cross-site"}, 403},
		{"PUT", "/site", nil, 405},
		{"DELETE", "/site", nil, 405},
		{"GET", "/answer", nil, 405},
		{"POST", "/start", nil, 405},
		{"OPTIONS", "/site", []string{"Origin", "http://evil.example"}, 405},
		{"GET", "/nothing", nil, 404},
	} {
		code, text := do(t, c.method, url+c.path, s.asked(nil), c.header...)
		assert.Equal(t, c.want, code, "%s %s %v: %s", c.method, c.path, c.header, text)
		if code == 421 || code == 403 {
			assert.Contains(t, text, `{"problem":{"text":"`, "it says why")
		}
	}
}

// What the browser may do is told with every reply, and nothing is to be kept by
// others.
func TestHeaders(t *testing.T) {
	t.Parallel()
	_, url := served(t)
	for _, path := range []string{"/", "/page.js", "/start", "/nothing"} {
		reply, err := http.Get(url + path)
		require.NoError(t, err)
		reply.Body.Close()
		h := reply.Header
		assert.Contains(t, h.Get("Content-Security-Policy"), "default-src 'none'; script-src 'self'; style-src 'self';", path)
		assert.NotContains(t, h.Get("Content-Security-Policy"), "unsafe-eval")
		assert.NotContains(t, h.Get("Content-Security-Policy"), "script-src 'self' 'unsafe")
		assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		assert.Equal(t, "same-origin", h.Get("Cross-Origin-Resource-Policy"), path)
		assert.Equal(t, "no-store", h.Get("Cache-Control"), path)
		assert.Empty(t, h.Get("Access-Control-Allow-Origin"), path)
	}
	code, text := do(t, "GET", url+"/", nil)
	assert.Equal(t, 200, code)
	assert.NotRegexp(t, `(?i) on[a-z]+="|<script>|style="|https?://`, text, "nothing in the page needs more than the policy allows, or a network")
}

// No path of a request reaches the disk, whatever it is called there.
func TestNoRequestReachesTheDisk(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	secret := filepath.Join(t.TempDir(), "secret.csv")
	require.NoError(t, os.WriteFile(secret, []byte("date,rain_mm\n2001-01-01,77.7\n"), 0o666))
	for _, path := range []string{"/../page.go", "/..%2f..%2fgo.mod", "/html/page.html", "/record/" + s.sums["gauge.csv"] + "/..%2f..%2fx/y", "/answer/x/..%2fgo.mod", "//etc/passwd"} {
		code, text := do(t, "GET", url+path, nil)
		if strings.HasPrefix(path, "/record/") && code == 200 { // the bytes of the digest, whatever they are called
			continue
		}
		assert.Contains(t, []int{404, 301, 307, 400}, code, "%s: %.80s", path, text)
	}
	named := func(rain string) string {
		return strings.Replace(aSite, "rain: {file: gauge.csv}", "rain: "+rain, 1)
	}
	for _, site := range []string{
		named("{file: " + secret + "}"), named("{file: gauge.csv, fill_from: " + secret + "}"),
		strings.Replace(named("{file: long.dly.gz, neighbours: ["+secret+"]}"), "volume", "annual", 1), named("{file: ../testdata/seattle-weather.csv}"), named("{file: \"-\"}"),
	} {
		for _, ask := range []string{"/answer", "/site"} {
			code, text := do(t, "POST", url+ask, s.asked(map[string]any{"site": site, "record": true}))
			assert.Contains(t, []int{200, 422}, code)
			assert.NotContains(t, text, "77.7")
			if ask == "/answer" {
				assert.Regexp(t, "among the files of this page|is a file of the page", text, site)
			}
		}
	}
	for _, flag := range []string{"--out=x", "--rain=" + secret, "--rain-scale=@" + secret, "--neighbour=" + secret, "--workers=9", "--json", "--meter=x", "x", "--", "--units=us --out=x"} {
		code, text := do(t, "POST", url+"/answer", s.asked(map[string]any{"flags": []string{flag}}))
		assert.Equal(t, 422, code, flag)
		assert.NotContains(t, text, "77.7")
		assert.Regexp(t, "the page does not take|the page reads no file of factors|neither si nor us", text, flag)
	}
	for _, name := range []string{"", "-", "a/b.csv", "..%2fb.csv", "a%5Cb.csv", "a%00b", strings.Repeat("a", 300)} {
		code, _ := do(t, "POST", url+"/record?name="+name, []byte("x"))
		assert.Equal(t, 422, code, name)
	}
}

// A request that panics is a message, and the server lives.
func TestAPanicIsAMessage(t *testing.T) {
	t.Parallel()
	var logged strings.Builder
	s, err := New(Start{Version: "0", Log: func(text string) { logged.WriteString(text) }})
	require.NoError(t, err)
	for _, begun := range []bool{false, true} {
		h := s.guarded(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			if begun {
				told(w, event{Done: 1, All: 2})
			}
			panic("a fault that was planted")
		}), []string{"here"})
		r := httptest.NewRequest("GET", "http://here/", nil)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		assert.Equal(t, map[bool]int{false: 500, true: 200}[begun], w.Code)
		assert.Contains(t, w.Body.String(), "internal fault: a fault that was planted; please report it")
	}
	assert.Contains(t, logged.String(), "page_test.go")
}

// What is too long is refused before it is read, and what is too much at once, too.
func TestWhatIsTooLong(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	r, err := http.NewRequest("POST", url+"/record?name=a.csv", strings.NewReader("x"))
	require.NoError(t, err)
	r.ContentLength = MostFile + 1
	reply, err := http.DefaultTransport.RoundTrip(r)
	if err == nil {
		text, _ := io.ReadAll(reply.Body)
		reply.Body.Close()
		assert.Equal(t, 422, reply.StatusCode)
		assert.Contains(t, string(text), "longer than 64 MB")
	}
	code, text := do(t, "POST", url+"/site", []byte(`{"site": "`+strings.Repeat("a", mostAsked)+`"}`))
	assert.Equal(t, 422, code)
	assert.Contains(t, text, "too long")
	back, err := s.bodies.take(mostBodies)
	require.NoError(t, err)
	code, text = do(t, "POST", url+"/site", s.asked(nil))
	assert.Equal(t, 503, code)
	assert.Contains(t, text, "ask again in a moment")
	back()
	code, _ = do(t, "POST", url+"/site", s.asked(nil))
	assert.Equal(t, 200, code)
}

// Records are kept up to a bound; one that is gone is asked for again.
func TestAForgottenRecordIsAskedForAgain(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	rain, _ := s.files.get(s.sums["gauge.csv"])
	s.files.most = int64(len(rain)) + 10
	s.files.put(bytes.Repeat([]byte("x"), 100))
	code, text := do(t, "POST", url+"/answer", s.asked(nil))
	assert.Equal(t, 409, code)
	assert.Contains(t, text, `"need":["`+s.sums["gauge.csv"]+`"]`)
	code, text = do(t, "POST", url+"/record?name=gauge.csv", rain)
	assert.Equal(t, 200, code, text)
	code, text = do(t, "POST", url+"/answer", s.asked(nil))
	assert.Equal(t, 200, code, text)
	assert.Contains(t, text, `"answer":{"key":"`)
}

// Whatever is sent, a reply comes that is no fault of ours.
func TestNonsense(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	for _, path := range []string{"/site", "/answer", "/year", "/difference", "/compare"} {
		for _, body := range []string{"", "null", "[]", "{", `{"site": 5}`, `{"site": ""}`, `{"site": "a: [b"}`, `{"site":"- x"}`, `{"key":"x","tank_l":-1}`, `{"records":["a","b"]}`, string(s.asked(map[string]any{"roof": -1e300})), string(s.asked(map[string]any{"roof": 1e300})), string(s.asked(map[string]any{"use": 1e-300})), "\xff\xfe"} {
			code, text := do(t, "POST", url+path, []byte(body))
			assert.Less(t, code, 500, "%s %s: %s", path, body, text)
			assert.NotContains(t, text, "internal fault")
		}
	}
}

// Many questions at once: the page itself is served all the while, every question
// gets an answer or is told to ask again, and memory stays within bounds.
func TestTwoHundredAtOnce(t *testing.T) {
	t.Parallel()
	s, url := served(t)
	var wait sync.WaitGroup
	many := 200
	if testing.Short() {
		many = 60
	}
	codes := make([]int, many)
	for i := range codes {
		wait.Go(func() {
			q := s.asked(map[string]any{"quick": i%8 > 0, "site": strings.Replace(aSite, "120 L", fmt.Sprintf("%d L", 100+i), 1)})
			reply, err := http.Post(url+"/answer", "application/json", bytes.NewReader(q))
			if err != nil {
				return
			}
			io.Copy(io.Discard, reply.Body)
			reply.Body.Close()
			codes[i] = reply.StatusCode
		})
	}
	for range 20 {
		code, _ := do(t, "GET", url+"/", nil)
		assert.Equal(t, 200, code)
	}
	wait.Wait()
	count := map[int]int{}
	for _, c := range codes {
		count[c]++
	}
	assert.Equal(t, len(codes), count[200], count)
}
