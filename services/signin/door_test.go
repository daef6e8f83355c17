package signin

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
)

const password = "four plain words suffice"

// house is a door on a real log, with a clock that the test sets.
type house struct {
	*Door
	t     *testing.T
	log   *natslog.Store
	now   time.Time
	names map[events.PersonID]string
}

func openHouse(t *testing.T) *house {
	t.Helper()
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir(), Logger: zaptest.NewLogger(t, zaptest.Level(zap.ErrorLevel))})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	h := &house{t: t, log: log, now: time.Date(2026, 5, 12, 15, 0, 0, 0, time.UTC), names: map[events.PersonID]string{}}
	h.Door = h.open(Params{MemoryKiB: 64, Passes: 1, Lanes: 1})
	return h
}

// open is the door after a start of the program.
func (h *house) open(p Params) *Door {
	h.t.Helper()
	now := func() time.Time { return h.now }
	k, err := keeper.Open(h.t.Context(), keeper.Config{Log: h.log, Now: now})
	if err != nil {
		h.t.Fatal(err)
	}
	h.t.Cleanup(func() { _ = k.Close() })
	d, err := Open(h.t.Context(), Config{Office: "north", Store: h.log.SignIn(), Keeper: k, Now: now, Params: p,
		Name: func(_ context.Context, id events.PersonID, name string) error { h.names[id] = name; return nil }})
	if err != nil {
		h.t.Fatal(err)
	}
	return d
}

func (h *house) setUp() string {
	h.t.Helper()
	h.must(h.SetUp(h.t.Context(), "10.0.0.1", h.SetUpToken(), NewPerson{"Ann Fielding", "ann", password}))
	return h.enter("ann")
}

func (h *house) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

func (h *house) enter(login string) string {
	h.t.Helper()
	token, err := h.SignIn(h.t.Context(), "10.0.0.1", login, password, "a browser")
	h.must(err)
	return token
}

func (h *house) do(do any) {
	h.t.Helper()
	_, err := h.cfg.Keeper.Do(h.t.Context(), h.command("p-test", do))
	h.must(err)
}

// person opens an account with a password for somebody.
func (h *house) person(id events.PersonID, login string, roles ...events.Role) {
	h.t.Helper()
	h.do(events.Put[events.PersonFacts]{ID: string(id)})
	h.do(events.OpenAccount{Person: id, Login: login, Roles: roles})
	token, _, err := h.Invite(h.t.Context(), id)
	h.must(err)
	h.must(h.Welcome(h.t.Context(), "10.0.0.9", token, password))
}

func (h *house) later(d time.Duration) { h.now = h.now.Add(d) }

func TestSetUpOnce(t *testing.T) {
	h := openHouse(t)
	if !h.NeedsSetUp() {
		t.Fatal("a new office says that it is set up")
	}
	ctx := t.Context()
	if err := h.SetUp(ctx, "10.0.0.1", token(), NewPerson{"Eve", "eve", password}); !errors.Is(err, ErrNotOpen) {
		t.Errorf("another link: %v", err)
	}
	if err := h.SetUp(ctx, "10.0.0.1", h.SetUpToken(), NewPerson{"Ann", "ann", "short"}); err == nil || !h.NeedsSetUp() {
		t.Errorf("a short password: %v", err)
	}
	who, ok := h.Session(ctx, h.setUp())
	if !ok || h.names[who.Person] != "Ann Fielding" || fmt.Sprint(who.Roles) != "[dispatcher administrator]" {
		t.Errorf("%+v %v", who, ok)
	}
	if err := h.SetUp(ctx, "10.0.0.1", h.SetUpToken(), NewPerson{"Eve", "eve", password}); !errors.Is(err, ErrNotOpen) || h.NeedsSetUp() {
		t.Errorf("the link works twice: %v", err)
	}
}

// After a restore the log knows the people and nobody has a password: the same name is the same person.
func TestSetUpAfterARestore(t *testing.T) {
	h := openHouse(t)
	before, _ := h.Session(t.Context(), h.setUp())
	h.do(events.SetRoles{Person: before.Person, Roles: []events.Role{events.RoleManager, events.RoleAdministrator}})
	h.must(h.log.SignIn().All(t.Context(), func(key string, _ []byte) error { return h.log.SignIn().Forget(t.Context(), key) }))
	h.Door = h.open(h.cfg.Params)
	if !h.NeedsSetUp() {
		t.Fatal("without a password it says that it is set up")
	}
	after, _ := h.Session(t.Context(), h.setUp())
	if after.Person != before.Person || fmt.Sprint(after.Roles) != "[dispatcher manager administrator]" {
		t.Errorf("%+v, before %+v", after, before)
	}
}

// OWASP "Authentication", "Authentication and Error Messages": the same answer whatever was wrong.
func TestTheSameAnswerWhateverIsWrong(t *testing.T) {
	h := openHouse(t)
	h.setUp()
	h.person("p-shut", "shut", events.RoleManager)
	h.do(events.CloseAccount{Person: "p-shut"})
	h.do(events.Put[events.PersonFacts]{ID: "p-new"})
	h.do(events.OpenAccount{Person: "p-new", Login: "invited"})
	for _, c := range []struct{ name, login, password string }{
		{"wrong password", "ann", "five plain words do not"},
		{"not known", "bob", password},
		{"account closed", "shut", password},
		{"no password chosen yet", "invited", password},
		{"nothing typed", "", ""},
		{"a very long password", "ann", strings.Repeat("long ", 10_000)},
	} {
		if _, err := h.SignIn(t.Context(), "10.0.0.2", c.login, c.password, ""); !errors.Is(err, ErrWrong) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// NIST SP 800-63B-4, section 3.2.2: tries are limited, and no more than 100 in a row fail. Another address is not held up by
// somebody else's tries.
func TestTriesAreLimited(t *testing.T) {
	h := openHouse(t)
	h.setUp()
	ctx := t.Context()
	h.later(time.Hour)
	var wait *WaitError
	for i := range 7 {
		_, err := h.SignIn(ctx, "10.0.0.2", "ann", "wrong", "")
		if limited := errors.As(err, &wait); limited != (i >= 5) {
			t.Fatalf("try %d: %v", i+1, err)
		}
	}
	if _, err := h.SignIn(ctx, "10.0.0.2", "ANN ", password, ""); !errors.Is(err, ErrBusy) {
		t.Errorf("the name written otherwise is another count: %v", err)
	}
	h.enter("ann") // from elsewhere
	h.later(wait.Wait)
	if _, err := h.SignIn(ctx, "10.0.0.2", "ann", password, ""); err != nil {
		t.Errorf("after waiting: %v", err)
	}

	for range mostFailure {
		h.later(2 * time.Minute)
		if _, err := h.SignIn(ctx, "10.0.0.2", "ann", "wrong", ""); !errors.Is(err, ErrWrong) {
			t.Fatal(err)
		}
	}
	h.later(time.Hour)
	if _, err := h.SignIn(ctx, "10.0.0.2", "ann", password, ""); !errors.Is(err, ErrWrong) {
		t.Errorf("after %d failures in a row: %v", mostFailure, err)
	}
	ann := h.named("ann")
	if !h.StateOf(ann).Held {
		t.Error("it is not said that the account waits")
	}
	link, _, err := h.Invite(ctx, ann)
	h.must(err)
	h.must(h.Welcome(ctx, "10.0.0.3", link, password))
	h.enter("ann")
}

// OWASP "Session Management": idle and absolute timeout, and a session ends for good.
func TestSessionsEnd(t *testing.T) {
	in := func(h *house, token string) bool { _, ok := h.Session(h.t.Context(), token); return ok }
	for _, c := range []struct {
		name string
		how  func(h *house, token string)
	}{
		{"unused for four hours", func(h *house, _ string) { h.later(4*time.Hour + time.Second) }},
		{"used, and older than sixteen hours", func(h *house, token string) {
			for range 17 {
				h.later(time.Hour)
				in(h, token)
			}
		}},
		{"signed out", func(h *house, token string) { h.must(h.SignOut(h.t.Context(), token)) }},
		{"ended from a list", func(h *house, token string) {
			w, _ := h.Session(h.t.Context(), token)
			h.must(h.EndSession(h.t.Context(), w.Session, w.Person))
		}},
		{"a new password by a link", func(h *house, token string) {
			w, _ := h.Session(h.t.Context(), token)
			link, _, err := h.Invite(h.t.Context(), w.Person)
			h.must(err)
			h.must(h.Welcome(h.t.Context(), "10.0.0.3", link, "other plain words suffice"))
		}},
		{"the account closed", func(h *house, token string) {
			w, _ := h.Session(h.t.Context(), token)
			h.person("p-2", "second", events.RoleAdministrator)
			h.do(events.CloseAccount{Person: w.Person})
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			token := h.setUp()
			h.later(3 * time.Hour)
			if !in(h, token) {
				t.Fatal("it ended too early")
			}
			h.Door = h.open(h.cfg.Params) // a start in between ends nothing
			if !in(h, token) {
				t.Fatal("a new start ended it")
			}
			c.how(h, token)
			if in(h, token) {
				t.Error("it goes on")
			}
			h.Door = h.open(h.cfg.Params)
			if in(h, token) {
				t.Error("it goes on after a new start")
			}
		})
	}
}

func TestChangingThePasswordEndsTheOtherSessions(t *testing.T) {
	h := openHouse(t)
	mine, other := h.setUp(), h.enter("ann")
	w, _ := h.Session(t.Context(), mine)
	if err := h.ChangePassword(t.Context(), "10.0.0.1", w, "not this one at all", "other plain words suffice"); err == nil {
		t.Error("taken without the old one")
	}
	h.must(h.ChangePassword(t.Context(), "10.0.0.1", w, password, "other plain words suffice"))
	if _, ok := h.Session(t.Context(), mine); !ok {
		t.Error("the session that asked has ended")
	}
	if _, ok := h.Session(t.Context(), other); ok {
		t.Error("another goes on")
	}
}

// A link works once and not for long, and only the newest.
func TestInvitations(t *testing.T) {
	h := openHouse(t)
	h.setUp()
	h.do(events.Put[events.PersonFacts]{ID: "p-2"})
	h.do(events.OpenAccount{Person: "p-2", Login: "bea", Roles: []events.Role{events.RoleManager}})
	ctx := t.Context()
	link := func() string { l, _, err := h.Invite(ctx, "p-2"); h.must(err); return l }
	use := func(l string) error { return h.Welcome(ctx, "10.0.0.3", l, password) }
	old := link()
	fresh := link()
	if err := use(old); !errors.Is(err, ErrNotOpen) {
		t.Errorf("the older of two: %v", err)
	}
	h.later(inviteFor)
	if err := use(fresh); !errors.Is(err, ErrNotOpen) {
		t.Errorf("after three days: %v", err)
	}
	fresh = link()
	h.must(use(fresh))
	if err := use(fresh); !errors.Is(err, ErrNotOpen) {
		t.Errorf("twice: %v", err)
	}
	if err := use(""); !errors.Is(err, ErrNotOpen) {
		t.Errorf("nothing: %v", err)
	}
}

// OWASP "Password Storage", "Upgrading Legacy Hashes": hashed anew at the next sign-in once the costs have changed.
func TestHashedAnewWhenTheCostsChange(t *testing.T) {
	h := openHouse(t)
	h.setUp()
	ann := h.named("ann")
	before := h.accounts[ann].Hash
	dearer := Params{MemoryKiB: 128, Passes: 2, Lanes: 2}
	h.Door = h.open(dearer)
	h.enter("ann")
	if s, err := readHash(h.accounts[ann].Hash); err != nil || s.Params != dearer || h.accounts[ann].Hash == before {
		t.Errorf("%v %+v", err, s.Params)
	}
	h.Door = h.open(dearer)
	h.enter("ann")
}

// A phone's code: once, within ten minutes, and void after twenty wrong ones.
func TestPhones(t *testing.T) {
	h := openHouse(t)
	h.setUp()
	ctx := t.Context()
	h.do(events.Put[events.PersonFacts]{ID: "p-tech"})
	for _, crew := range []string{"c-1", "c-2", "c-3"} {
		h.do(events.Put[events.CrewFacts]{ID: crew, Facts: events.CrewFacts{Name: crew, Letter: strings.ToUpper(crew[2:])}})
	}
	code := func(crew events.CrewID) string {
		c, _, err := h.MakeCode("p-desk", "p-tech", crew)
		h.must(err)
		return c
	}
	if _, _, err := h.MakeCode("p-desk", "nobody", "c-1"); err == nil {
		t.Error("a code for nobody")
	}
	one := code("c-1")
	h.later(codeFor)
	if _, err := h.Enrol(ctx, "10.0.0.5", one, "", ""); !errors.Is(err, ErrCode) {
		t.Errorf("after ten minutes: %v", err)
	}
	two := code("c-1")
	key, err := h.Enrol(ctx, "10.0.0.5", strings.ToLower(strings.ReplaceAll(two, "-", " ")), "blue phone", "a browser")
	h.must(err)
	if _, err := h.Enrol(ctx, "10.0.0.5", two, "", ""); !errors.Is(err, ErrCode) {
		t.Errorf("twice: %v", err)
	}
	who, ok := h.Phone(ctx, key)
	if !ok || who.Person != "p-tech" || who.Crew != "c-1" || fmt.Sprint(who.Roles) != "[tech]" || who.Session != "" {
		t.Errorf("%+v %v", who, ok)
	}
	if !h.ActsFor(who, "c-1") || h.ActsFor(who, "c-2") {
		t.Error("it acts for the wrong crew")
	}
	// What was recorded before somebody changed crews still comes in.
	h.do(events.EnrolPhone{Person: "p-tech", PhoneEnrolled: events.PhoneEnrolled{Phone: "phone-new", Office: "north", Crew: "c-2"}})
	if !h.ActsFor(who, "c-1") || !h.ActsFor(who, "c-2") || h.ActsFor(who, "c-3") {
		t.Error("after a change of crews")
	}
	h.Door = h.open(h.cfg.Params)
	if _, ok := h.Phone(ctx, key); !ok {
		t.Error("a new start has forgotten it")
	}
	h.do(events.RevokePhone{Person: "p-tech", PhoneRevoked: events.PhoneRevoked{Phone: who.Phone, Why: "lost"}})
	if _, ok := h.Phone(ctx, key); ok {
		t.Error("revoked, it still acts")
	}

	three := code("c-1")
	key, err = h.Enrol(ctx, "10.0.0.5", three, "", "")
	h.must(err)
	h.later(91 * 24 * time.Hour)
	if _, ok := h.Phone(ctx, key); ok {
		t.Error("unused for 91 days, it still acts")
	}

	four := code("c-1")
	for i := range wrongCodes {
		if _, err := h.Enrol(ctx, fmt.Sprintf("10.1.0.%d", i), "0000-0000", "", ""); !errors.Is(err, ErrCode) {
			t.Fatal(err)
		}
	}
	if _, err := h.Enrol(ctx, "10.0.0.5", four, "", ""); !errors.Is(err, ErrCode) {
		t.Errorf("after %d wrong ones: %v", wrongCodes, err)
	}
}

// Neither the log nor the store apart from it holds anything by which somebody could come in.
func TestNoSecretIsKept(t *testing.T) {
	h := openHouse(t)
	session := h.setUp()
	ctx := t.Context()
	h.do(events.Put[events.CrewFacts]{ID: "c-1", Facts: events.CrewFacts{Name: "Crew 1", Letter: "A"}})
	code, _, err := h.MakeCode("p-desk", h.named("ann"), "c-1")
	h.must(err)
	link, _, err := h.Invite(ctx, h.named("ann"))
	h.must(err)
	key, err := h.Enrol(ctx, "10.0.0.5", code, "", "")
	h.must(err)
	secrets := map[string]string{"password": password, "session": session, "code": code, "code as kept": codeOf(code), "link": link, "phone's key": key, "set-up link": h.SetUpToken()}
	kept := 0
	search := func(where, text string) {
		kept++
		for name, secret := range secrets {
			if strings.Contains(text, secret) {
				t.Errorf("%s holds the %s: %s", where, name, text)
			}
		}
	}
	h.must(h.log.SignIn().All(ctx, func(key string, value []byte) error { search("the store", key+string(value)); return nil }))
	for _, entity := range []events.Entity{{Office: events.Firm, Kind: events.KindPerson, ID: string(h.named("ann"))}, {Office: "north", Kind: events.KindCrew, ID: "c-1"}} {
		records, err := h.log.History(ctx, entity)
		h.must(err)
		for _, r := range records {
			search("the log", r.Name+string(r.Body))
			if strings.Contains(string(r.Body), "argon2") {
				t.Errorf("the log holds a hash: %s", r.Body)
			}
		}
	}
	if kept < 8 {
		t.Errorf("only %d values were searched", kept)
	}
}
