package console

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"

	"valveround/services/signin"
)

// What stands between the network and the handlers: names, headers, sizes, times, rates and who asks. Sources: the OWASP
// cheat sheets "HTTP Security Response Headers", "Content Security Policy", "Cross-Site Request Forgery Prevention" and
// "Session Management".

// Cookies of the prefix __Host- are bound to this very host, sent over TLS only and set by no other (RFC 6265bis, 4.1.3.2).
const (
	sessionCookie = "__Host-session"
	phoneCookie   = "__Host-phone"
)

// pageHeader goes with every change that a page asks for: another site's form cannot send it, and its script may not.
const pageHeader = "X-Valveround"

// policy is what a page may load: our own files and nothing from elsewhere, no script or style within the page.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; " +
	"manifest-src 'self'; worker-src 'self'; frame-src 'self'; object-src 'none'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

func safeHeaders(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Content-Security-Policy", policy)
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Embedder-Policy", "require-corp")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("X-Permitted-Cross-Domain-Policies", "none")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(self), microphone=(), payment=(), usb=(), serial=(), bluetooth=(), display-capture=(), browsing-topics=()")
		if r.TLS != nil && !loopback(r.Host) {
			// Not for loopback names: they are shared with every other server on the machine.
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		if strings.HasPrefix(r.URL.Path, "/api/") {
			h.Set("Cache-Control", "no-store") // answers name people and places
		}
		next.ServeHTTP(w, r)
	})
}

// ourName refuses names that are not ours, so that a name of somebody else's that leads here reaches nothing. Without
// sign-in only this machine's own names are.
func (s *Server) ourName(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case loopback(r.Host):
		case s.cfg.SignIn == nil:
			http.Error(w, "This server answers only on this machine, as localhost or 127.0.0.1.", http.StatusForbidden)
			return
		case !slices.Contains(s.cfg.Hosts, hostOf(r.Host)):
			http.Error(w, "This server does not answer under the name "+hostOf(r.Host)+".", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// fromOurPages refuses a change that another site's page asks for.
func (s *Server) fromOurPages(next http.Handler) http.Handler {
	check := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		changes := r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodOptions
		switch {
		case check.Check(r) != nil:
			problem(w, http.StatusForbidden, "This request comes from another site.")
			return
		case changes && s.cfg.SignIn != nil && r.Header.Get(pageHeader) == "":
			problem(w, http.StatusForbidden, "Changes carry the header "+pageHeader+", which only our own pages send.")
			return
		}
		next.ServeHTTP(w, r)
	})
}

func hostOf(hostport string) string {
	host := hostport
	if h, _, err := net.SplitHostPort(hostport); err == nil {
		host = h
	}
	return strings.ToLower(strings.TrimSuffix(strings.Trim(host, "[]"), "."))
}

func loopback(hostport string) bool {
	host := hostOf(hostport)
	if host == "localhost" {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// maxBody is the largest request taken: a due list of 20,000 rows with room to spare. Most operations take far less.
const maxBody = 32 << 20

func limitBody(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		next.ServeHTTP(w, r)
	})
}

// How long an answer may take to be read. A live connection sets its own times; a backup is large.
const (
	answerWithin = 2 * time.Minute
	backupWithin = 30 * time.Minute
)

func limitTime(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		within := answerWithin
		if r.URL.Path == backupPath {
			within = backupWithin
		}
		if r.URL.Path == livePath {
			next.ServeHTTP(patient{w}, r)
			return
		}
		_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(within)) // a test's recorder has none
		next.ServeHTTP(w, r)
	})
}

// Rates are how often somebody may ask: strangers by their address, others by who they are.
type Rates struct{ Strangers, Known signin.Limit }

// defaultRates: a page asks for a dozen things at once, a phone sends a day's records.
func defaultRates() Rates {
	return Rates{Strangers: signin.Limit{Burst: 120, Every: 100 * time.Millisecond}, Known: signin.Limit{Burst: 400, Every: 20 * time.Millisecond}}
}

// limitRate slows down those who ask too often: somebody who is known by who they are, a stranger by the address.
func (s *Server) limitRate(next http.Handler) http.Handler {
	if s.cfg.SignIn == nil {
		return next
	}
	strangers, known := signin.NewLimits(s.cfg.Rates.Strangers, time.Now), signin.NewLimits(s.cfg.Rates.Known, time.Now)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ok, wait := true, time.Duration(0)
		if v := visitorOf(r.Context()); len(v.whos) > 0 {
			ok, wait = known.Try(v.whos[0].Session + " " + v.whos[0].Phone)
		} else if strings.HasPrefix(r.URL.Path, "/api/") {
			ok, wait = strangers.Try(addressOf(r))
		}
		if !ok {
			w.Header().Set("Retry-After", strconv.Itoa(int(wait.Seconds())+1))
			problem(w, http.StatusTooManyRequests, "Too many requests: wait a moment.")
			return
		}
		next.ServeHTTP(w, r)
	})
}

// addressOf is whom a limit on addresses counts: an IPv4 address, or the half of an IPv6 address that one subscriber has.
func addressOf(r *http.Request) string {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	address := at.Addr().Unmap().WithZone("")
	if address.Is6() {
		if half, err := address.Prefix(64); err == nil {
			return half.String()
		}
	}
	return address.String()
}

// identify says who asks, by the cookies.
func (s *Server) identify(next http.Handler) http.Handler {
	if s.cfg.SignIn == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := s.visitor(r)
		v.still = func() bool { return len(s.visitor(r).whos) > 0 }
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), visitorKey{}, v)))
	})
}

func (s *Server) visitor(r *http.Request) visitor {
	var v visitor
	if c, err := r.Cookie(sessionCookie); err == nil {
		if w, ok := s.cfg.SignIn.Session(r.Context(), c.Value); ok {
			v.whos = append(v.whos, w)
		}
	}
	if c, err := r.Cookie(phoneCookie); err == nil {
		if w, ok := s.cfg.SignIn.Phone(r.Context(), c.Value); ok {
			v.whos = append(v.whos, w)
		}
	}
	return v
}

// signInPage is served to anyone, with what it loads. Until the office is set up nothing else is.
const signInPage = "/sign-in.html"

var beforeSetUp = []string{signInPage, "/api/sign-in", "/api/set-up", "/api/trust", "/api/trust/authority.pem", "/api/trust/authority.crt"}

// setUpFirst lets nothing but the set-up page and what it needs answer until the office has been set up, and shows the
// description of the API to nobody who is not known.
func (s *Server) setUpFirst(next http.Handler) http.Handler {
	if s.cfg.SignIn == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		path := r.URL.Path
		switch {
		case !s.cfg.SignIn.NeedsSetUp():
			if describes(path) && len(visitorOf(r.Context()).whos) == 0 {
				problem(w, http.StatusUnauthorized, "Sign in first.")
				return
			}
		case slices.Contains(beforeSetUp, path) || strings.HasPrefix(path, "/assets/"):
		case path == "/" || strings.HasSuffix(path, ".html"):
			http.Redirect(w, r, signInPage, http.StatusSeeOther)
			return
		default:
			problem(w, http.StatusForbidden, "This server has not been set up yet: open the link that it printed when it started.")
			return
		}
		next.ServeHTTP(w, r)
	})
}

func describes(path string) bool {
	return strings.HasPrefix(path, "/openapi") || strings.HasPrefix(path, "/schemas")
}

// problem writes an error as the API does (RFC 9457).
func problem(w http.ResponseWriter, status int, words string) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(status)
	_, _ = w.Write([]byte(`{"title":` + strconv.Quote(http.StatusText(status)) + `,"status":` + strconv.Itoa(status) + `,"detail":` + strconv.Quote(words) + `}`))
}
