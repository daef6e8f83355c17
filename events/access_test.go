package events_test

import (
	"fmt"
	"slices"
	"testing"

	"valveround/events"
)

func TestDecideAccess(t *testing.T) {
	open := func(person events.PersonID, login string, roles ...events.Role) any {
		return events.OpenAccount{Person: person, Login: login, Roles: roles}
	}
	admin := open("p1", "ann", events.RoleAdministrator)
	second := events.Put[events.PersonFacts]{ID: "p9"}
	enrolled := events.EnrolPhone{Person: "p1", PhoneEnrolled: events.PhoneEnrolled{Phone: "phone-1", Office: "north", Crew: "c2"}}
	access := func(want string) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			t.Helper()
			a := b.People["p1"].Access
			got := fmt.Sprintf("%s %v %v %d", a.Login, a.Open, a.Roles, len(a.Phones))
			if got != want {
				t.Errorf("access %s, want %s", got, want)
			}
		}
	}
	decide(t, []decision{
		{name: "an account opened with two roles", when: open("p1", "ann", events.RoleDispatcher, events.RoleManager), then: "person.account-opened person.role-given person.role-given"},
		{name: "opened twice", given: []any{admin}, when: admin},
		{name: "opened for nobody", when: open("p8", "ann"), refused: "no person"},
		{name: "a name that is somebody else's", given: []any{admin, second}, when: open("p9", "ann"), refused: "somebody else's"},
		{name: "a name that is free again", given: []any{second, open("p9", "bea", events.RoleAdministrator), admin, events.CloseAccount{Person: "p1"}, events.Put[events.PersonFacts]{ID: "p10"}},
			when: open("p10", "ann"), then: "person.account-opened"},
		{name: "a role that there is not", when: open("p1", "ann", "king"), refused: "not a role"},
		{name: "roles given and taken", given: []any{second, open("p9", "bea", events.RoleAdministrator), admin},
			when: events.SetRoles{Person: "p1", Roles: []events.Role{events.RoleManager}, Why: "moved on"}, then: "person.role-given person.role-taken"},
		{name: "roles as they are", given: []any{admin}, when: events.SetRoles{Person: "p1", Roles: []events.Role{events.RoleAdministrator}}},
		{name: "the last administrator's role", given: []any{admin}, when: events.SetRoles{Person: "p1"}, refused: "last administrator"},
		{name: "the last administrator's account", given: []any{admin}, when: events.CloseAccount{Person: "p1"}, refused: "last administrator"},
		{name: "an account closed, with its phone", given: []any{second, open("p9", "bea", events.RoleAdministrator), admin, enrolled},
			when: events.CloseAccount{Person: "p1", Why: "left"}, then: "person.account-closed person.phone-revoked"},
		{name: "a phone enrolled", when: enrolled, then: "person.phone-enrolled"},
		{name: "a phone enrolled twice", given: []any{enrolled}, when: enrolled},
		{name: "a phone of no crew", when: events.EnrolPhone{Person: "p1", PhoneEnrolled: events.PhoneEnrolled{Phone: "x", Crew: "none"}}, refused: "no crew"},
		{name: "a phone revoked", given: []any{enrolled}, when: events.RevokePhone{Person: "p1", PhoneRevoked: events.PhoneRevoked{Phone: "phone-1"}}, then: "person.phone-revoked"},
		{name: "a phone revoked twice", given: []any{enrolled, events.RevokePhone{Person: "p1", PhoneRevoked: events.PhoneRevoked{Phone: "phone-1"}}},
			when: events.RevokePhone{Person: "p1", PhoneRevoked: events.PhoneRevoked{Phone: "phone-1"}}},
		{name: "a phone that is not known", when: events.RevokePhone{Person: "p1", PhoneRevoked: events.PhoneRevoked{Phone: "phone-2"}}, refused: "no such phone"},
		{name: "what is folded", given: []any{open("p1", "ann", events.RoleTech), enrolled}, when: events.SetRoles{Person: "p1", Roles: []events.Role{events.RoleTech, events.RoleManager}},
			then: "person.role-given", after: access("ann true [{north tech} {north manager}] 1")},
	})
}

// A role in one office is none in another.
func TestRolesAreOfOneOffice(t *testing.T) {
	s := world(t)
	s.do(events.OpenAccount{Person: "p1", Login: "ann", Roles: []events.Role{events.RoleManager}}, "person.account-opened", "person.role-given")
	a := s.book.People["p1"].Access
	if !a.Is(events.RoleManager, a.Roles[0].Office) || a.Is(events.RoleManager, "elsewhere") || a.Is(events.RoleAdministrator, a.Roles[0].Office) {
		t.Errorf("%+v", a)
	}
	if !slices.Contains(events.Roles(), events.RoleManager) || len(events.Roles()) != 4 {
		t.Errorf("%v", events.Roles())
	}
}
