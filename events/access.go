package events

import (
	"slices"
	"time"
)

// Role is what a person may do in an office. A person may have several.
type Role string

// The roles.
const (
	RoleDispatcher    Role = "dispatcher"    // plans, sends out, keeps the records
	RoleTech          Role = "tech"          // records what happens on the own crew's stops
	RoleManager       Role = "manager"       // reads everything, keeps the records
	RoleAdministrator Role = "administrator" // says who may do what
)

// Roles lists every role.
func Roles() []Role { return []Role{RoleDispatcher, RoleTech, RoleManager, RoleAdministrator} }

// Passwords, sessions and the keys of phones are kept apart and never come into the log: what the log holds is who was
// given or lost which right, by whom (the actor) and when.
type (
	// AccountOpened: the person may sign in.
	AccountOpened struct {
		Login string `json:"login"`
	}
	// AccountClosed: the person may not sign in any more; roles stay on record and count for nothing.
	AccountClosed struct {
		Why string `json:"why,omitempty"`
	}
	// RoleGiven: the person has a role in an office.
	RoleGiven struct {
		Office OfficeID `json:"office"`
		Role   Role     `json:"role"`
	}
	// RoleTaken: the person has it no more.
	RoleTaken struct {
		Office OfficeID `json:"office"`
		Role   Role     `json:"role"`
		Why    string   `json:"why,omitempty"`
	}
	// PhoneEnrolled: a phone acts for the person on a crew.
	PhoneEnrolled struct {
		Phone  string   `json:"phone"` // its id
		Office OfficeID `json:"office"`
		Crew   CrewID   `json:"crew"`
		Name   string   `json:"name,omitempty"` // so that it is told from others
	}
	// PhoneRevoked: it acts for nobody any more.
	PhoneRevoked struct {
		Phone string `json:"phone"`
		Why   string `json:"why,omitempty"`
	}
)

// RoleIn is a role in an office.
type RoleIn struct {
	Office OfficeID `json:"office"`
	Role   Role     `json:"role"`
}

// Phone is an enrolled phone as folded. It stays on record after it was revoked: what it recorded before is still its crew's.
type Phone struct {
	PhoneEnrolled
	Since   time.Time `json:"since"`
	Revoked bool      `json:"revoked,omitempty"`
}

// Access is who a person is to the program, as folded.
type Access struct {
	Login  string   `json:"login,omitempty"`
	Open   bool     `json:"open,omitempty"` // may sign in
	Roles  []RoleIn `json:"roles,omitempty"`
	Phones []Phone  `json:"phones,omitempty"`
}

// Is reports whether the person has a role in an office.
func (a Access) Is(role Role, office OfficeID) bool {
	return slices.Contains(a.Roles, RoleIn{office, role})
}

// Phone finds a phone by its id; nil when there is none.
func (a Access) Phone(id string) *Phone {
	for i := range a.Phones {
		if a.Phones[i].Phone == id {
			return &a.Phones[i]
		}
	}
	return nil
}

func declareAccess(v *vocabulary) {
	declare[AccountOpened](v, KindPerson, "account-opened")
	declare[AccountClosed](v, KindPerson, "account-closed")
	declare[RoleGiven](v, KindPerson, "role-given")
	declare[RoleTaken](v, KindPerson, "role-taken")
	declare[PhoneEnrolled](v, KindPerson, "phone-enrolled")
	declare[PhoneRevoked](v, KindPerson, "phone-revoked")
}

// fold takes an event about access; ok is false for any other.
func (a Access) fold(at stamp, event any) (_ Access, ok bool) {
	switch e := event.(type) {
	case AccountOpened:
		a.Login, a.Open = e.Login, true
	case AccountClosed:
		a.Open = false
	case RoleGiven:
		if !a.Is(e.Role, e.Office) {
			a.Roles = append(slices.Clone(a.Roles), RoleIn(e))
		}
	case RoleTaken:
		a.Roles = slices.DeleteFunc(slices.Clone(a.Roles), func(r RoleIn) bool { return r == RoleIn{e.Office, e.Role} })
	case PhoneEnrolled:
		a.Phones = append(slices.Clone(a.Phones), Phone{PhoneEnrolled: e, Since: at.Recorded})
	case PhoneRevoked:
		a.Phones = slices.Clone(a.Phones)
		for i := range a.Phones {
			if a.Phones[i].Phone == e.Phone {
				a.Phones[i].Revoked = true
			}
		}
	default:
		return a, false
	}
	return a, true
}

// Commands about access.
type (
	// OpenAccount lets a person sign in, with these roles in the command's office.
	OpenAccount struct {
		Person PersonID
		Login  string
		Roles  []Role
	}
	// CloseAccount ends that, and every phone of the person.
	CloseAccount struct {
		Person PersonID
		Why    string
	}
	// SetRoles gives and takes roles in the command's office, until the person has exactly these.
	SetRoles struct {
		Person PersonID
		Roles  []Role
		Why    string
	}
	// EnrolPhone makes a phone act for a person on a crew.
	EnrolPhone struct {
		Person PersonID
		PhoneEnrolled
	}
	// RevokePhone ends that.
	RevokePhone struct {
		Person PersonID
		PhoneRevoked
	}
)

func decideAccess(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case OpenAccount:
		return openAccount(b, c, do)
	case CloseAccount:
		return closeAccount(b, c, do)
	case SetRoles:
		p, err := person(b, do.Person)
		if err != nil {
			return nil, err
		}
		if err := keepAdministrator(b, c.Office, do.Person, slices.Contains(do.Roles, RoleAdministrator)); err != nil {
			return nil, err
		}
		return setRoles(p, c.Office, do.Roles, do.Why)
	case EnrolPhone:
		p, err := person(b, do.Person)
		if err != nil {
			return nil, err
		}
		if b.Crews[do.Crew] == nil {
			return nil, refuse("no crew %q", do.Crew)
		}
		if p.Access.Phone(do.Phone) != nil {
			return nil, nil
		}
		return []Draft{{p.entity(), do.PhoneEnrolled}}, nil
	case RevokePhone:
		p, err := person(b, do.Person)
		if err != nil {
			return nil, err
		}
		phone := p.Access.Phone(do.Phone)
		if phone == nil {
			return nil, refuse("no such phone")
		}
		if phone.Revoked {
			return nil, nil
		}
		return []Draft{{p.entity(), do.PhoneRevoked}}, nil
	}
	return nil, errUnknownCommand(c)
}

func person(b *Book, id PersonID) (*Person, error) {
	p := b.People[id]
	if p == nil {
		return nil, refuse("no person %q", id)
	}
	return p, nil
}

func openAccount(b *Book, c Command, do OpenAccount) ([]Draft, error) {
	p, err := person(b, do.Person)
	if err != nil {
		return nil, err
	}
	for _, other := range b.People {
		if other.ID != do.Person && other.Access.Open && other.Access.Login == do.Login {
			return nil, refuse("the name %q is somebody else's: choose another to sign in with", do.Login)
		}
	}
	var drafts []Draft
	if !p.Access.Open || p.Access.Login != do.Login {
		drafts = append(drafts, Draft{p.entity(), AccountOpened{do.Login}})
	}
	roles, err := setRoles(p, c.Office, do.Roles, "")
	return append(drafts, roles...), err
}

func closeAccount(b *Book, c Command, do CloseAccount) ([]Draft, error) {
	p, err := person(b, do.Person)
	if err != nil {
		return nil, err
	}
	if err := keepAdministrator(b, c.Office, do.Person, false); err != nil {
		return nil, err
	}
	var drafts []Draft
	if p.Access.Open {
		drafts = append(drafts, Draft{p.entity(), AccountClosed{do.Why}})
	}
	for _, phone := range p.Access.Phones {
		if !phone.Revoked {
			drafts = append(drafts, Draft{p.entity(), PhoneRevoked{phone.Phone, do.Why}})
		}
	}
	return drafts, nil
}

func setRoles(p *Person, office OfficeID, roles []Role, why string) ([]Draft, error) {
	var drafts []Draft
	for _, role := range roles {
		if !slices.Contains(Roles(), role) {
			return nil, refuse("%q is not a role", role)
		}
	}
	for _, role := range Roles() {
		has, shall := p.Access.Is(role, office), slices.Contains(roles, role)
		switch {
		case shall && !has:
			drafts = append(drafts, Draft{p.entity(), RoleGiven{office, role}})
		case has && !shall:
			drafts = append(drafts, Draft{p.entity(), RoleTaken{office, role, why}})
		}
	}
	return drafts, nil
}

// keepAdministrator refuses to leave an office without anybody who can say who may do what.
func keepAdministrator(b *Book, office OfficeID, id PersonID, stays bool) error {
	isOne := func(p *Person) bool { return p.Access.Open && p.Access.Is(RoleAdministrator, office) }
	if p := b.People[id]; stays || p == nil || !isOne(p) {
		return nil
	}
	for _, other := range b.People {
		if other.ID != id && isOne(other) {
			return nil
		}
	}
	return refuse("this is the office's last administrator: make somebody else one first")
}

func (p *Person) entity() Entity { return Entity{Firm, KindPerson, string(p.ID)} }
