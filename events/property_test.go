package events_test

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
)

// player carries random commands out on a small world, as the keeper would: what is known is not done again, and every
// record goes through its stored form.
type player struct {
	t    *rapid.T
	book *events.Book
	log  []events.Record
	now  time.Time
	n    uint16
}

// play starts from the world of the decide tests and carries out up to most random commands.
func play(t *rapid.T, from *story, most int) *player {
	p := &player{t: t, book: events.NewBook(), now: from.now}
	for _, r := range from.log {
		p.store(r)
	}
	for range 1 + evenly(t, "commands", most) {
		p.do(drawCommand(t, p.book))
	}
	return p
}

func (p *player) command(do any) events.Command {
	p.n++
	p.now = p.now.Add(time.Duration(rapid.IntRange(-600, 3600).Draw(p.t, "seconds later")) * time.Second)
	return events.Command{ID: events.CommandID{15: 1, 0: byte(p.n), 1: byte(p.n >> 8)}, Actor: "p-1", Office: office, Happened: p.now, Do: do}
}

// do carries a command out, and then again in the two ways in which it may come again.
func (p *player) do(do any) {
	c := p.command(do)
	if !p.carryOut(c) {
		return
	}
	before := p.book.Digest()
	if p.carryOut(c); p.book.Digest() != before {
		p.t.Fatalf("%T %+v: sent twice under one id, it changed something twice", do, do)
	}
	if repeatable(do) {
		if drafts, err := events.Decide(p.book, p.command(do)); err != nil || len(drafts) > 0 {
			p.t.Fatalf("%T %+v: done and asked again, it makes %+v, %v, want nothing", do, do, drafts, err)
		}
	}
}

// repeatable commands say what is to be, and not that something happened: under another id they change nothing twice.
func repeatable(do any) bool {
	switch do := do.(type) {
	case events.SettleSerial:
		return do.Take // a serial that was not taken is no longer spoken of
	case events.Put[events.SiteFacts], events.Put[events.FeedFacts], events.Put[events.AssemblyFacts], events.Put[events.CrewFacts], events.Put[events.GaugeFacts],
		events.Put[events.KitFacts], events.Put[events.PurveyorFacts], events.Put[events.CustomerFacts], events.Put[events.PersonFacts],
		events.ListDue, events.CarryOver, events.SetStanding, events.QuestionJob, events.SayYesToRepair, events.WantParts, events.ReadyParts,
		events.EchoDispatch, events.EchoStandDown, events.SaveMapping, events.ReceiveList, events.SetCrewOff, events.SetCrewBack,
		events.SeeSerial, events.TakePhoto:
		return true
	}
	return false
}

// carryOut reports whether the command was done; a refusal writes nothing.
func (p *player) carryOut(c events.Command) bool {
	if _, known := p.book.CommandPosition(c.ID); known {
		return true
	}
	drafts, decided := events.Decide(p.book, c)
	batch, err := events.Prepare(p.book, c, p.now)
	var refusal *events.Refusal
	switch {
	case errors.As(err, &refusal):
		if len(batch) > 0 || strings.TrimSpace(refusal.Words) == "" {
			p.t.Fatalf("%T: refused with %d records and the words %q", c.Do, len(batch), refusal.Words)
		}
		return false
	case err != nil || decided != nil:
		p.t.Fatalf("%T %+v: %v, %v", c.Do, c.Do, err, decided)
	case len(batch) != len(drafts):
		p.t.Fatalf("%T: %d drafts became %d records", c.Do, len(drafts), len(batch))
	}
	for i, a := range batch {
		if last := p.book.Head(a.Entity); i == 0 && a.ExpectLast != last.Seq {
			p.t.Fatalf("%T: expects position %d, and it stands at %d", c.Do, a.ExpectLast, last.Seq)
		}
		got, err := events.Decode(a.Record)
		if again, _ := json.Marshal(got); err != nil || reflect.TypeOf(got) != reflect.TypeOf(drafts[i].Event) || string(again) != string(a.Body) {
			p.t.Fatalf("%T: decoded\n%+v, %v, want\n%+v", c.Do, got, err, drafts[i].Event)
		}
		p.store(a.Record)
	}
	return true
}

// store sends a record through its stored form and folds it: the fold takes everything that was decided.
func (p *player) store(r events.Record) {
	stored, err := events.Open(r.Subject(), r.Headers, r.Body, p.book.Position()+1)
	if err != nil {
		p.t.Fatal(err)
	}
	if got := p.book.Apply(stored); !got.Accepted || got.Void || got.Unknown {
		p.t.Fatalf("%s: decided, and the fold says %+v", r.Subject(), got)
	}
	p.log = append(p.log, stored)
}

// small worlds have few names, so that commands meet; an x is nobody.
func drawCommand(t *rapid.T, b *events.Book) any {
	one := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	day := func() events.Date { return march(rapid.IntRange(1, 6).Draw(t, "day")) }
	ref := func() events.JobRef {
		if rapid.IntRange(0, 19).Draw(t, "nobody") == 0 {
			return noJob
		}
		var refs []events.JobRef
		for _, a := range b.Assemblies {
			for _, j := range a.Jobs {
				refs = append(refs, events.JobRef{Assembly: a.ID, Job: j.ID})
			}
		}
		slices.SortFunc(refs, func(a, b events.JobRef) int {
			return cmp.Or(cmp.Compare(a.Assembly, b.Assembly), cmp.Compare(a.Job, b.Job))
		})
		return rapid.SampledFrom(refs).Draw(t, "job")
	}
	crew := func() events.CrewID { return events.CrewID(one("crew", "c1", "c1", "c2", "cx")) }
	site := func() events.SiteID { return events.SiteID(one("site", "s1", "s1", "sx")) }
	feed := func() events.FeedID { return events.FeedID(one("feed", "f1", "f2", "f3", "f4", "fx")) }
	words := func() string { return one("words", "", "why <not> & ½", "\"\x00\u2028") }
	parts := func() []events.PartWanted {
		n := rapid.IntRange(0, 2).Draw(t, "parts")
		var list []events.PartWanted
		for range n {
			list = append(list, events.PartWanted{Code: one("code", "RK-1", "RK-2"), Promised: day()})
		}
		return list
	}
	routes := func() []events.DayRoute {
		return []events.DayRoute{{Crew: crew(), Visits: []events.DayVisit{{Site: "s1", Jobs: []events.DayJob{{JobRef: ref(), Work: "test"}, {JobRef: ref()}}}}}}
	}
	switch evenly(t, "sort of command", 40) {
	case 36, 37, 38, 39:
		return drawMending(t, b, ref(), day(), crew(), words())
	case 0:
		return events.Put[events.SiteFacts]{ID: string(site()), Facts: events.SiteFacts{Name: words(), NoticeDays: rapid.IntRange(0, 3).Draw(t, "days")}}
	case 1:
		return events.Put[events.FeedFacts]{ID: string(feed()), Facts: events.FeedFacts{Site: site(), Manifold: one("manifold", "", "m"), FedFrom: events.FeedID(one("fed from", "", "f1"))}}
	case 2:
		return events.Put[events.AssemblyFacts]{ID: one("assembly", "a1", "a2", "a3", ""), Facts: events.AssemblyFacts{Site: "s1", Feed: feed(),
			Purveyor: events.PurveyorID(one("purveyor", "pv", "px")), Type: events.RP, Hazard: events.Hazard(one("hazard", "", "health")), LastPassed: day()}}
	case 3:
		return events.Put[events.KitFacts]{ID: one("kit", "k1", "k2", "k3"), Facts: events.KitFacts{Code: one("code", "RK-1", "RK-2")}}
	case 4:
		return events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{CertifiedUntil: day(), RegisteredWith: []events.PurveyorID{}}}
	case 5:
		return events.GiveNotice{Site: site(), Notice: events.Notice{Given: day()}}
	case 6:
		from := time.Date(2026, 3, 3, 6, 0, 0, 0, time.UTC)
		return events.AgreeTime{Site: site(), AgreedTime: events.AgreedTime{From: from, To: from.Add(time.Duration(rapid.IntRange(-1, 3).Draw(t, "hours")) * time.Hour)}}
	case 7:
		from := time.Date(2026, 3, 3, 6, 0, 0, 0, time.UTC)
		if rapid.Bool().Draw(t, "withdraw") {
			return events.WithdrawBooking{Site: site(), BookingWithdrawn: events.BookingWithdrawn{What: events.Escort, From: from, To: from.Add(time.Hour), Why: words()}}
		}
		return events.MakeBooking{Site: site(), Booking: events.Booking{What: events.Escort, From: from, To: from.Add(time.Duration(rapid.IntRange(0, 2).Draw(t, "hours")) * time.Hour)}}
	case 8:
		return events.Arrive{Site: site(), Crew: crew(), Day: day()}
	case 9:
		return events.Leave{Site: site(), Crew: crew(), Day: day()}
	case 10:
		return events.MeetNoAccess{Site: site(), Crew: crew(), Day: day(), Jobs: []events.JobRef{ref()}, Words: words()}
	case 11:
		return events.ShutFeed{Feed: feed(), Crew: crew()}
	case 12:
		return events.RestoreFeed{Feed: feed(), By: words()}
	case 13:
		return events.LeaveFeed{Feed: feed(), Condition: events.Condition{Service: events.ServiceState(one("service", "in-service", "impaired", "shut", "")),
			Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveState(one("valve", "open", "shut"))}}}}
	case 14:
		return events.WishFor{Date: march(rapid.IntRange(1, 2).Draw(t, "wish for")), Wish: events.Wish{Site: site(), Crew: events.CrewID(one("wish", "", "c1", "cx")), Out: rapid.Bool().Draw(t, "out"), Why: words()}}
	case 15:
		return events.DropWish{Date: march(rapid.IntRange(1, 2).Draw(t, "drop for")), Site: site()}
	case 16, 17:
		return events.SendOut{SentOut: events.SentOut{Date: day(), Routes: routes()}}
	case 18:
		return events.Amend{Date: day(), Amended: events.Amended{Routes: routes(), Why: words()}}
	case 19:
		return events.TakeBack{Date: day(), Why: words()}
	case 20, 21:
		return drawEcho(t, b, day, ref, crew)
	case 22:
		return events.EchoStandDown{Date: day(), JobRef: ref()}
	case 23, 24:
		return events.ListDue{Assembly: events.AssemblyID(one("assembly", "a1", "a2", "a3")), NewJob: events.JobID(one("new job", "j1", "j2", "j3", "j4", "j5", "")),
			Due:      date(one("due", "2026-03-10", "2026-03-12", "2026-09-01", "2027-03-10")),
			AsOf:     day(),
			List:     words(),
			Kind:     events.JobKind(one("kind", "", "annual-test")),
			Standing: events.Standing(one("standing", "", "ours", "not-ours", "ask"))}
	case 25:
		return events.CarryOver{JobRef: ref(), FailedOn: day(), Words: words()}
	case 26:
		return events.SetStanding{JobRef: ref(), Standing: events.Standing(one("standing", "ours", "not-ours", "ask"))}
	case 27:
		return events.QuestionJob{JobRef: ref(), Words: words()}
	case 28, 29, 30, 31:
		return drawFinish(t, ref(), crew(), day(), parts(), words())
	case 32:
		return rapid.SampledFrom([]any{events.SayYesToRepair{JobRef: ref(), RepairYes: events.RepairYes{Basis: "quote", On: day()}},
			events.WantParts{JobRef: ref(), Parts: parts()}, events.ReadyParts{JobRef: ref(), Where: words(), Items: []events.KitID{events.KitID(one("item", "k1", "k2", "kx"))}},
			events.ReadyParts{JobRef: ref(), Where: "shop"}}).Draw(t, "repair")
	case 33:
		return rapid.SampledFrom([]any{events.ClearWay{JobRef: ref(), Words: words()}, events.FileReport{JobRef: ref(), On: day()},
			events.AcceptReport{JobRef: ref(), On: day()}, events.ReturnReport{JobRef: ref(), On: day(), Why: words()}, events.Withdraw{JobRef: ref(), Why: words()}}).Draw(t, "report")
	case 34:
		return rapid.SampledFrom([]any{events.SetCrewOff{Crew: crew(), CrewOff: events.CrewOff{Date: day(), Why: words()}}, events.SetCrewBack{Crew: crew(), Date: day()},
			events.DropGauge{Gauge: "g1", Why: words()}, events.VerifyGauge{Gauge: "g1", GaugeVerified: events.GaugeVerified{CertifiedUntil: day()}}}).Draw(t, "crew or gauge")
	default:
		return rapid.SampledFrom([]any{events.SaveMapping{Purveyor: "pv", MappingSaved: events.MappingSaved{Fingerprint: "ab", Mapping: json.RawMessage(one("mapping", `{"a":1}`, `{"b":"\u003c"}`))}},
			events.ReceiveList{Purveyor: "pv", ListReceived: events.ListReceived{File: "f.csv", AsOf: day(), Counts: map[string]int{"new": 1}}}}).Draw(t, "list")
	}
}

// evenly draws a number from 0 to n-1 that is as often large as small; the library's own ranges prefer small ones.
func evenly(t *rapid.T, name string, n int) int {
	drawn := 0
	for range 8 {
		drawn *= 2
		if rapid.Bool().Draw(t, name) {
			drawn++
		}
	}
	return drawn % n
}

// drawEcho mostly echoes a day that is out.
func drawEcho(t *rapid.T, b *events.Book, day func() events.Date, ref func() events.JobRef, crew func() events.CrewID) any {
	do := events.EchoDispatch{Day: "nobody-0", Date: day(), Crew: crew(), JobRef: ref()}
	if d := b.Day(office, do.Date); d != nil && d.Sent != nil {
		do.Day = d.SentBy
		if rapid.Bool().Draw(t, "of its route") {
			d.Sent.Jobs(func(crew events.CrewID, j events.DayJob) { do.Crew, do.JobRef = crew, j.JobRef })
		}
	}
	return do
}

func drawFinish(t *rapid.T, ref events.JobRef, crew events.CrewID, day events.Date, parts []events.PartWanted, words string) any {
	test := func(name string) *events.Test {
		if !rapid.Bool().Draw(t, name) {
			return nil
		}
		number := rapid.SampledFrom([]string{"1.8", "2.0", "4.9", "5.00", "6.2"})
		return rpTest(number.Draw(t, "check 1"), number.Draw(t, "relief"), rapid.SampledFrom([]events.Opinion{events.OpinionPass, events.OpinionFail, ""}).Draw(t, "says"))
	}
	outcomes := []events.VisitOutcome{events.OutcomePassed, events.OutcomePassed, events.OutcomeFailed, events.OutcomeFailed, events.OutcomeRepairedPassed,
		events.OutcomeCouldNotTest, events.OutcomeNotFound, events.OutcomeRemoved, events.OutcomeReplaced, events.OutcomeWrongType, events.OutcomeNoAccess,
		events.OutcomeRefused, events.OutcomeRanOut, "shrug"}
	do := events.FinishJob{JobRef: ref, Crew: crew, Day: day, Initial: test("initial"), Final: test("final"), Parts: parts, Words: words,
		Outcome: outcomes[evenly(t, "outcome", len(outcomes))],
		Why:     rapid.SampledFrom([]string{"", "buried"}).Draw(t, "why"),
		Seen:    rapid.SampledFrom([]events.AssemblyType{"", events.DC}).Draw(t, "seen")}
	if rapid.Bool().Draw(t, "repair") {
		do.Repair = &events.Repaired{Fitted: parts}
	}
	if rapid.Bool().Draw(t, "wrong kit") {
		do.Wrong = []events.KitTrouble{{Code: rapid.SampledFrom([]string{"RK-1", "RK-2"}).Draw(t, "wrong"), Why: "wrong serial range"}}
	}
	if do.Outcome == events.OutcomeReplaced {
		do.New = &events.Replaced{Serial: "N-1", Type: events.DC}
	}
	return do
}

// picture is everything in a book that a snapshot holds, as text.
func picture(t *rapid.T, b *events.Book) string {
	days := map[string]*events.Day{}
	for e, d := range b.Days {
		days[e.String()] = d
	}
	text, err := json.Marshal([]any{b.Assemblies, b.Sites, b.Feeds, days, b.Crews, b.Gauges, b.Kits, b.Purveyors, b.Customers, b.People})
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func fold(log []events.Record, into *events.Book) *events.Book {
	for _, r := range log {
		into.Apply(r)
	}
	return into
}

// TestCommandsProperty: what is decided is folded, decoded as it was decided, and changes nothing twice (see player).
func TestCommandsProperty(t *testing.T) {
	from := world(t)
	rapid.Check(t, func(t *rapid.T) { play(t, from, 40) })
}

// TestFoldProperty: folding in two halves is folding once, whatever snapshots are taken between, and a snapshot never
// changes; books are equal exactly when their digests are.
func TestFoldProperty(t *testing.T) {
	from := world(t)
	rapid.Check(t, func(t *rapid.T) {
		p := play(t, from, 40)
		cut := evenly(t, "cut", len(p.log)+1)
		half := fold(p.log[:cut], events.NewBook())
		digest := half.Digest()
		snapshots, pictures := []*events.Book{half.Snapshot()}, []string{picture(t, half)}
		for _, r := range p.log[cut:] {
			half.Apply(r)
			snapshots, pictures = append(snapshots, half.Snapshot()), append(pictures, picture(t, half))
		}
		for i, snapshot := range snapshots {
			if got := picture(t, snapshot); got != pictures[i] || snapshot.Position() != uint64(cut+i) {
				t.Fatalf("the snapshot at position %d changed:\n%s\nwas\n%s", cut+i, got, pictures[i])
			}
		}
		if half.Digest() != p.book.Digest() || picture(t, half) != picture(t, p.book) {
			t.Fatalf("folded in two halves, parted at %d of %d, the book differs", cut, len(p.log))
		}
		if (digest == half.Digest()) != (cut == len(p.log)) {
			t.Fatal("the digest is the same although records were folded, or differs although none were")
		}
		if got := snapshots[0].Apply(p.log[0]); !errors.Is(got.Err, events.ErrSnapshot) || got.Accepted {
			t.Fatalf("a snapshot took a record: %+v", got)
		}
	})
}

// TestChainProperty: a flipped bit in the subject, a header's name or value, or the body makes the record or its successor
// void. (The newest record of an entity has no successor yet: that it was changed is seen once one follows, or against a
// copy.)
func TestChainProperty(t *testing.T) {
	from := world(t)
	rapid.Check(t, func(t *rapid.T) {
		p := play(t, from, 15)
		i, next := drawRecord(t, p.log)
		damaged := flip(t, p.log[i])
		voids := map[int]bool{}
		book := events.NewBook()
		for j, r := range p.log {
			if j == i {
				r = damaged
			}
			voids[j] = book.Apply(r).Void
		}
		if !voids[i] && !voids[next] {
			t.Fatalf("record %d, %s, was damaged to %s %v %q, and neither it nor its successor %d is void", i, p.log[i].Subject(), damaged.Subject(), damaged.Headers, damaged.Body, next)
		}
	})
}

// drawRecord picks a record that has a successor, and says where that is.
func drawRecord(t *rapid.T, log []events.Record) (i, next int) {
	successor, newest := map[int]int{}, map[events.Entity]int{}
	for j, r := range log {
		if before, ok := newest[r.Entity]; ok {
			successor[before] = j
		}
		newest[r.Entity] = j
	}
	i = rapid.SampledFrom(slices.Sorted(maps.Keys(successor))).Draw(t, "record")
	return i, successor[i]
}

// flip changes one bit of what is stored. What cannot be read then is passed on as the log passes it on.
func flip(t *rapid.T, r events.Record) events.Record {
	one := func(text string) string {
		bytes := []byte(text)
		if len(bytes) == 0 {
			return "\x01"
		}
		bytes[rapid.IntRange(0, len(bytes)-1).Draw(t, "byte")] ^= 1 << rapid.IntRange(0, 7).Draw(t, "bit")
		return string(bytes)
	}
	subject, headers, body := r.Subject(), maps.Clone(r.Headers), string(r.Body)
	name := rapid.SampledFrom(slices.Sorted(maps.Keys(headers))).Draw(t, "header")
	switch rapid.IntRange(0, 3).Draw(t, "where") {
	case 0:
		subject = one(subject)
	case 1:
		value := headers[name]
		delete(headers, name)
		headers[one(name)] = value
	case 2:
		headers[name] = one(headers[name])
	default:
		body = one(body)
	}
	damaged, err := events.Open(subject, headers, []byte(body), r.Seq)
	if err != nil {
		damaged.Version = 0
	}
	return damaged
}

// TestDisorderProperty: records that come twice or in any order are void where they do not follow, are counted, and never
// spoil a book: every entity is as after some first part of its history.
func TestDisorderProperty(t *testing.T) {
	from := world(t)
	rapid.Check(t, func(t *rapid.T) {
		p := play(t, from, 15)
		again := rapid.SliceOfN(rapid.SampledFrom(p.log), 0, 10).Draw(t, "again")
		mixed := rapid.Permutation(slices.Concat(p.log, again)).Draw(t, "order")
		if rapid.Bool().Draw(t, "only doubled") {
			mixed = nil
			for _, r := range p.log {
				mixed = append(mixed, r, r)
			}
		}
		book := events.NewBook()
		var accepted []events.Record
		perEntity, void := map[events.Entity][]events.EventID{}, 0
		for i, r := range mixed {
			r.Seq = uint64(i + 1)
			switch got := book.Apply(r); {
			case got.Accepted == got.Void || got.Unknown:
				t.Fatalf("%s: %+v", r.Subject(), got)
			case got.Void:
				void++
			default:
				accepted = append(accepted, r)
				perEntity[r.Entity] = append(perEntity[r.Entity], r.ID)
			}
		}
		counted := 0
		book.Heads(func(e events.Entity, h events.Head) {
			counted += h.Voided
			if h.Records != len(perEntity[e]) || h.Unread != 0 {
				t.Fatalf("%s: %d accepted, and its head says %+v", e, len(perEntity[e]), h)
			}
		})
		if counted != void || void+len(accepted) != len(mixed) {
			t.Fatalf("%d of %d records void, %d counted", void, len(mixed), counted)
		}
		whole := map[events.Entity][]events.EventID{}
		for _, r := range p.log {
			whole[r.Entity] = append(whole[r.Entity], r.ID)
		}
		for e, ids := range perEntity {
			if fmt.Sprint(ids) != fmt.Sprint(whole[e][:len(ids)]) {
				t.Fatalf("%s took %v of %v", e, ids, whole[e])
			}
		}
		if picture(t, book) != picture(t, fold(accepted, events.NewBook())) {
			t.Fatal("void records changed the book")
		}
		if len(mixed) == 2*len(p.log) && void == len(p.log) && picture(t, book) != picture(t, p.book) {
			t.Fatal("every record twice is not every record once")
		}
	})
}
