package console

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/words"
)

// PhoneView is one enrolled phone.
type PhoneView struct {
	ID      string     `json:"id"`
	Name    string     `json:"name,omitempty"`
	Person  string     `json:"person"`
	Who     string     `json:"who" doc:"the person's name"`
	Crew    words.Crew `json:"crew"`
	Since   time.Time  `json:"since"`
	Seen    *time.Time `json:"seen,omitempty"`
	Agent   string     `json:"agent,omitempty" doc:"the browser, as it describes itself"`
	Revoked bool       `json:"revoked"`
}

// CodeRequest asks for a code that enrols one phone.
type CodeRequest struct {
	Person string `json:"person"`
	Crew   string `json:"crew"`
}

// CodeView is the code, shown once.
type CodeView struct {
	Code  string    `json:"code"`
	Until time.Time `json:"until"`
}

// EnrolRequest is what the phone says.
type EnrolRequest struct {
	Code string `json:"code" maxLength:"40"`
	Name string `json:"name,omitempty" maxLength:"100" doc:"of the phone, so that it is told from others"`
}

func (s *Server) phoneRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "phones", Security: enrollers, Method: http.MethodGet, Path: "/api/phones", Summary: "Enrolled phones, and when they were last seen"},
		func(context.Context, *struct{}) (*reply[[]PhoneView], error) { return answer(s.phones()), nil })

	huma.Register(s.api, huma.Operation{OperationID: "phone-code", Security: enrollers, Method: http.MethodPost, Path: "/api/phones/codes",
		Summary: "Make a code that enrols one phone for a person on a crew, within ten minutes"},
		func(ctx context.Context, in *struct{ Body CodeRequest }) (*reply[CodeView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			w, _ := who(ctx)
			text, until, err := s.cfg.SignIn.MakeCode(w.Person, events.PersonID(in.Body.Person), events.CrewID(in.Body.Crew))
			if err != nil {
				return nil, huma.Error422UnprocessableEntity(sentence(err))
			}
			return answer(CodeView{text, until}), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "enrol-phone", Security: anyone, Method: http.MethodPost, Path: "/api/phones/enrol", Summary: "Enrol this phone by a code", MaxBodyBytes: 8 << 10},
		func(ctx context.Context, in *struct {
			CallerInput
			Body EnrolRequest
		}) (*withCookie[DoorView], error) {
			if err := s.doorIsThere(); err != nil {
				return nil, err
			}
			key, err := s.cfg.SignIn.Enrol(ctx, in.from, in.Body.Code, in.Body.Name, in.Agent)
			if err != nil {
				return nil, s.doorFault(err, http.StatusUnprocessableEntity)
			}
			w, _ := s.cfg.SignIn.Phone(ctx, key)
			return &withCookie[DoorView]{cookie(phoneCookie, key, phoneFor), DoorView{SignIn: true, SetUp: true, Me: s.me(w)}}, nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "revoke-phone", Security: enrollers, Method: http.MethodPost, Path: "/api/phones/{id}/revoke", Summary: "Let a phone act for nobody any more"},
		func(ctx context.Context, in *struct {
			ID   string `path:"id"`
			Body CloseRequest
		}) (*reply[Receipt], error) {
			c, err := s.accountCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			c.Do = events.RevokePhone{Person: s.holder(in.ID), PhoneRevoked: events.PhoneRevoked{Phone: in.ID, Why: in.Body.Why}}
			receipt, err := s.do(ctx, c)
			if err != nil {
				return nil, err
			}
			if err := s.cfg.SignIn.DropPhone(ctx, in.ID); err != nil {
				return nil, s.fail(err)
			}
			return receipt, nil
		})
}

// holder is the person a phone was enrolled for.
func (s *Server) holder(phone string) events.PersonID {
	for id, p := range s.cfg.Keeper.Book().People {
		if p.Access.Phone(phone) != nil {
			return id
		}
	}
	return ""
}

func (s *Server) phones() []PhoneView {
	b, list := s.cfg.Keeper.Book(), []PhoneView{}
	if s.cfg.SignIn == nil {
		return list
	}
	for id, person := range b.People {
		for _, p := range person.Access.Phones {
			if p.Office != s.cfg.Office {
				continue
			}
			v := PhoneView{ID: p.Phone, Name: p.Name, Person: string(id), Who: s.cfg.People.Name(id), Crew: words.CrewOf(b, s.cfg.People, p.Crew), Since: p.Since, Revoked: p.Revoked}
			if seen, agent := s.cfg.SignIn.PhoneSeen(p.Phone); !seen.IsZero() {
				v.Seen, v.Agent = &seen, agent
			}
			list = append(list, v)
		}
	}
	slices.SortFunc(list, func(a, b PhoneView) int { return cmp.Or(b.Since.Compare(a.Since), cmp.Compare(a.ID, b.ID)) })
	return list
}
