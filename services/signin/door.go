package signin

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"go.uber.org/zap"
	"golang.org/x/text/unicode/norm"

	"valveround/events"
	"valveround/events/keeper"
)

// Store keeps the secrets' hashes apart from the log.
type Store interface {
	Put(ctx context.Context, key string, value []byte) error
	Forget(ctx context.Context, key string) error
	All(ctx context.Context, each func(key string, value []byte) error) error
}

// Keeper is the book and the way to change it.
type Keeper interface {
	Book() *events.Book
	Do(ctx context.Context, c events.Command) (keeper.Receipt, error)
}

// Config says what a door guards. Zero times and limits stand for the defaults.
type Config struct {
	Office events.OfficeID
	Store  Store
	Keeper Keeper
	// Name keeps the name of a new person apart from the log.
	Name   func(ctx context.Context, person events.PersonID, name string) error
	Now    func() time.Time
	Params Params
	// A session ends when it was not used for SessionIdle, and in any case after SessionMost. Defaults 4 h and 16 h: a
	// break and a long working day. A phone's key ends when it was not used for PhoneIdle, default 90 days.
	SessionIdle, SessionMost, PhoneIdle time.Duration
	Logger                              *zap.Logger
}

func (c Config) withDefaults() Config {
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.Params == (Params{}) {
		c.Params = DefaultParams()
	}
	for d, v := range map[*time.Duration]time.Duration{&c.SessionIdle: 4 * time.Hour, &c.SessionMost: 16 * time.Hour, &c.PhoneIdle: 90 * 24 * time.Hour} {
		if *d == 0 {
			*d = v
		}
	}
	if c.Logger == nil {
		c.Logger = zap.NewNop()
	}
	return c
}

// Times and numbers that are no setting.
const (
	inviteFor   = 3 * 24 * time.Hour // a new account's link
	codeFor     = 10 * time.Minute   // a phone's code
	noteEvery   = time.Minute        // how often it is written down that a session or phone was seen
	wrongCodes  = 20                 // so many wrong codes void those that are open
	mostFailure = 100                // failures in a row, after which an account waits for an administrator: NIST SP 800-63B-4, 3.2.2
	tokenBytes  = 32                 // OWASP Session Management asks for 64 bits of entropy at least
)

// Errors, in words for whoever stands at the door. They are the same whether a name is known or not.
var (
	ErrWrong   = errors.New("the name or the password is not right")
	ErrBusy    = errors.New("too many tries")
	ErrNotOpen = errors.New("this link has been used or is too old: ask an administrator for a new one")
	ErrCode    = errors.New("there is no such code, or it is too old: ask the office for a new one")
)

// WaitError is ErrBusy with the time to wait.
type WaitError struct{ Wait time.Duration }

func (e *WaitError) Error() string {
	return fmt.Sprintf("%v: wait %d seconds and try again", ErrBusy, int(e.Wait.Seconds())+1)
}

// Unwrap makes it ErrBusy.
func (e *WaitError) Unwrap() error { return ErrBusy }

// Who is somebody who has shown who they are.
type Who struct {
	Person  events.PersonID
	Roles   []events.Role
	Session string // its public id; empty for a phone
	Phone   string // its id; empty for a session
	Crew    events.CrewID
}

// Door keeps accounts, sessions and phones. It is safe for concurrent use.
type Door struct {
	cfg     Config
	nobody  stored        // whose password is compared when a name is not known
	hashing chan struct{} // bounds the memory that hashing takes

	perPair, perName, perAddress *Limits

	ready    atomic.Bool // set up
	setUp    string      // the token of the set-up link
	mu       sync.Mutex
	accounts map[events.PersonID]*account
	sessions map[string]*session // by hash of the token
	phones   map[string]*phone   // by hash of the key
	codes    map[string]code     // by hash
	wrong    int                 // codes since the last right one
}

// account is what proves who a person is.
type account struct {
	Person   events.PersonID `json:"person"`
	Login    string          `json:"login"`
	Hash     string          `json:"hash,omitempty"`
	Failures int             `json:"failures,omitempty"` // in a row
	Invite   string          `json:"invite,omitempty"`   // hash of the token of a link that sets the password
	Until    time.Time       `json:"until,omitzero"`     // of the link
	Seen     time.Time       `json:"seen,omitzero"`      // last sign-in
}

type session struct {
	Person events.PersonID `json:"person"`
	Made   time.Time       `json:"made"`
	Seen   time.Time       `json:"seen"`
	Agent  string          `json:"agent,omitempty"`
}

type phone struct {
	Phone  string          `json:"phone"`
	Person events.PersonID `json:"person"`
	Seen   time.Time       `json:"seen"`
	Agent  string          `json:"agent,omitempty"`
}

type code struct {
	person events.PersonID
	crew   events.CrewID
	maker  events.PersonID
	until  time.Time
}

// Keys of the store: what it is, and a hash.
const (
	accountKey = "account-"
	sessionKey = "session-"
	phoneKey   = "phone-"
)

// Open reads what is kept.
func Open(ctx context.Context, cfg Config) (*Door, error) {
	d := &Door{cfg: cfg.withDefaults(), hashing: make(chan struct{}, 2), setUp: token(),
		accounts: map[events.PersonID]*account{}, sessions: map[string]*session{}, phones: map[string]*phone{}, codes: map[string]code{}}
	// Of one account from one address five at once, then one a minute; of one account from anywhere, and from one address
	// to any account, more: an office shares its address, and nobody shall lock a person out by trying.
	d.perPair = NewLimits(Limit{5, time.Minute}, d.cfg.Now)
	d.perName = NewLimits(Limit{20, 10 * time.Second}, d.cfg.Now)
	d.perAddress = NewLimits(Limit{30, 5 * time.Second}, d.cfg.Now)
	var err error
	if d.nobody, err = readHash(d.cfg.Params.hash(string(random(tokenBytes)))); err != nil {
		return nil, err
	}
	err = cfg.Store.All(ctx, func(key string, value []byte) error {
		switch {
		case strings.HasPrefix(key, accountKey):
			return read(value, func(a account) { d.accounts[a.Person] = &a })
		case strings.HasPrefix(key, sessionKey):
			return read(value, func(s session) { d.sessions[strings.TrimPrefix(key, sessionKey)] = &s })
		case strings.HasPrefix(key, phoneKey):
			return read(value, func(p phone) { d.phones[strings.TrimPrefix(key, phoneKey)] = &p })
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("reading the accounts: %w", err)
	}
	return d, nil
}

func read[T any](value []byte, keep func(T)) error {
	var v T
	if err := json.Unmarshal(value, &v); err != nil {
		return err
	}
	keep(v)
	return nil
}

// put writes one value; a value that was changed under the lock is written after it.
func (d *Door) put(ctx context.Context, key string, v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return d.cfg.Store.Put(ctx, key, text)
}

func (d *Door) putAccount(ctx context.Context, a account) error {
	return d.put(ctx, accountKey+hashOf(string(a.Person)), a)
}

// token is 256 random bits as text.
func token() string { return base64.RawURLEncoding.EncodeToString(random(tokenBytes)) }

// hashOf is what is kept of a token.
func hashOf(token string) string {
	sum := sha256.Sum256([]byte(token))
	return base64.RawURLEncoding.EncodeToString(sum[:])
}

// public is how a session is named in lists: of no use for signing in.
func public(hash string) string { return hash[:12] }

// command is one that the door gives by itself: a new id, now.
func (d *Door) command(actor events.PersonID, do any) events.Command {
	return events.Command{ID: events.CommandID(random(16)), Actor: actor, Office: d.cfg.Office, Happened: d.cfg.Now(), Do: do}
}

// roles are those a person has in this office.
func (d *Door) roles(p *events.Person) []events.Role {
	list := []events.Role{}
	for _, role := range events.Roles() {
		if p.Access.Is(role, d.cfg.Office) {
			list = append(list, role)
		}
	}
	return list
}

// CheckLogin says in words why a name will not do to sign in with.
func CheckLogin(login string) error {
	if login != loginOf(login) || len(login) < 2 || len(login) > 64 {
		return errors.New("the name to sign in with has 2 to 64 small letters, digits, dots, hyphens, underscores or @")
	}
	for _, r := range login {
		if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyz0123456789.-_@", r) {
			return errors.New("the name to sign in with has 2 to 64 small letters, digits, dots, hyphens, underscores or @")
		}
	}
	return nil
}

// loginOf is a typed name as it is kept.
func loginOf(typed string) string { return strings.ToLower(norm.NFC.String(strings.TrimSpace(typed))) }

// agentOf keeps of a browser's description what fits on a line.
func agentOf(agent string) string {
	agent = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return -1
		}
		return r
	}, agent)
	return agent[:min(len(agent), 160)]
}
