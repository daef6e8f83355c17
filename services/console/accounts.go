package console

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/registry"
	"valveround/services/signin"
	"valveround/services/words"
)

// AccountView is one person's account, without secrets.
type AccountView struct {
	Person   string     `json:"person"`
	Name     string     `json:"name"`
	Login    string     `json:"login,omitempty"`
	Open     bool       `json:"open" doc:"may sign in"`
	Roles    []string   `json:"roles"`
	Password bool       `json:"password" doc:"one is set"`
	Invited  bool       `json:"invited,omitempty" doc:"a link to set one is out"`
	Held     bool       `json:"held,omitempty" doc:"too many wrong passwords in a row: a new link opens it again"`
	Seen     *time.Time `json:"seen,omitempty" doc:"last sign-in"`
}

// AccountRequest opens an account for a person on record, or for a new one that is named.
type AccountRequest struct {
	CommandID string        `json:"command_id"`
	Person    string        `json:"person,omitempty" doc:"empty: a new person of this name"`
	Name      string        `json:"name,omitempty" maxLength:"200"`
	Login     string        `json:"login" maxLength:"200" doc:"the name to sign in with"`
	Roles     []events.Role `json:"roles" doc:"dispatcher, tech, manager, administrator"`
}

// RolesRequest says which roles a person has in this office from now on.
type RolesRequest struct {
	CommandID string        `json:"command_id"`
	Roles     []events.Role `json:"roles"`
	Why       string        `json:"why,omitempty"`
}

// CloseRequest closes an account or revokes a phone.
type CloseRequest struct {
	CommandID string `json:"command_id"`
	Why       string `json:"why,omitempty"`
}

// InviteView is a link that sets a password, once.
type InviteView struct {
	Person string    `json:"person"`
	Path   string    `json:"path" doc:"the link, after the server's address; hand it over yourself: whoever has it is let in"`
	Until  time.Time `json:"until"`
}

func (s *Server) accountRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "accounts", Security: administrators, Method: http.MethodGet, Path: "/api/accounts", Summary: "Who may sign in, and as what"},
		func(context.Context, *struct{}) (*reply[[]AccountView], error) { return answer(s.accounts()), nil })

	huma.Register(s.api, huma.Operation{OperationID: "open-account", Security: administrators, Method: http.MethodPost, Path: "/api/accounts", Summary: "Let a person sign in"},
		func(ctx context.Context, in *struct{ Body AccountRequest }) (*reply[InviteView], error) {
			return s.openAccount(ctx, in.Body)
		})

	huma.Register(s.api, huma.Operation{OperationID: "set-roles", Security: administrators, Method: http.MethodPut, Path: "/api/accounts/{person}/roles", Summary: "Say what a person may do"},
		func(ctx context.Context, in *struct {
			Person string `path:"person"`
			Body   RolesRequest
		}) (*reply[Receipt], error) {
			c, err := s.accountCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			c.Do = events.SetRoles{Person: events.PersonID(in.Person), Roles: in.Body.Roles, Why: in.Body.Why}
			return s.do(ctx, c)
		})

	huma.Register(s.api, huma.Operation{OperationID: "invite", Security: administrators, Method: http.MethodPost, Path: "/api/accounts/{person}/invite",
		Summary: "Make a link by which a person sets a password, for instance because it was forgotten"},
		func(ctx context.Context, in *struct {
			Person string `path:"person"`
		}) (*reply[InviteView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			return s.invite(ctx, events.PersonID(in.Person))
		})

	huma.Register(s.api, huma.Operation{OperationID: "close-account", Security: administrators, Method: http.MethodPost, Path: "/api/accounts/{person}/close",
		Summary: "Let a person sign in no more, and end their sessions and phones"},
		func(ctx context.Context, in *struct {
			Person string `path:"person"`
			Body   CloseRequest
		}) (*reply[Receipt], error) {
			c, err := s.accountCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			c.Do = events.CloseAccount{Person: events.PersonID(in.Person), Why: in.Body.Why}
			receipt, err := s.do(ctx, c)
			if err != nil {
				return nil, err
			}
			if err := s.cfg.SignIn.Shut(ctx, events.PersonID(in.Person)); err != nil {
				return nil, s.fail(err)
			}
			return receipt, nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "sessions", Security: everybody, Method: http.MethodGet, Path: "/api/sessions", Summary: "One's own sessions; for an administrator everybody's"},
		func(ctx context.Context, _ *struct{}) (*reply[[]signin.SessionView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			w, _ := who(ctx)
			return answer(s.cfg.SignIn.Sessions(w, ownOnly(w))), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "end-session", Security: everybody, Method: http.MethodDelete, Path: "/api/sessions/{id}", Summary: "End a session"},
		func(ctx context.Context, in *struct {
			ID string `path:"id"`
		}) (*struct{}, error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			w, _ := who(ctx)
			if err := s.cfg.SignIn.EndSession(ctx, in.ID, ownOnly(w)); err != nil {
				return nil, s.fail(err)
			}
			return nil, nil
		})
}

// ownOnly is the person whose sessions somebody may see: their own, and for an administrator everybody's.
func ownOnly(w signin.Who) events.PersonID {
	if slices.Contains(w.Roles, events.RoleAdministrator) {
		return ""
	}
	return w.Person
}

// accountCommand is deskCommand where somebody signs in, and a refusal where nobody does.
func (s *Server) accountCommand(id string) (events.Command, error) {
	if err := s.doorIsThere(); err != nil {
		return events.Command{}, err
	}
	return s.deskCommand(id)
}

func (s *Server) accounts() []AccountView {
	list := []AccountView{}
	if s.cfg.SignIn == nil {
		return list
	}
	for id, p := range s.cfg.Keeper.Book().People {
		if p.Access.Login == "" {
			continue
		}
		state := s.cfg.SignIn.StateOf(id)
		v := AccountView{Person: string(id), Name: s.cfg.People.Name(id), Login: p.Access.Login, Open: p.Access.Open, Roles: []string{}, Password: state.HasPassword,
			Invited: state.Invited, Held: state.Held}
		for _, role := range events.Roles() {
			if p.Access.Is(role, s.cfg.Office) {
				v.Roles = append(v.Roles, string(role))
			}
		}
		if !state.Seen.IsZero() {
			v.Seen = &state.Seen
		}
		list = append(list, v)
	}
	slices.SortFunc(list, func(a, b AccountView) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Person, b.Person))
	})
	return list
}

// openAccount makes the person first, if it is a new one, under an id that follows from the command's.
func (s *Server) openAccount(ctx context.Context, r AccountRequest) (*reply[InviteView], error) {
	c, err := s.accountCommand(r.CommandID)
	if err != nil {
		return nil, err
	}
	if err := signin.CheckLogin(r.Login); err != nil {
		return nil, huma.Error422UnprocessableEntity(sentence(err))
	}
	person := events.PersonID(r.Person)
	if person == "" {
		if r.Name == "" {
			return nil, huma.Error422UnprocessableEntity("The name is missing.")
		}
		person = events.PersonID(registry.NewID(events.KindPerson, c.ID))
		if err := s.cfg.People.Put(ctx, s.cfg.Details, string(person), words.Details{Name: r.Name}); err != nil {
			return nil, s.fail(err)
		}
		first := c
		first.ID, first.Do = events.DeriveCommandID(c.ID, "person"), events.Put[events.PersonFacts]{ID: string(person)}
		if _, err := s.cfg.Keeper.Do(ctx, first); err != nil {
			return nil, s.fail(err)
		}
	}
	c.Do = events.OpenAccount{Person: person, Login: r.Login, Roles: r.Roles}
	if _, err := s.cfg.Keeper.Do(ctx, c); err != nil {
		return nil, s.fail(err)
	}
	return s.invite(ctx, person)
}

func (s *Server) invite(ctx context.Context, person events.PersonID) (*reply[InviteView], error) {
	token, until, err := s.cfg.SignIn.Invite(ctx, person)
	if err != nil {
		return nil, huma.Error422UnprocessableEntity(sentence(err))
	}
	return answer(InviteView{Person: string(person), Path: signInPage + "#/welcome/" + token, Until: until}), nil
}

func seconds(d time.Duration) string { return strconv.Itoa(int(d.Seconds()) + 1) }
