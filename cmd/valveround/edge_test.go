package main

import (
	"crypto/tls"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/natslog"
	"valveround/services/console"
	"valveround/services/demo"
	"valveround/services/signin"
)

// Headers of every answer: the OWASP cheat sheets "HTTP Security Response Headers", "Content Security Policy" and "HTTP
// Strict Transport Security".
func TestHeadersOfEveryAnswer(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.signIn("ann")
	for _, path := range []string{"/", "/crew.html", "/sign-in.html", "/api/office", "/api/nothing", "/api/trust/authority.crt", "/api/log/backup", "/openapi.json", "/assets/nothing.js"} {
		response, _ := g.ask("GET", path, admin, nil)
		h := response.Header
		for name, want := range map[string]string{
			"X-Content-Type-Options":       "nosniff",
			"X-Frame-Options":              "DENY",
			"Referrer-Policy":              "no-referrer",
			"Cross-Origin-Opener-Policy":   "same-origin",
			"Cross-Origin-Resource-Policy": "same-origin",
			"Cross-Origin-Embedder-Policy": "require-corp",
			"Server":                       "",
			"X-Powered-By":                 "",
			"Access-Control-Allow-Origin":  "",
		} {
			if got := h.Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
		policy := map[string]string{}
		for _, part := range strings.Split(h.Get("Content-Security-Policy"), ";") {
			name, value, _ := strings.Cut(strings.TrimSpace(part), " ")
			policy[name] = value
		}
		for name, want := range map[string]string{"default-src": "'none'", "script-src": "'self'", "style-src": "'self'", "object-src": "'none'", "base-uri": "'none'",
			"frame-ancestors": "'none'", "form-action": "'self'", "connect-src": "'self'"} {
			if policy[name] != want {
				t.Errorf("%s: %s is %q, want %q", path, name, policy[name], want)
			}
		}
		if all := h.Get("Content-Security-Policy"); strings.Contains(all, "unsafe") || strings.Contains(all, "*") || strings.Contains(all, "http") {
			t.Errorf("%s: %s", path, all)
		}
		if strings.HasPrefix(path, "/api/") && h.Get("Cache-Control") != "no-store" {
			t.Errorf("%s may be cached: %q", path, h.Get("Cache-Control"))
		}
		// A loopback name is shared with every other server of the machine, so it is not bound to TLS.
		if h.Get("Strict-Transport-Security") != "" {
			t.Errorf("%s: HSTS on a loopback name", path)
		}
		response, _ = g.ask("GET", path, admin, nil, func(r *http.Request) { r.Host = "office.example.com" })
		if got := response.Header.Get("Strict-Transport-Security"); got != "max-age=31536000" {
			t.Errorf("%s under its own name: HSTS %q", path, got)
		}
	}
}

// Cookies: the OWASP cheat sheet "Session Management", "Cookies".
func TestCookies(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.must(http.StatusOK, "POST", "/api/sign-in", "", console.SignInRequest{Login: "ann", Password: password}, nil)
	office := g.signIn("ann")
	var code console.CodeView
	g.must(http.StatusOK, "POST", "/api/phones/codes", office, console.CodeRequest{Person: "p-0002", Crew: "c-01"}, &code)
	phone := g.must(http.StatusOK, "POST", "/api/phones/enrol", "", console.EnrolRequest{Code: code.Code}, nil)
	for name, response := range map[string]*http.Response{"__Host-session": admin, "__Host-phone": phone} {
		line := response.Header.Get("Set-Cookie")
		c := response.Cookies()[0]
		if c.Name != name || !c.Secure || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" || c.Domain != "" || len(c.Value) < 43 {
			t.Errorf("%s", line)
		}
		if lasts := c.MaxAge; (name == "__Host-session") != (lasts == 0) {
			t.Errorf("%s lasts %d s", name, lasts)
		}
	}
	// A new session at each sign-in, whatever the browser sent: no session can be planted.
	again := g.must(http.StatusOK, "POST", "/api/sign-in", office, console.SignInRequest{Login: "ann", Password: password}, nil)
	if cookieOf(t, again) == office {
		t.Error("the session stays the same over a sign-in")
	}
	out := g.must(http.StatusOK, "POST", "/api/sign-out", office, nil, nil)
	if c := out.Cookies()[0]; c.MaxAge != -1 || c.Value != "" {
		t.Errorf("signing out leaves %v", c)
	}
	if response, _ := g.ask("GET", "/api/office", office, nil); response.StatusCode != http.StatusUnauthorized {
		t.Errorf("after signing out: %d", response.StatusCode)
	}
}

// Requests that another site's page could make: the OWASP cheat sheet "Cross-Site Request Forgery Prevention", "Employing
// Custom Request Headers for AJAX/API" and "Fetch Metadata headers".
func TestOtherSitesChangeNothing(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.signIn("ann")
	for _, c := range []struct {
		name   string
		change func(r *http.Request)
		want   int
	}{
		{"our own page", func(*http.Request) {}, 200},
		{"our own page, by its origin", func(r *http.Request) { r.Header.Set("Origin", "https://"+g.program.address()) }, 200},
		{"no header of ours", func(r *http.Request) { r.Header.Del("X-Valveround") }, 403},
		{"another origin", func(r *http.Request) { r.Header.Set("Origin", "https://elsewhere.example.net") }, 403},
		{"another port of this machine", func(r *http.Request) { r.Header.Set("Origin", "https://127.0.0.1:1") }, 403},
		{"the browser says cross-site", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		{"the browser says same-site", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		{"a sandboxed frame", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		{"a form", func(r *http.Request) {
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Del("X-Valveround")
		}, 403},
		{"another name that leads here", func(r *http.Request) { r.Host = "rebound.example.net" }, 421},
	} {
		for _, path := range []string{"/api/sign-out", "/api/days/2026-05-13/plan", "/api/phones/codes"} {
			body := any(map[string]any{})
			if path == "/api/phones/codes" {
				body = console.CodeRequest{Person: "p-0002", Crew: "c-01"}
			}
			if path == "/api/sign-out" && c.want == 200 {
				continue // it would end the session
			}
			response, text := g.ask("POST", path, admin, body, c.change)
			refused := response.StatusCode == http.StatusForbidden || response.StatusCode == http.StatusMisdirectedRequest
			if c.want == 200 && refused || c.want != 200 && response.StatusCode != c.want {
				t.Errorf("%s, %s: %d, want %d: %s", c.name, path, response.StatusCode, c.want, text)
			}
		}
	}
}

// TLS: at least 1.2 (OWASP "Transport Layer Security"), and plain HTTP gets nothing.
func TestOnlyTLS(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	_, port, _ := net.SplitHostPort(g.program.address())
	response, err := http.Get("http://127.0.0.1:" + port + "/api/sign-in")
	if err == nil {
		text, _ := io.ReadAll(response.Body)
		_ = response.Body.Close()
		if response.StatusCode != http.StatusBadRequest {
			t.Errorf("plain HTTP: %d %s", response.StatusCode, text)
		}
	}
	old := g.client.Transport.(*http.Transport).TLSClientConfig.Clone()
	old.MaxVersion = tls.VersionTLS11
	if c, err := tls.Dial("tcp", g.program.address(), old); err == nil {
		_ = c.Close()
		t.Error("TLS 1.1 is taken")
	}
}

// Sizes: the little forms of the door take little, from anyone; nothing takes more than the largest list.
func TestSizesAreLimited(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.signIn("ann")
	long := strings.Repeat("x", 1<<20)
	for _, c := range []struct {
		path, cookie string
		body         any
	}{
		{"/api/sign-in", "", console.SignInRequest{Login: "ann", Password: long}},
		{"/api/set-up", "", console.SetUpRequest{Token: long}},
		{"/api/welcome", "", console.WelcomeRequest{Token: long}},
		{"/api/phones/enrol", "", console.EnrolRequest{Code: long}},
		{"/api/password", admin, console.PasswordRequest{Old: long}},
		{"/api/accounts", admin, console.AccountRequest{Name: long + long}},
		{"/api/desk", admin, map[string]any{"kind": long + long}},
	} {
		if response, text := g.ask("POST", c.path, c.cookie, c.body); response.StatusCode != http.StatusRequestEntityTooLarge {
			t.Errorf("%s: %d %.200s", c.path, response.StatusCode, text)
		}
	}
}

// Rates: strangers are slowed down by their address, whoever is known by who they are and not by a neighbour's haste.
func TestRatesAreLimited(t *testing.T) {
	g := openGuardedAt(t, console.Rates{Strangers: signin.Limit{Burst: 30, Every: time.Hour}, Known: signin.Limit{Burst: 12, Every: time.Hour}})
	g.setUp()
	admin := g.signIn("ann")
	other := g.signIn("ann")
	slowed := 0
	for range 15 {
		response, _ := g.ask("GET", "/api/left-off", admin, nil)
		if response.StatusCode == http.StatusTooManyRequests {
			slowed++
			if response.Header.Get("Retry-After") == "" {
				t.Error("it is not said when to try again")
			}
		}
	}
	if slowed != 3 {
		t.Errorf("%d of 15 were slowed down, want 3", slowed)
	}
	if response, _ := g.ask("GET", "/api/left-off", other, nil); response.StatusCode != http.StatusOK {
		t.Errorf("another session: %d", response.StatusCode)
	}
	for range 40 {
		g.ask("GET", "/api/left-off", "", nil)
	}
	if response, _ := g.ask("GET", "/api/sign-in", "", nil); response.StatusCode != http.StatusTooManyRequests {
		t.Errorf("a stranger's 41st: %d", response.StatusCode)
	}
	if response, _ := g.ask("GET", "/sign-in.html", "", nil); response.StatusCode == http.StatusTooManyRequests {
		t.Error("the page itself is slowed down")
	}
}

// A tech's phone reads and records for its own crew and for no other; the history names the person, whatever was claimed.
func TestAPhoneIsItsCrewsAlone(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.signIn("ann")
	book := g.program.keeper.Book()
	tech := string(book.Crews["c-01"].People[0])
	phone := g.phone(admin, tech, "c-01")
	g.must(http.StatusOK, "GET", "/api/crews/c-01/days/2026-05-12", phone, nil, nil)
	var site string
	for id := range book.Sites {
		site = max(site, string(id))
	}
	arrive := func(crew, actor string) map[string]any {
		return map[string]any{"command_id": g.id(), "kind": "arrive", "crew": crew, "day": "2026-05-12", "site": site, "actor": actor, "happened": "2026-05-12T15:00:00-05:00"}
	}
	g.must(http.StatusForbidden, "GET", "/api/crews/c-02/days/2026-05-12", phone, nil, nil)
	g.must(http.StatusForbidden, "POST", "/api/field", phone, arrive("c-02", tech), nil)
	before := g.program.keeper.Position()
	g.must(http.StatusOK, "POST", "/api/field", phone, arrive("c-01", string(book.Crews["c-02"].People[0])), nil)
	history, err := g.program.store.History(t.Context(), events.Entity{Office: book.Sites[events.SiteID(site)].Office, Kind: events.KindSite, ID: site})
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, r := range history {
		if r.Seq > before {
			found = true
			if string(r.Actor) != tech {
				t.Errorf("%s was done by %s, the phone is %s's", r.Name, r.Actor, tech)
			}
		}
	}
	if !found {
		t.Error("nothing was recorded")
	}
}

// What an administrator and a dispatcher did is theirs in the histories.
func TestTheHistoryNamesWhoDidIt(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.signIn("ann")
	id, dispatcher := g.person(admin, "dora", events.RoleDispatcher)
	before := g.program.keeper.Position()
	g.must(http.StatusAccepted, "POST", "/api/days/2026-05-13/plan", dispatcher, map[string]any{}, nil)
	var day struct{ Status, Digest string }
	for day.Status != "proposed" {
		time.Sleep(50 * time.Millisecond)
		g.must(http.StatusOK, "GET", "/api/days/2026-05-13", dispatcher, nil, &day)
	}
	g.must(http.StatusOK, "POST", "/api/days/2026-05-13/send-out", dispatcher, map[string]any{"command_id": g.id(), "digest": day.Digest}, nil)
	records, err := g.program.store.History(t.Context(), events.Entity{Office: demo.Office, Kind: events.KindDay, ID: "2026-05-13"})
	if err != nil {
		t.Fatal(err)
	}
	sent := 0
	for _, r := range records {
		if r.Seq > before {
			sent++
			if string(r.Actor) != id {
				t.Errorf("%s was done by %q, and %s signed in", r.Name, r.Actor, id)
			}
		}
	}
	if sent == 0 {
		t.Error("nothing was recorded of the day")
	}
	// A role that is taken away counts no more at once.
	g.must(http.StatusOK, "PUT", "/api/accounts/"+id+"/roles", admin, console.RolesRequest{CommandID: g.id(), Roles: []events.Role{events.RoleManager}, Why: "moved on"}, nil)
	g.must(http.StatusForbidden, "POST", "/api/days/2026-05-13/take-back", dispatcher, map[string]any{"command_id": g.id(), "why": "x"}, nil)
	g.must(http.StatusOK, "GET", "/api/backlog", dispatcher, nil, nil)
}

// What must not be started.
func TestEdgeRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		cmd  serveCommand
		want string
	}{
		{"beyond this machine without sign-in", serveCommand{Demo: true, Listen: "0.0.0.0"}, "needs sign-in"},
		{"a name as address", serveCommand{Demo: true, Listen: "office"}, "want an address"},
		{"a certificate without a key", serveCommand{Demo: true, SignIn: true, TLSCert: "x"}, "go together"},
	} {
		if _, err := openEdge(c.cmd); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A backup of a running server by an administrator, over TLS, from the command line; after a restore the same people are on
// record and nobody has a password.
func TestBackupOfAServerWithSignIn(t *testing.T) {
	g := openGuarded(t)
	g.setUp()
	admin := g.signIn("ann")
	g.person(admin, "max", events.RoleManager)
	dir := t.TempDir()
	secret, wrong := filepath.Join(dir, "password"), filepath.Join(dir, "wrong")
	for file, text := range map[string]string{secret: password + "\n", wrong: "not the password at all"} {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pem := filepath.Join(g.program.config.Dir, authorityFolder, "authority.pem")
	address := "https://" + g.program.address()
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"an authority that is not trusted", []string{"--as", "ann", "--password-file", secret}, "name its authority with --authority"},
		{"nobody", []string{"--authority", pem}, "Sign in first"},
		{"a wrong password", []string{"--authority", pem, "--as", "ann", "--password-file", wrong}, "not right"},
		{"a manager", []string{"--authority", pem, "--as", "max", "--password-file", secret}, "Your role does not allow this"},
		{"no password", []string{"--authority", pem, "--as", "ann"}, "needs --password-file"},
	} {
		args := append(append([]string{"log", "backup", "--server", address}, c.args...), filepath.Join(dir, "refused.zip"))
		if code, _, said := valveround(t, args...); code != 1 || !strings.Contains(said, c.want) {
			t.Errorf("%s: %d %s", c.name, code, said)
		}
	}
	if _, _, said := valveround(t, "log", "backup", "--server", "http://"+g.program.address(), "--as", "ann", "--password-file", secret, filepath.Join(dir, "x.zip")); !strings.Contains(said, "https") {
		t.Errorf("a password over plain HTTP: %s", said)
	}
	file := filepath.Join(dir, "backup.zip")
	if _, said, errOut := valveround(t, "log", "backup", "--server", address, "--authority", pem, "--as", "ann", "--password-file", secret, file); !strings.Contains(said, "phones' keys are not in it") {
		t.Fatalf("%s %s", said, errOut)
	}
	if sessions := g.program.door.Sessions(signin.Who{}, ""); len(sessions) != 2 {
		t.Errorf("%d sessions go on, want those of Ann and Max", len(sessions))
	}
	copied := filepath.Join(dir, "copy")
	if code, _, errOut := valveround(t, "log", "restore", file, copied); code != 0 {
		t.Fatal(errOut)
	}
	store, err := natslog.Open(t.Context(), natslog.Config{Dir: copied})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = store.Close() }()
	err = store.SignIn().All(t.Context(), func(key string, _ []byte) error { return fmt.Errorf("the restored store holds %s", key) })
	if err != nil {
		t.Error(err)
	}
}
