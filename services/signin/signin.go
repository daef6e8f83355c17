package signin

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"slices"
	"time"

	"go.uber.org/zap"

	"valveround/events"
)

// NeedsSetUp reports whether the office has nobody yet who could sign in as administrator. Until then the set-up link is
// the only door.
func (d *Door) NeedsSetUp() bool {
	if d.ready.Load() {
		return false
	}
	b := d.cfg.Keeper.Book()
	d.mu.Lock()
	defer d.mu.Unlock()
	for id, a := range d.accounts {
		if p := b.People[id]; a.Hash != "" && p != nil && p.Access.Open && p.Access.Is(events.RoleAdministrator, d.cfg.Office) {
			d.ready.Store(true) // the log never leaves an office without one
			return false
		}
	}
	return true
}

// SetUpToken is the secret of the set-up link, anew at each start.
func (d *Door) SetUpToken() string { return d.setUp }

// NewPerson is who the first account is made for.
type NewPerson struct{ Name, Login, Password string }

// SetUp makes the first administrator, once.
func (d *Door) SetUp(ctx context.Context, address, token string, n NewPerson) error {
	if err := d.tries(address, ""); err != nil {
		return err
	}
	if !d.NeedsSetUp() || subtle.ConstantTimeCompare([]byte(token), []byte(d.setUp)) != 1 {
		return ErrNotOpen
	}
	n.Login = loginOf(n.Login)
	if n.Name == "" {
		return errors.New("the name is missing")
	}
	if err := errors.Join(CheckLogin(n.Login), CheckPassword(n.Password, n.Login, n.Name, "valveround")); err != nil {
		return err
	}
	hash, err := d.hash(ctx, n.Password)
	if err != nil {
		return err
	}
	id, roles := d.named(n.Login), []events.Role{events.RoleDispatcher, events.RoleAdministrator}
	steps := []any{}
	if id == "" {
		id = events.PersonID("person-" + hashOf(token)[:16]) // the same when it is done again after it broke off
		if err := d.cfg.Name(ctx, id, n.Name); err != nil {
			return err
		}
		steps = append(steps, events.Put[events.PersonFacts]{ID: string(id)})
	} else {
		roles = append(roles, d.roles(d.open(id))...)
	}
	if err := d.change(ctx, id, func(a *account) { a.Login, a.Hash = n.Login, hash }); err != nil {
		return err
	}
	for _, do := range append(steps, events.OpenAccount{Person: id, Login: n.Login, Roles: roles}) {
		if _, err := d.cfg.Keeper.Do(ctx, d.command(id, do)); err != nil {
			return fmt.Errorf("making the first administrator: %w", err)
		}
	}
	return nil
}

// named is the person whose open account has this name. After a backup was restored there are such, without a password:
// whoever has the set-up link and gives that name is that person again.
func (d *Door) named(login string) events.PersonID {
	for id, p := range d.cfg.Keeper.Book().People {
		if p.Access.Open && p.Access.Login == login {
			return id
		}
	}
	return ""
}

// hash hashes a password, not more than a few at once.
func (d *Door) hash(ctx context.Context, password string) (string, error) {
	if err := d.turn(ctx); err != nil {
		return "", err
	}
	defer func() { <-d.hashing }()
	return d.cfg.Params.hash(password), nil
}

func (d *Door) turn(ctx context.Context) error {
	select {
	case d.hashing <- struct{}{}:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// is compares a password with a hash, not more than a few at once.
func (d *Door) is(ctx context.Context, s stored, password string) (bool, error) {
	if err := d.turn(ctx); err != nil {
		return false, err
	}
	defer func() { <-d.hashing }()
	return s.is(password), nil
}

// change changes what is kept of an account, and makes it if there is none.
func (d *Door) change(ctx context.Context, person events.PersonID, how func(*account)) error {
	d.mu.Lock()
	a := d.accounts[person]
	if a == nil {
		a = &account{Person: person}
		d.accounts[person] = a
	}
	how(a)
	kept := *a
	d.mu.Unlock()
	return d.putAccount(ctx, kept)
}

// tries counts a try at a name from an address.
func (d *Door) tries(address, login string) error {
	ok, wait := d.perAddress.Try(address)
	if ok && login != "" {
		if ok, wait = d.perPair.Try(address + " " + login); ok {
			ok, wait = d.perName.Try(login)
		}
	}
	if !ok {
		return &WaitError{wait}
	}
	return nil
}

// SignIn lets a person in who knows the password, and gives the token of a new session. The answer and the work done are
// the same for a wrong password, a name that is not known and an account that is closed or waits for an administrator.
func (d *Door) SignIn(ctx context.Context, address, login, password, agent string) (string, error) {
	login = loginOf(login)
	if err := d.tries(address, login); err != nil {
		return "", err
	}
	if len(password) > 4*MaxPassword {
		password = password[:4*MaxPassword] // bounds the work; no password is that long
	}
	a, known := d.accountOf(login)
	s := d.nobody
	if known {
		var err error
		if s, err = readHash(a.Hash); err != nil {
			s, known = d.nobody, false
		}
	}
	right, err := d.is(ctx, s, password)
	if err != nil {
		return "", err
	}
	open := known && a.Failures < mostFailure && d.open(a.Person) != nil
	if known && !right {
		if err := d.change(ctx, a.Person, func(a *account) { a.Failures++ }); err != nil {
			return "", err
		}
	}
	if !right || !open {
		d.cfg.Logger.Info("a sign-in was refused", zap.String("address", address), zap.Bool("known", known))
		return "", ErrWrong
	}
	anew := ""
	if s.Params != d.cfg.Params {
		if anew, err = d.hash(ctx, password); err != nil {
			return "", err
		}
	}
	old := a.Hash
	err = d.change(ctx, a.Person, func(a *account) {
		a.Failures, a.Seen = 0, d.cfg.Now()
		if anew != "" && a.Hash == old {
			a.Hash = anew
		}
	})
	if err != nil {
		return "", err
	}
	return d.newSession(ctx, a.Person, agent)
}

// accountOf finds the account that may be signed in to under a name.
func (d *Door) accountOf(login string) (account, bool) {
	b := d.cfg.Keeper.Book()
	d.mu.Lock()
	defer d.mu.Unlock()
	for id, a := range d.accounts {
		if p := b.People[id]; a.Hash != "" && p != nil && p.Access.Open && p.Access.Login == login {
			return *a, true
		}
	}
	return account{}, false
}

// open is the person if the account is open, else nil.
func (d *Door) open(id events.PersonID) *events.Person {
	if p := d.cfg.Keeper.Book().People[id]; p != nil && p.Access.Open {
		return p
	}
	return nil
}

func (d *Door) newSession(ctx context.Context, person events.PersonID, agent string) (string, error) {
	secret, now := token(), d.cfg.Now()
	s := session{Person: person, Made: now, Seen: now, Agent: agentOf(agent)}
	if err := d.put(ctx, sessionKey+hashOf(secret), s); err != nil {
		return "", err
	}
	d.mu.Lock()
	d.sessions[hashOf(secret)] = &s
	ended := d.endedSessions(now)
	d.mu.Unlock()
	for _, hash := range ended {
		if err := d.cfg.Store.Forget(ctx, sessionKey+hash); err != nil {
			return "", err
		}
	}
	return secret, nil
}

// endedSessions takes those out of memory that have run out; the lock is held.
func (d *Door) endedSessions(now time.Time) []string {
	var ended []string
	for hash, s := range d.sessions {
		if d.over(s, now) {
			ended = append(ended, hash)
			delete(d.sessions, hash)
		}
	}
	return ended
}

func (d *Door) over(s *session, now time.Time) bool {
	return now.Sub(s.Seen) > d.cfg.SessionIdle || now.Sub(s.Made) > d.cfg.SessionMost
}

// Session says who holds the token of a session; false when there is none, it has run out, or the account was closed.
func (d *Door) Session(ctx context.Context, token string) (Who, bool) {
	hash, now := hashOf(token), d.cfg.Now()
	d.mu.Lock()
	s := d.sessions[hash]
	if s == nil || d.over(s, now) {
		d.mu.Unlock()
		return Who{}, false
	}
	person, note := s.Person, now.Sub(s.Seen) > noteEvery
	if note {
		s.Seen = now
	}
	kept := *s
	d.mu.Unlock()
	p := d.open(person)
	if p == nil {
		return Who{}, false
	}
	if note {
		if err := d.put(ctx, sessionKey+hash, kept); err != nil {
			d.cfg.Logger.Warn("it was not written down that a session was used", zap.Error(err))
		}
	}
	return Who{Person: person, Roles: d.roles(p), Session: public(hash)}, true
}

// SignOut ends the session of a token.
func (d *Door) SignOut(ctx context.Context, token string) error {
	hash := hashOf(token)
	d.mu.Lock()
	delete(d.sessions, hash)
	d.mu.Unlock()
	return d.cfg.Store.Forget(ctx, sessionKey+hash)
}

// endSessions ends the sessions that which names.
func (d *Door) endSessions(ctx context.Context, which func(hash string, s *session) bool) error {
	var ended []string
	d.mu.Lock()
	for hash, s := range d.sessions {
		if which(hash, s) {
			ended = append(ended, hash)
			delete(d.sessions, hash)
		}
	}
	d.mu.Unlock()
	var errs []error
	for _, hash := range ended {
		errs = append(errs, d.cfg.Store.Forget(ctx, sessionKey+hash))
	}
	return errors.Join(errs...)
}

// ChangePassword sets another password of the one who is signed in, and ends the other sessions.
func (d *Door) ChangePassword(ctx context.Context, address string, who Who, old, password string) error {
	d.mu.Lock()
	a, ok := d.accounts[who.Person]
	var kept account
	if ok {
		kept = *a
	}
	d.mu.Unlock()
	if !ok {
		return ErrWrong
	}
	if err := d.tries(address, kept.Login); err != nil {
		return err
	}
	s, err := readHash(kept.Hash)
	if err != nil {
		return err
	}
	right, err := d.is(ctx, s, old)
	if err != nil {
		return err
	}
	if !right {
		return errors.New("the password you have now is not right")
	}
	if err := CheckPassword(password, kept.Login, "valveround"); err != nil {
		return err
	}
	fresh, err := d.hash(ctx, password)
	if err != nil {
		return err
	}
	if err := d.change(ctx, who.Person, func(a *account) { a.Hash = fresh }); err != nil {
		return err
	}
	return d.endSessions(ctx, func(hash string, s *session) bool { return s.Person == who.Person && public(hash) != who.Session })
}

// Invite makes a link's token, by which the person of an open account sets a password, once and within three days. An old
// password and its sessions end when the link is used.
func (d *Door) Invite(ctx context.Context, person events.PersonID) (string, time.Time, error) {
	p := d.open(person)
	if p == nil {
		return "", time.Time{}, errors.New("this person has no open account")
	}
	secret, until := token(), d.cfg.Now().Add(inviteFor)
	return secret, until, d.change(ctx, person, func(a *account) { a.Login, a.Invite, a.Until = p.Access.Login, hashOf(secret), until })
}

// Welcome sets the password of the one who holds the token of an invitation.
func (d *Door) Welcome(ctx context.Context, address, token, password string) error {
	if err := d.tries(address, ""); err != nil {
		return err
	}
	hash := hashOf(token)
	d.mu.Lock()
	var kept account
	for _, a := range d.accounts {
		if a.Invite == hash && d.cfg.Now().Before(a.Until) {
			kept = *a
		}
	}
	d.mu.Unlock()
	if kept.Person == "" || d.open(kept.Person) == nil {
		return ErrNotOpen
	}
	if err := CheckPassword(password, kept.Login, "valveround"); err != nil {
		return err
	}
	fresh, err := d.hash(ctx, password)
	if err != nil {
		return err
	}
	used := false
	err = d.change(ctx, kept.Person, func(a *account) {
		if used = a.Invite == hash; used {
			a.Hash, a.Invite, a.Until, a.Failures = fresh, "", time.Time{}, 0
		}
	})
	if err != nil {
		return err
	}
	if !used {
		return ErrNotOpen
	}
	return d.endSessions(ctx, func(_ string, s *session) bool { return s.Person == kept.Person })
}

// Shut ends all sessions, the password and the phones' keys of a person whose account was closed.
func (d *Door) Shut(ctx context.Context, person events.PersonID) error {
	d.mu.Lock()
	delete(d.accounts, person)
	var keys []string
	for hash, p := range d.phones {
		if p.Person == person {
			keys = append(keys, phoneKey+hash)
			delete(d.phones, hash)
		}
	}
	d.mu.Unlock()
	errs := []error{d.cfg.Store.Forget(ctx, accountKey+hashOf(string(person)))}
	for _, key := range keys {
		errs = append(errs, d.cfg.Store.Forget(ctx, key))
	}
	errs = append(errs, d.endSessions(ctx, func(_ string, s *session) bool { return s.Person == person }))
	return errors.Join(errs...)
}

// SessionView is one session in a list.
type SessionView struct {
	ID     string    `json:"id"`
	Person string    `json:"person"`
	Made   time.Time `json:"made"`
	Seen   time.Time `json:"seen"`
	Agent  string    `json:"agent,omitempty" doc:"the browser, as it describes itself"`
	This   bool      `json:"this,omitempty" doc:"the one that asks"`
}

// Sessions lists those that run; of one person, or of everybody when none is named.
func (d *Door) Sessions(who Who, of events.PersonID) []SessionView {
	d.mu.Lock()
	defer d.mu.Unlock()
	list := []SessionView{}
	for hash, s := range d.sessions {
		if (of == "" || s.Person == of) && !d.over(s, d.cfg.Now()) {
			list = append(list, SessionView{ID: public(hash), Person: string(s.Person), Made: s.Made, Seen: s.Seen, Agent: s.Agent, This: public(hash) == who.Session})
		}
	}
	slices.SortFunc(list, func(a, b SessionView) int { return b.Seen.Compare(a.Seen) })
	return list
}

// EndSession ends one session by its public id; of anybody's when of is empty, else only of that person's.
func (d *Door) EndSession(ctx context.Context, id string, of events.PersonID) error {
	return d.endSessions(ctx, func(hash string, s *session) bool { return public(hash) == id && (of == "" || s.Person == of) })
}

// State of an account, for the administrators' list.
type State struct {
	HasPassword bool
	Held        bool // too many failures in a row: a new link opens it again
	Invited     bool
	Seen        time.Time
}

// StateOf is the state of a person's account.
func (d *Door) StateOf(person events.PersonID) State {
	d.mu.Lock()
	defer d.mu.Unlock()
	a := d.accounts[person]
	if a == nil {
		return State{}
	}
	return State{a.Hash != "", a.Failures >= mostFailure, a.Invite != "" && d.cfg.Now().Before(a.Until), a.Seen}
}
