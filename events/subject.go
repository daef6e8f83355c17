package events

import (
	"fmt"
	"strings"
)

// Kind is the sort of thing an event happens to.
type Kind string

// The kinds of entity. Everything about an assembly, its registry facts and its jobs, is filed under
// the assembly.
const (
	KindAssembly Kind = "assembly"
	KindSite     Kind = "site"
	KindFeed     Kind = "feed"
	KindDay      Kind = "day"
	KindCrew     Kind = "crew"
	KindGauge    Kind = "gauge"
	KindKit      Kind = "kit"
	KindPurveyor Kind = "purveyor"
	KindCustomer Kind = "customer"
	KindPerson   Kind = "person"
	KindSettings Kind = "settings" // what an office plans with
	KindField    Kind = "field"    // a fact that a phone sent and that belongs to nothing on record
)

var kinds = map[Kind]bool{
	KindAssembly: true, KindSite: true, KindFeed: true, KindDay: true, KindCrew: true,
	KindGauge: true, KindKit: true, KindPurveyor: true, KindCustomer: true, KindPerson: true, KindSettings: true, KindField: true,
}

const subjectRoot = "vr"

// Entity is one thing with a history of its own: the unit of order and of guarding.
type Entity struct {
	Office OfficeID
	Kind   Kind
	ID     string
}

func (e Entity) String() string {
	return subjectRoot + "." + string(e.Office) + "." + string(e.Kind) + "." + e.ID
}

// Subject is where an event of this entity is published: vr.<office>.<kind>.<id>.<event>.
func (e Entity) Subject(event string) string { return e.String() + "." + event }

// Filter matches every event of this entity and nothing else. Every writer must send this very text:
// the server's guard on writes in flight compares the filter as text.
func (e Entity) Filter() string { return e.String() + ".>" }

// AllSubjects matches every event of every office.
const AllSubjects = subjectRoot + ".>"

// ParseSubject is the inverse of Subject.
func ParseSubject(subject string) (Entity, string, error) {
	part := strings.Split(subject, ".")
	if len(part) != 5 || part[0] != subjectRoot {
		return Entity{}, "", fmt.Errorf("subject %q: want vr.<office>.<kind>.<id>.<event>", subject)
	}
	e := Entity{Office: OfficeID(part[1]), Kind: Kind(part[2]), ID: part[3]}
	if err := e.check(); err != nil {
		return Entity{}, "", fmt.Errorf("subject %q: %w", subject, err)
	}
	if err := CheckID(part[4]); err != nil {
		return Entity{}, "", fmt.Errorf("subject %q: event name %w", subject, err)
	}
	return e, part[4], nil
}

func (e Entity) check() error {
	if err := CheckID(string(e.Office)); err != nil {
		return fmt.Errorf("office %w", err)
	}
	if !kinds[e.Kind] {
		return fmt.Errorf("unknown kind %q", e.Kind)
	}
	return CheckID(e.ID)
}
