package page

import (
	"fmt"
	"net/http"
	"runtime/debug"
	"slices"
)

// policy is what a browser may do on the page: run and show what comes from it
// alone. Drawings carry styles of their own.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' data:; " +
	"connect-src 'self'; manifest-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guarded lets through what a page of this server asks for, and nothing else:
// another host in the request is a name that was turned to this address (DNS
// rebinding), another origin is a page of somebody else. A request that panics is
// told so, and the server lives.
func (s *Server) guarded(next http.Handler, hosts []string) http.Handler {
	crossing := http.NewCrossOriginProtection()
	crossing.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		refuse(w, http.StatusForbidden, "another page asked for this; only the page of tankodds may", "")
	}))
	checked := crossing.Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if from := r.Header.Get("Sec-Fetch-Site"); from == "cross-site" || from == "same-site" {
			refuse(w, http.StatusForbidden, "another page asked for this; only the page of tankodds may", "")
			return
		}
		next.ServeHTTP(w, r)
	}))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Embedder-Policy", "require-corp")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		h.Set("Cache-Control", "no-store")
		sent := &sending{ResponseWriter: w}
		defer func() {
			fault := recover()
			if fault == nil {
				return
			}
			if fault == http.ErrAbortHandler {
				panic(fault)
			}
			if s.start.Log != nil {
				s.start.Log(fmt.Sprintf("internal fault: %v\n%s", fault, debug.Stack()))
			}
			problem := fmt.Sprintf("internal fault: %v; please report it with the site file", fault)
			if sent.begun {
				told(w, event{Problem: &problemOut{Text: problem}})
			} else {
				refuse(w, http.StatusInternalServerError, problem, "")
			}
		}()
		switch {
		case !slices.Contains(hosts, r.Host):
			refuse(w, http.StatusMisdirectedRequest, "this server is called by its address, not by the name "+clip(r.Host), "open the address that tankodds page printed")
		default:
			checked.ServeHTTP(sent, r)
		}
	})
}

// sending knows whether an answer has begun to be sent.
type sending struct {
	http.ResponseWriter
	begun bool
}

func (w *sending) Write(p []byte) (int, error) {
	w.begun = true
	return w.ResponseWriter.Write(p)
}

func (w *sending) WriteHeader(code int) {
	w.begun = true
	w.ResponseWriter.WriteHeader(code)
}

// Unwrap lets the server's controls through.
func (w *sending) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// clip bounds a text of a request that is told again.
func clip(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:80]) + "…"
	}
	return s
}
