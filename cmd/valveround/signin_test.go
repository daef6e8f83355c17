package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest"

	"valveround/events"
	"valveround/services/console"
	"valveround/services/signin"
)

// guarded is the program as in earnest: people sign in, over TLS, under its own authority, which the client trusts.
type guarded struct {
	t       *testing.T
	program *program
	client  *http.Client
	ids     int
}

const password = "four plain words suffice"

func openGuarded(t *testing.T) *guarded {
	t.Helper()
	return openGuardedAt(t, console.Rates{Strangers: signin.Limit{Burst: 1e6, Every: 1}, Known: signin.Limit{Burst: 1e6, Every: 1}})
}

func openGuardedAt(t *testing.T, rates console.Rates) *guarded {
	t.Helper()
	now := time.Date(2026, 5, 12, 15, 0, 0, 0, chicago)
	p := &program{config: serveCommand{Dir: t.TempDir(), Demo: true, SignIn: true, Crews: 3, Sites: 12, Seed: 1, Iterations: 300, Host: []string{"office.example.com"}},
		log: zaptest.NewLogger(t, zaptest.Level(zap.WarnLevel)), now: func() time.Time { return now },
		rates: rates}
	ctx, cancel := context.WithCancel(context.Background())
	if err := p.open(ctx); err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	go func() { served <- p.serve(ctx) }()
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(p.edge.authority.PEM())
	g := &guarded{t: t, program: p, client: &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}, ForceAttemptHTTP2: true},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	t.Cleanup(func() {
		g.client.CloseIdleConnections()
		cancel()
		if err := <-served; err != nil {
			t.Error(err)
		}
		if err := p.close(); err != nil {
			t.Error(err)
		}
	})
	return g
}

func (g *guarded) id() string {
	g.ids++
	return fmt.Sprintf("%08x%024x", 0xdef000+g.ids, g.ids) // ids of new things are cut from its head
}

// ask sends a request with a cookie, as our pages do.
func (g *guarded) ask(method, path, cookie string, body any, change ...func(*http.Request)) (*http.Response, []byte) {
	g.t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		g.t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(g.t.Context(), method, "https://"+g.program.address()+path, bytes.NewReader(text))
	if err != nil {
		g.t.Fatal(err)
	}
	r.Header.Set("X-Valveround", "1")
	r.Header.Set("Content-Type", "application/json")
	if cookie != "" {
		r.Header.Set("Cookie", cookie)
	}
	for _, c := range change {
		c(r)
	}
	response, err := g.client.Do(r)
	if err != nil {
		g.t.Fatal(err)
	}
	defer response.Body.Close()
	if path == "/api/live" && response.StatusCode == http.StatusOK {
		return response, nil // it has no end
	}
	answer, err := io.ReadAll(response.Body)
	if err != nil {
		g.t.Fatal(err)
	}
	return response, answer
}

// must is ask where another status fails the test.
func (g *guarded) must(status int, method, path, cookie string, body, answer any) *http.Response {
	g.t.Helper()
	response, text := g.ask(method, path, cookie, body)
	if response.StatusCode != status {
		g.t.Fatalf("%s %s answered %d, want %d: %s", method, path, response.StatusCode, status, text)
	}
	if answer != nil {
		if err := json.Unmarshal(text, answer); err != nil {
			g.t.Fatalf("%s %s: %v in %s", method, path, err, text)
		}
	}
	return response
}

func cookieOf(t *testing.T, r *http.Response) string {
	t.Helper()
	if len(r.Cookies()) != 1 {
		t.Fatalf("cookies %v", r.Cookies())
	}
	return r.Cookies()[0].Name + "=" + r.Cookies()[0].Value
}

func (g *guarded) setUp() {
	g.t.Helper()
	g.must(http.StatusOK, "POST", "/api/set-up", "", console.SetUpRequest{Token: g.program.door.SetUpToken(), Name: "Ann Fielding", Login: "ann", Password: password}, nil)
}

func (g *guarded) signIn(login string) string {
	g.t.Helper()
	return cookieOf(g.t, g.must(http.StatusOK, "POST", "/api/sign-in", "", console.SignInRequest{Login: login, Password: password}, nil))
}

// person opens an account with roles, for somebody new, and signs in.
func (g *guarded) person(administrator, login string, roles ...events.Role) (id, cookie string) {
	g.t.Helper()
	var invite console.InviteView
	g.must(http.StatusOK, "POST", "/api/accounts", administrator, console.AccountRequest{CommandID: g.id(), Name: "Person " + login, Login: login, Roles: roles}, &invite)
	_, token, _ := strings.Cut(invite.Path, "#/welcome/")
	g.must(http.StatusOK, "POST", "/api/welcome", "", console.WelcomeRequest{Token: token, Password: password}, nil)
	return invite.Person, g.signIn(login)
}

// phone enrols a phone for a person on a crew.
func (g *guarded) phone(cookie, person, crew string) string {
	g.t.Helper()
	var code console.CodeView
	g.must(http.StatusOK, "POST", "/api/phones/codes", cookie, console.CodeRequest{Person: person, Crew: crew}, &code)
	return cookieOf(g.t, g.must(http.StatusOK, "POST", "/api/phones/enrol", "", console.EnrolRequest{Code: code.Code, Name: "test phone"}, nil))
}

// described is the served description, as far as this test reads it.
type described struct {
	Paths map[string]map[string]struct {
		Security []map[string][]string `json:"security"`
	} `json:"paths"`
}

// TestEveryRouteForEveryRole walks the description that the server itself serves: every route is asked as nobody, as each role,
// with a revoked phone, an ended session and the session of a closed account. A route without roles fails, and so does one
// that answers who it should not, or refuses who it should not.
func TestEveryRouteForEveryRole(t *testing.T) {
	g := openGuarded(t)

	// Before it is set up, nothing but the set-up page and what it needs answers.
	for _, path := range []string{"/openapi.json", "/openapi.yaml", "/openapi-3.0.json", "/schemas/Receipt.json", "/crew.html", "/", "/api/office", "/api/field", "/api/log/backup", "/favicon.ico"} {
		if response, _ := g.ask("GET", path, "", nil); response.StatusCode == http.StatusOK {
			t.Errorf("before set-up, %s answered", path)
		}
	}
	g.setUp()
	admin := g.signIn("ann")
	if response, _ := g.ask("GET", "/openapi.json", "", nil); response.StatusCode != http.StatusUnauthorized {
		t.Errorf("the description was shown to nobody in particular: %d", response.StatusCode)
	}

	var api described
	g.must(http.StatusOK, "GET", "/openapi.json", admin, nil, &api)
	type as struct {
		name   string
		cookie string
		roles  []events.Role
		known  bool
	}
	visitors := []as{{name: "nobody"}, {name: "a made-up session", cookie: "__Host-session=" + strings.Repeat("A", 43)}, {name: "a session under a plain name", cookie: strings.TrimPrefix(admin, "__Host-")}}
	for _, role := range events.Roles() {
		_, cookie := g.person(admin, string(role), role)
		visitors = append(visitors, as{string(role), cookie, []events.Role{role}, true})
	}
	_, none := g.person(admin, "without", nil...)
	visitors = append(visitors, as{"somebody without a role", none, nil, true})
	crew := g.program.keeper.Book().Crews["c-01"]
	visitors = append(visitors, as{"a phone", g.phone(admin, string(crew.People[0]), "c-01"), []events.Role{events.RoleTech}, true})

	lost := g.phone(admin, string(crew.People[0]), "c-01")
	var phones []console.PhoneView
	g.must(http.StatusOK, "GET", "/api/phones", admin, nil, &phones)
	for _, p := range phones {
		if w, ok := g.program.door.Phone(t.Context(), strings.TrimPrefix(lost, "__Host-phone=")); ok && w.Phone == p.ID {
			g.must(http.StatusOK, "POST", "/api/phones/"+p.ID+"/revoke", admin, console.CloseRequest{CommandID: g.id(), Why: "lost"}, nil)
		}
	}
	visitors = append(visitors, as{name: "a revoked phone", cookie: lost})
	_, out := g.person(admin, "out", events.Roles()...)
	g.must(http.StatusOK, "POST", "/api/sign-out", out, nil, nil)
	visitors = append(visitors, as{name: "an ended session", cookie: out})
	id, shut := g.person(admin, "shut", events.Roles()...)
	g.must(http.StatusOK, "POST", "/api/accounts/"+id+"/close", admin, console.CloseRequest{CommandID: g.id(), Why: "left"}, nil)
	visitors = append(visitors, as{name: "the session of a closed account", cookie: shut})

	asked := 0
	for path, methods := range api.Paths {
		for method, op := range methods {
			if len(op.Security) == 0 {
				t.Errorf("%s %s says not who may use it", method, path)
				continue
			}
			open := slices.ContainsFunc(op.Security, func(one map[string][]string) bool { return len(one) == 0 })
			if open != slices.Contains(openRoutes, method+" "+path) {
				t.Errorf("%s %s: open to anyone is %v: openRoutes in this test says otherwise", method, path, open)
			}
			for _, v := range visitors {
				if open && v.name != "nobody" || strings.HasPrefix(path, "/api/sign-out") {
					continue
				}
				allowed := open
				for _, one := range op.Security {
					for _, need := range one["signed-in"] {
						allowed = allowed || slices.Contains(v.roles, events.Role(need))
					}
				}
				asked++
				real := filled.Replace(path)
				response, text := g.ask(strings.ToUpper(method), real, v.cookie, map[string]any{})
				status := response.StatusCode
				switch {
				case allowed && !open && (status == http.StatusUnauthorized || status == http.StatusForbidden && !ownCrewOnly[path]):
					t.Errorf("%s %s as %s: %d, and it is allowed: %s", method, path, v.name, status, text)
				case !allowed && !v.known && status != http.StatusUnauthorized:
					t.Errorf("%s %s as %s: %d, want 401: %s", method, path, v.name, status, text)
				case !allowed && v.known && status != http.StatusForbidden:
					t.Errorf("%s %s as %s: %d, want 403: %s", method, path, v.name, status, text)
				case status >= 500:
					t.Errorf("%s %s as %s: %d: %s", method, path, v.name, status, text)
				}
			}
		}
	}
	if asked < 500 {
		t.Errorf("only %d combinations were asked", asked)
	}
	t.Logf("%d combinations of route and visitor", asked)
}

// openRoutes are those that answer anyone. Whoever adds one says so here as well.
var openRoutes = []string{"get /api/sign-in", "post /api/sign-in", "post /api/sign-out", "post /api/set-up", "post /api/welcome", "post /api/phones/enrol",
	"get /api/trust", "get /api/trust/authority.pem", "get /api/trust/authority.crt"}

// ownCrewOnly are routes that a tech may use for the own crew only: without one they refuse.
var ownCrewOnly = map[string]bool{"/api/field": true, "/api/crews/{crew}/days/{date}": true}

var filled = strings.NewReplacer("{date}", "2026-05-13", "{crew}", "c-01", "{hash}", strings.Repeat("0", 64), "{job}", "nothing", "{person}", "nobody", "{id}", "nothing")
