package console

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/services/signin"
)

// signedIn is the security scheme under which an operation lists the roles that may use it, as OpenAPI 3.1 has it ("Security
// Requirement Object"): any one of them suffices.
const signedIn = "signed-in"

// may makes the list of roles that may use an operation.
func may(roles ...events.Role) []map[string][]string {
	list := make([]map[string][]string, len(roles))
	for i, role := range roles {
		list[i] = map[string][]string{signedIn: {string(role)}}
	}
	return list
}

// Who may use an operation. Every operation names one of these as its Security; New refuses one that names none.
var (
	anyone         = []map[string][]string{{}} // also who has not signed in
	everybody      = may(events.Roles()...)
	readers        = may(events.RoleDispatcher, events.RoleManager, events.RoleAdministrator)
	recorders      = may(events.RoleDispatcher, events.RoleManager)
	dispatchers    = may(events.RoleDispatcher)
	managers       = may(events.RoleManager, events.RoleAdministrator) // of weights, durations and limits
	techs          = may(events.RoleTech)
	testers        = may(events.RoleTech, events.RoleDispatcher, events.RoleManager) // who may have tested, or keys in what was
	enrollers      = may(events.RoleDispatcher, events.RoleAdministrator)
	administrators = may(events.RoleAdministrator)
)

// admits reports whether an operation may be used by somebody with these roles.
func admits(security []map[string][]string, roles []events.Role) bool {
	return slices.ContainsFunc(security, func(one map[string][]string) bool {
		return !slices.ContainsFunc(one[signedIn], func(need string) bool { return !slices.Contains(roles, events.Role(need)) })
	})
}

// rolesMissing says which operations do not say who may use them.
func rolesMissing(api *huma.OpenAPI) error {
	var errs []error
	for path, item := range api.Paths {
		for _, op := range operationsOf(item) {
			if len(op.Security) == 0 {
				errs = append(errs, fmt.Errorf("console: %s %s does not say who may use it: give its huma.Operation a Security (see roles.go)", op.Method, path))
			}
		}
	}
	return errors.Join(errs...)
}

func operationsOf(item *huma.PathItem) []*huma.Operation {
	all := []*huma.Operation{item.Get, item.Put, item.Post, item.Delete, item.Options, item.Head, item.Patch, item.Trace}
	return slices.DeleteFunc(all, func(op *huma.Operation) bool { return op == nil })
}

// visitor is who asks, as their cookies show: a session, a phone, both or neither.
type visitor struct {
	whos  []signin.Who
	still func() bool // whether they are still let in
}

type (
	visitorKey struct{}
	whoKey     struct{}
)

func visitorOf(ctx context.Context) visitor {
	v, _ := ctx.Value(visitorKey{}).(visitor)
	return v
}

// who is the one under whose right the operation is used; false without sign-in, and where anyone may.
func who(ctx context.Context) (signin.Who, bool) {
	w, ok := ctx.Value(whoKey{}).(signin.Who)
	return w, ok
}

// guard lets an operation be used by those who may, and marks all that it does as done by them.
func (s *Server) guard(ctx huma.Context, next func(huma.Context)) {
	if s.cfg.SignIn == nil {
		next(ctx)
		return
	}
	security, whos := ctx.Operation().Security, visitorOf(ctx.Context()).whos
	for _, w := range whos {
		if admits(security, w.Roles) {
			acting := context.WithValue(keeper.ActingAs(ctx.Context(), w.Person), whoKey{}, w)
			next(huma.WithContext(ctx, acting))
			return
		}
	}
	switch {
	case admits(security, nil):
		next(ctx)
	case len(whos) == 0:
		ctx.SetHeader("WWW-Authenticate", `Cookie realm="valveround"`) // RFC 9110, section 15.5.2, wants one
		_ = huma.WriteErr(s.api, ctx, http.StatusUnauthorized, "Sign in first.")
	default:
		_ = huma.WriteErr(s.api, ctx, http.StatusForbidden, "Your role does not allow this. An administrator says who may do what.")
	}
}

// ownCrew refuses a tech who acts for a crew that is not their own. Without sign-in it is taken on trust.
func (s *Server) ownCrew(ctx context.Context, crew string) error {
	w, ok := who(ctx)
	if !ok || s.cfg.SignIn.ActsFor(w, events.CrewID(crew)) {
		return nil
	}
	return huma.Error403Forbidden("This is another crew's: you are not one of crew " + crew + ".")
}

// ownOrReader is ownCrew for reading, which the office may do for every crew.
func (s *Server) ownOrReader(ctx context.Context, crew string) error {
	if w, ok := who(ctx); ok && admits(readers, w.Roles) {
		return nil
	}
	return s.ownCrew(ctx, crew)
}

// actor is the person who is signed in, or the one that is named where nobody signs in.
func actor(ctx context.Context, named string) string {
	if w, ok := who(ctx); ok {
		return string(w.Person)
	}
	return named
}
