package console

import (
	"testing"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
)

func TestAdmits(t *testing.T) {
	tech, dispatcher := []events.Role{events.RoleTech}, []events.Role{events.RoleDispatcher}
	for _, c := range []struct {
		name     string
		security []map[string][]string
		roles    []events.Role
		want     bool
	}{
		{"anyone, nobody", anyone, nil, true},
		{"forgotten", nil, append(tech, dispatcher...), false},
		{"everybody, nobody", everybody, nil, false},
		{"everybody, a tech", everybody, tech, true},
		{"signed in without a role", everybody, []events.Role{}, false},
		{"dispatchers, a tech", dispatchers, tech, false},
		{"one of two", enrollers, dispatcher, true},
		{"two roles, one fits", techs, append(dispatcher, tech...), true},
	} {
		if got := admits(c.security, c.roles); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A route that does not say who may use it stops the server from being made.
func TestForgottenRolesAreFound(t *testing.T) {
	api := &huma.OpenAPI{Paths: map[string]*huma.PathItem{
		"/api/a": {Get: &huma.Operation{Method: "GET", Security: readers}},
		"/api/b": {Get: &huma.Operation{Method: "GET", Security: anyone}, Post: &huma.Operation{Method: "POST"}},
	}}
	if err := rolesMissing(api); err == nil || err.Error() != "console: POST /api/b does not say who may use it: give its huma.Operation a Security (see roles.go)" {
		t.Errorf("%v", err)
	}
}
