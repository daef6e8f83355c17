package console

import (
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/signin"
)

// DoorView says who asks, as far as they have shown it.
type DoorView struct {
	SignIn bool    `json:"sign_in" doc:"false: a demo in which nobody signs in"`
	SetUp  bool    `json:"set_up" doc:"false: the office has nobody yet; open the link that the server printed"`
	Me     *MeView `json:"me,omitempty" doc:"who has signed in"`
}

// MeView is who has signed in.
type MeView struct {
	Person string   `json:"person"`
	Name   string   `json:"name"`
	Roles  []string `json:"roles" doc:"in this office"`
	Phone  string   `json:"phone,omitempty" doc:"the enrolled phone that asks"`
	Crew   string   `json:"crew,omitempty" doc:"that the phone is enrolled with"`
}

// SignInRequest is a name and a password.
type SignInRequest struct {
	Login    string `json:"login" maxLength:"200"`
	Password string `json:"password" maxLength:"2000"`
}

// SetUpRequest makes the first administrator.
type SetUpRequest struct {
	Token    string `json:"token" maxLength:"200" doc:"of the link that the server printed"`
	Name     string `json:"name" maxLength:"200"`
	Login    string `json:"login" maxLength:"200" doc:"the name to sign in with"`
	Password string `json:"password" maxLength:"2000"`
}

// WelcomeRequest sets the password of a new account, or another one of an old account, by a link.
type WelcomeRequest struct {
	Token    string `json:"token" maxLength:"200"`
	Password string `json:"password" maxLength:"2000"`
}

// PasswordRequest changes one's own password.
type PasswordRequest struct {
	Old      string `json:"old" maxLength:"2000"`
	Password string `json:"password" maxLength:"2000"`
}

// withCookie answers and sets a cookie.
type withCookie[T any] struct {
	SetCookie http.Cookie `header:"Set-Cookie"`
	Body      T
}

// CallerInput is where a request comes from, as far as the door must know.
type CallerInput struct {
	Agent string `header:"User-Agent"`
	from  string
}

// Resolve reads the address.
func (c *CallerInput) Resolve(ctx huma.Context) []error {
	c.from = addressOf(&http.Request{RemoteAddr: ctx.RemoteAddr()})
	return nil
}

// cookie makes a cookie after the OWASP Session Management cheat sheet: Secure, HttpOnly, SameSite=Strict, bound to the host.
// A lifetime of zero is that of the browser; a negative one ends the cookie.
func cookie(name, value string, lasts time.Duration) http.Cookie {
	c := http.Cookie{Name: name, Value: value, Path: "/", Secure: true, HttpOnly: true, SameSite: http.SameSiteStrictMode, MaxAge: int(lasts.Seconds())}
	if lasts < 0 {
		c.MaxAge = -1
	}
	return c
}

// phoneFor is as long as browsers keep a cookie: 400 days (RFC 6265bis, 5.5). Each read of the day renews it.
const phoneFor = 400 * 24 * time.Hour

func (s *Server) signInRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "door", Security: anyone, Method: http.MethodGet, Path: "/api/sign-in", Summary: "Who is signed in, and whether the office is set up"},
		func(ctx context.Context, _ *struct{}) (*reply[DoorView], error) { return answer(s.doorView(ctx)), nil })

	huma.Register(s.api, huma.Operation{OperationID: "sign-in", Security: anyone, Method: http.MethodPost, Path: "/api/sign-in", Summary: "Sign in", MaxBodyBytes: 8 << 10},
		func(ctx context.Context, in *struct {
			CallerInput
			Body SignInRequest
		}) (*withCookie[DoorView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			token, err := s.cfg.SignIn.SignIn(ctx, in.from, in.Body.Login, in.Body.Password, in.Agent)
			if err != nil {
				return nil, s.doorFault(err, http.StatusUnauthorized)
			}
			w, _ := s.cfg.SignIn.Session(ctx, token)
			return &withCookie[DoorView]{cookie(sessionCookie, token, 0), DoorView{SignIn: true, SetUp: true, Me: s.me(w)}}, nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "sign-out", Security: anyone, Method: http.MethodPost, Path: "/api/sign-out", Summary: "Sign out: the session ends"},
		func(ctx context.Context, in *struct {
			Session string `cookie:"__Host-session"`
		}) (*withCookie[DoorView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			if in.Session != "" {
				if err := s.cfg.SignIn.SignOut(ctx, in.Session); err != nil {
					return nil, s.fail(err)
				}
			}
			return &withCookie[DoorView]{cookie(sessionCookie, "", -1), DoorView{SignIn: true, SetUp: true}}, nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "set-up", Security: anyone, Method: http.MethodPost, Path: "/api/set-up", Summary: "Make the first administrator, once", MaxBodyBytes: 8 << 10},
		func(ctx context.Context, in *struct {
			CallerInput
			Body SetUpRequest
		}) (*reply[DoorView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			err := s.cfg.SignIn.SetUp(ctx, in.from, in.Body.Token, signin.NewPerson{Name: in.Body.Name, Login: in.Body.Login, Password: in.Body.Password})
			if err != nil {
				return nil, s.doorFault(err, http.StatusUnprocessableEntity)
			}
			return answer(s.doorView(ctx)), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "welcome", Security: anyone, Method: http.MethodPost, Path: "/api/welcome", Summary: "Set a password by a link that an administrator made",
		MaxBodyBytes: 8 << 10},
		func(ctx context.Context, in *struct {
			CallerInput
			Body WelcomeRequest
		}) (*reply[DoorView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			if err := s.cfg.SignIn.Welcome(ctx, in.from, in.Body.Token, in.Body.Password); err != nil {
				return nil, s.doorFault(err, http.StatusUnprocessableEntity)
			}
			return answer(s.doorView(ctx)), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "change-password", Security: everybody, Method: http.MethodPost, Path: "/api/password", Summary: "Change one's own password; other sessions end",
		MaxBodyBytes: 8 << 10},
		func(ctx context.Context, in *struct {
			CallerInput
			Body PasswordRequest
		}) (*reply[DoorView], error) {
			w, ok := who(ctx)
			if !ok || w.Session == "" {
				return nil, huma.Error422UnprocessableEntity("Only who has signed in by a password can change it.")
			}
			if err := s.cfg.SignIn.ChangePassword(ctx, in.from, w, in.Body.Old, in.Body.Password); err != nil {
				return nil, s.doorFault(err, http.StatusUnprocessableEntity)
			}
			return answer(s.doorView(ctx)), nil
		})
}

// doorIsThere refuses where nobody signs in.
func (s *Server) doorIsThere() error {
	if s.cfg.SignIn == nil {
		return huma.Error404NotFound("Nobody signs in here: this is a demo on this machine.")
	}
	return nil
}

// doorFault says why somebody does not come in. Too many tries may pass later; any other words are for who reads them.
func (s *Server) doorFault(err error, status int) error {
	var wait *signin.WaitError
	var refusal *events.Refusal
	switch {
	case errors.As(err, &wait):
		return huma.ErrorWithHeaders(huma.Error429TooManyRequests(sentence(err)), http.Header{"Retry-After": {seconds(wait.Wait)}})
	case errors.Is(err, context.Canceled), errors.As(err, &refusal):
		return s.fail(err)
	}
	return huma.NewError(status, sentence(err))
}

func (s *Server) doorView(ctx context.Context) DoorView {
	if s.cfg.SignIn == nil {
		return DoorView{SetUp: true}
	}
	v := DoorView{SignIn: true, SetUp: !s.cfg.SignIn.NeedsSetUp()}
	if whos := visitorOf(ctx).whos; len(whos) > 0 {
		v.Me = s.me(whos[0])
	}
	return v
}

func (s *Server) me(w signin.Who) *MeView {
	v := &MeView{Person: string(w.Person), Name: s.cfg.People.Name(w.Person), Roles: []string{}, Phone: w.Phone, Crew: string(w.Crew)}
	for _, role := range w.Roles {
		v.Roles = append(v.Roles, string(role))
	}
	return v
}

// meOf is who has signed in, for the first answer that every page reads.
func (s *Server) meOf(ctx context.Context) *MeView {
	if w, ok := who(ctx); ok {
		return s.me(w)
	}
	return nil
}
