package events

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"time"
)

// Command is one intention: who wants what done, and when it happened. New ids and the instant come in with
// it, so that deciding is pure.
type Command struct {
	ID          CommandID
	Actor       PersonID
	Office      OfficeID
	Happened    time.Time
	ClockOffset *time.Duration // of the phone that recorded it
	Doubts      []string       // about the phone's clock; each becomes an alarm beside what it records
	Field       *FieldFact     // set: a fact from the field, which is kept whatever it says
	Do          any            // one of the command structs of this package
}

// at is when it happened by the server's clock, as its events will say.
func (c Command) at() time.Time {
	return Envelope{Happened: c.Happened, ClockOffset: c.ClockOffset}.OnServerClock()
}

// Draft is an event that is to happen, before it has an envelope.
type Draft struct {
	Entity Entity
	Event  any
}

// Refusal is a rule that says no, in words for whoever asked. Nothing is written.
type Refusal struct{ Words string }

func (r *Refusal) Error() string { return r.Words }

func refuse(format string, args ...any) error { return &Refusal{fmt.Sprintf(format, args...)} }

func errUnknownCommand(c Command) error { return fmt.Errorf("%T is not a command", c.Do) }

// Decide says what happens when a command is carried out on the book, or refuses. It reads no clock and writes nothing.
func Decide(b *Book, c Command) ([]Draft, error) {
	drafts, err := decide(b, c)
	var refusal *Refusal
	if c.Field != nil && errors.As(err, &refusal) {
		return keepUnplaced(c, refusal.Words), nil
	}
	if err != nil || len(drafts) == 0 {
		return nil, err
	}
	for _, doubt := range c.Doubts {
		if alarm := alarmOn(drafts[0].Entity, Alarm{About: eventID(c.ID, 0), Words: doubt, Sort: AlarmClock}); alarm != nil {
			drafts = append(drafts, *alarm)
		}
	}
	return drafts, nil
}

func decide(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case TakePhoto:
		return decidePhoto(b, do)
	case GiveNotice, AgreeTime, NoteCall, WithdrawTime, MakeBooking, AskBooking, WithdrawBooking, Arrive, Leave, MeetNoAccess, ReadPosition, SayVacant:
		return decideSite(b, c)
	case ShutFeed, RestoreFeed, LeaveFeed, Tell, NoteMeasures, FillFeed, SayOutOfUse:
		return decideFeed(b, c)
	case WishFor, DropWish, SendOut, Amend, TakeBack, EchoDispatch, EchoStandDown:
		return decideDay(b, c)
	case Put[AssemblyFacts], Put[SiteFacts], Put[FeedFacts], Put[CrewFacts], Put[GaugeFacts], Put[KitFacts],
		Put[PurveyorFacts], Put[CustomerFacts], Put[PersonFacts]:
		return decidePut(b, c)
	case ListDue, OpenJob, CarryOver, SetStanding, QuestionJob, FinishJob, SayYesToRepair, WantParts, ReadyParts, ClearWay,
		FileReport, AcceptReport, ReturnReport, Withdraw, PhoneFailure, CorrectReadings:
		return decideJob(b, c)
	case OrderPart, PromisePart, ReceivePart, ReservePart, LoadPart, ReleasePart, WrongPart, SendBackKit:
		return decidePart(b, c)
	case SeeSerial, SettleSerial:
		return decideSerial(b, c)
	case CorrectEntry, VoidResult:
		return decideCorrection(b, c)
	case NotUnderstood:
		return nil, refuse("%s", do.Why)
	case SettleAlarm:
		return decideSettleAlarm(b, c)
	case DropGauge, VerifyGauge, SetCrewOff, SetCrewBack, SaveMapping, ReceiveList:
		return decideOther(b, c)
	case OpenAccount, CloseAccount, SetRoles, EnrolPhone, RevokePhone:
		return decideAccess(b, c)
	case ChangeSettings:
		return decideSettings(b, c, do)
	}
	return nil, errUnknownCommand(c)
}

// Prepare decides a command and makes its records ready to be stored: sealed, chained to each entity's history and
// guarded. No records means that there is nothing to change.
func Prepare(b *Book, c Command, recorded time.Time) ([]Append, error) {
	return PrepareAll(b, []Command{c}, recorded)
}

// PrepareAll does the same for several commands that are to be stored as one batch. Each is decided on the book as it
// is, so no two of them may rely on each other.
func PrepareAll(b *Book, commands []Command, recorded time.Time) ([]Append, error) {
	heads := map[Entity]Head{}
	var batch []Append
	for _, c := range commands {
		if err := c.check(); err != nil {
			return nil, err
		}
		drafts, err := Decide(b, c)
		if err != nil {
			return nil, err
		}
		for i, draft := range drafts {
			head, seen := heads[draft.Entity]
			if !seen {
				head = b.heads[draft.Entity]
			}
			if head.Unread > 0 {
				return nil, refuse("%s holds events written by a newer version of this program; it can be read but not changed here", draft.Entity)
			}
			record, err := seal(c, i, draft, head.Hash, recorded)
			if err != nil {
				return nil, err
			}
			batch = append(batch, Append{Record: record, ExpectLast: head.Seq})
			head.Hash = record.Hash()
			heads[draft.Entity] = head
		}
	}
	return batch, nil
}

func seal(c Command, index int, d Draft, prev Hash, recorded time.Time) (Record, error) {
	if err := d.Entity.check(); err != nil {
		return Record{}, fmt.Errorf("%s: %w", d.Entity, err)
	}
	def, body, err := words.encode(d.Entity, d.Event)
	if err != nil {
		return Record{}, err
	}
	return Seal(Envelope{
		ID: eventID(c.ID, index), Entity: d.Entity, Name: def.name, Version: def.version, Command: c.ID, Actor: c.Actor,
		Happened: c.Happened, ClockOffset: c.ClockOffset, Recorded: recorded, Prev: prev,
	}, body), nil
}

func (c Command) check() error {
	if c.ID.IsZero() {
		return errors.New("the command has no id")
	}
	if c.Happened.IsZero() {
		return errors.New("the command does not say when it happened")
	}
	if year := c.Happened.UTC().Year(); year < 1 || year > 9999 { // beyond, RFC 3339 cannot write it
		return fmt.Errorf("the command says that it happened in the year %d: is the clock right?", year)
	}
	return nil
}

// Put enters a thing in the registry, or corrects it; it changes nothing when the facts are the same.
type Put[F any] struct {
	ID    string
	Facts F
	Why   string // of a correction
}

func decidePut(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case Put[AssemblyFacts]:
		if b.Sites[do.Facts.Site] == nil {
			return nil, refuse("assembly %q: no site %q", do.ID, do.Facts.Site)
		}
		if f := b.Feeds[do.Facts.Feed]; f == nil || f.Site != do.Facts.Site {
			return nil, refuse("assembly %q: site %q has no feed %q", do.ID, do.Facts.Site, do.Facts.Feed)
		}
		return put(c.Office, KindAssembly, do, factsOf(b.Assemblies[AssemblyID(do.ID)], func(a *Assembly) (OfficeID, AssemblyFacts) { return a.Office, a.AssemblyFacts }))
	case Put[SiteFacts]:
		return put(c.Office, KindSite, do, factsOf(b.Sites[SiteID(do.ID)], func(s *Site) (OfficeID, SiteFacts) { return s.Office, s.SiteFacts }))
	case Put[FeedFacts]:
		if b.Sites[do.Facts.Site] == nil {
			return nil, refuse("feed %q: no site %q", do.ID, do.Facts.Site)
		}
		return put(c.Office, KindFeed, do, factsOf(b.Feeds[FeedID(do.ID)], func(f *Feed) (OfficeID, FeedFacts) { return f.Office, f.FeedFacts }))
	case Put[CrewFacts]:
		return put(c.Office, KindCrew, do, factsOf(b.Crews[CrewID(do.ID)], func(x *Crew) (OfficeID, CrewFacts) { return x.Office, x.CrewFacts }))
	case Put[GaugeFacts]:
		return put(Firm, KindGauge, do, factsOf(b.Gauges[GaugeID(do.ID)], func(g *Gauge) (OfficeID, GaugeFacts) { return g.Office, g.GaugeFacts }))
	case Put[KitFacts]:
		return put(c.Office, KindKit, do, factsOf(b.Kits[KitID(do.ID)], func(k *Kit) (OfficeID, KitFacts) { return k.Office, k.KitFacts }))
	case Put[PurveyorFacts]:
		return put(Firm, KindPurveyor, do, factsOf(b.Purveyors[PurveyorID(do.ID)], func(p *Purveyor) (OfficeID, PurveyorFacts) { return p.Office, p.PurveyorFacts }))
	case Put[CustomerFacts]:
		return put(c.Office, KindCustomer, do, factsOf(b.Customers[CustomerID(do.ID)], func(x *Customer) (OfficeID, CustomerFacts) { return x.Office, x.CustomerFacts }))
	case Put[PersonFacts]:
		return put(Firm, KindPerson, do, factsOf(b.People[PersonID(do.ID)], func(p *Person) (OfficeID, PersonFacts) { return p.Office, p.PersonFacts }))
	}
	return nil, errUnknownCommand(c)
}

// onRecord is what the registry holds of a thing, and under which office; none when its first entry is missing from the log.
type onRecord[F any] struct {
	office OfficeID
	facts  F
}

// factsOf is nil when the thing is not registered yet.
func factsOf[S, F any](state *S, facts func(*S) (OfficeID, F)) *onRecord[F] {
	if state == nil {
		return nil
	}
	var known onRecord[F]
	known.office, known.facts = facts(state)
	return &known
}

func put[F any](office OfficeID, kind Kind, do Put[F], known *onRecord[F]) ([]Draft, error) {
	e := Entity{office, kind, do.ID}
	if err := e.check(); err != nil {
		return nil, refuse("%s %q: %v", kind, do.ID, err)
	}
	switch {
	case known == nil:
		return []Draft{{e, Registered[F]{do.Facts}}}, nil
	case known.office != "" && known.office != office:
		return nil, refuse("%s %q belongs to office %q", kind, do.ID, known.office)
	}
	same, err := sameFacts(known.facts, do.Facts)
	if err != nil || same {
		return nil, err
	}
	return []Draft{{e, Corrected[F]{do.Facts, do.Why}}}, nil
}

// sameFacts compares what would be written, so that nil and empty are the same.
func sameFacts(a, b any) (bool, error) {
	left, err := json.Marshal(a)
	if err != nil {
		return false, err
	}
	right, err := json.Marshal(b)
	if err != nil {
		return false, err
	}
	return reflect.DeepEqual(left, right), nil
}

// Commands about gauges, crews and purveyors besides their registry facts.
type (
	// DropGauge takes a gauge out of use until it is verified.
	DropGauge struct {
		Gauge GaugeID
		Why   string
	}
	// VerifyGauge puts a gauge back in use.
	VerifyGauge struct {
		Gauge GaugeID
		GaugeVerified
	}
	// SetCrewOff says that a crew does not work on a day.
	SetCrewOff struct {
		Crew CrewID
		CrewOff
	}
	// SetCrewBack says that it works after all.
	SetCrewBack struct {
		Crew CrewID
		Date Date
	}
	// SaveMapping keeps how the columns of a purveyor's list are read.
	SaveMapping struct {
		Purveyor PurveyorID
		MappingSaved
	}
	// ReceiveList notes that a due list was taken in.
	ReceiveList struct {
		Purveyor PurveyorID
		ListReceived
	}
)

func decideOther(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case DropGauge:
		return onKnown(b.Gauges[do.Gauge], "gauge", string(do.Gauge), GaugeDropped{do.Why})
	case VerifyGauge:
		return onKnown(b.Gauges[do.Gauge], "gauge", string(do.Gauge), do.GaugeVerified)
	case SetCrewOff:
		if x := b.Crews[do.Crew]; x != nil && slices.Contains(x.Off, do.CrewOff) {
			return nil, nil
		}
		return onKnown(b.Crews[do.Crew], "crew", string(do.Crew), do.CrewOff)
	case SetCrewBack:
		if x := b.Crews[do.Crew]; x != nil && !slices.ContainsFunc(x.Off, func(off CrewOff) bool { return off.Date == do.Date }) {
			return nil, nil
		}
		return onKnown(b.Crews[do.Crew], "crew", string(do.Crew), CrewBack{do.Date})
	case SaveMapping:
		if !json.Valid(do.Mapping) {
			return nil, refuse("the mapping of the columns is not JSON")
		}
		if p := b.Purveyors[do.Purveyor]; p != nil {
			if same, err := sameFacts(p.Mappings[do.Fingerprint], do.Mapping); err != nil || same {
				return nil, err
			}
		}
		return onKnown(b.Purveyors[do.Purveyor], "purveyor", string(do.Purveyor), do.MappingSaved)
	case ReceiveList:
		if p := b.Purveyors[do.Purveyor]; p != nil && slices.ContainsFunc(p.Lists, func(l ListReceived) bool { return l.SHA256 == do.SHA256 && l.AsOf == do.AsOf }) {
			return nil, nil
		}
		return onKnown(b.Purveyors[do.Purveyor], "purveyor", string(do.Purveyor), do.ListReceived)
	}
	return nil, errUnknownCommand(c)
}

func onKnown[S any, P interface {
	*S
	entity() Entity
}](state P, kind, id string, event any) ([]Draft, error) {
	if state == nil {
		return nil, refuse("no %s %q", kind, id)
	}
	return []Draft{{state.entity(), event}}, nil
}
