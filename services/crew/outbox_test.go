package crew_test

import (
	"context"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/geo"
	"valveround/services/crew"
)

// dice draws a number from 0 to n-1: rapid's, or a seeded source where there is nothing to shrink.
type dice func(what string, n int) int

func rapidDice(t *rapid.T) dice {
	return func(what string, n int) int { return rapid.IntRange(0, n-1).Draw(t, what) }
}

func seededDice(seed uint64) dice {
	source := rand.New(rand.NewPCG(seed, 7)) //nolint:gosec // a game, not a secret
	return func(_ string, n int) int { return source.IntN(n) }
}

// taker is what a phone and the office send to: a book in memory, or the keeper of a real log.
type taker interface {
	take(c events.Command, now time.Time) (repeated bool, err error)
	look(func(*events.Book))
}

// memory decides and folds as the keeper does, without a log.
type memory struct {
	book    *events.Book
	records []events.Record
}

func (m *memory) look(see func(*events.Book)) { see(m.book) }

func (m *memory) take(c events.Command, now time.Time) (bool, error) {
	if _, known := m.book.CommandPosition(c.ID); known {
		return true, nil
	}
	batch, err := events.Prepare(m.book, c, now)
	if err != nil {
		return false, err
	}
	for _, a := range batch {
		a.Seq = m.book.Position() + 1
		if got := m.book.Apply(a.Record); !got.Accepted || got.Unknown {
			return false, fmt.Errorf("%s was decided, and the fold says %+v", a.Record.Subject(), got)
		}
		m.records = append(m.records, a.Record)
	}
	return false, nil
}

// fieldDay is one day with two phones and an office between which everything goes wrong.
type fieldDay struct {
	roll   dice
	to     taker
	now    time.Time // by the server's clock
	n      *uint64   // commands made
	phones [2]*phone
}

// phone keeps what was tapped until the server has answered.
type phone struct {
	crew    string
	off     time.Duration // its clock minus the server's
	learned bool          // from the start
	stamps  bool          // says by its own clock when it sends
	taps    []*tapped
}

type tapped struct {
	request crew.Request
	at      time.Time // by the server's clock
	sure    bool      // the server can know when it was
	sent    bool      // as far as the phone knows
	nothing bool      // it said what was known, and nothing was written
}

var fieldDate = events.NewDate(2026, time.March, 3)

func commandID(n uint64) events.CommandID {
	id := events.CommandID{0: 9}
	binary.BigEndian.PutUint64(id[8:], n)
	return id
}

// do is one command of the office; what it is refused changes nothing.
func (d *fieldDay) do(do any) (events.CommandID, error) {
	*d.n++
	c := events.Command{ID: commandID(*d.n), Actor: "office", Office: office, Happened: d.now, Do: do}
	_, err := d.to.take(c, d.now)
	var refusal *events.Refusal
	if errors.As(err, &refusal) {
		err = nil
	}
	return c.ID, err
}

// furnish enters the little world once: a site, two feeds with an assembly each, two crews, and the day out with crew 1.
func (d *fieldDay) furnish() error {
	for _, do := range []any{
		events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Name: "Hill school", Zone: "UTC"}},
		events.Put[events.FeedFacts]{ID: "f1", Facts: events.FeedFacts{Site: "s1", Name: "east leg", Manifold: "m"}},
		events.Put[events.FeedFacts]{ID: "f2", Facts: events.FeedFacts{Site: "s1", Name: "west leg", Manifold: "m"}},
		events.Put[events.CrewFacts]{ID: "c1", Facts: events.CrewFacts{Name: "Crew 1"}},
		events.Put[events.CrewFacts]{ID: "c2", Facts: events.CrewFacts{Name: "Crew 2"}},
		events.Put[events.AssemblyFacts]{ID: "a1", Facts: events.AssemblyFacts{Site: "s1", Feed: "f1", Type: events.RP}},
		events.Put[events.AssemblyFacts]{ID: "a2", Facts: events.AssemblyFacts{Site: "s1", Feed: "f2", Type: events.DC}},
		events.ListDue{Assembly: "a1", NewJob: "j1", Due: fieldDate.AddDays(9)},
		events.ListDue{Assembly: "a2", NewJob: "j2", Due: fieldDate.AddDays(9)},
	} {
		if _, err := d.do(do); err != nil {
			return err
		}
	}
	return d.sendOut("c1")
}

var fieldJobs = []events.JobRef{{Assembly: "a1", Job: "j1"}, {Assembly: "a2", Job: "j2"}}

func (d *fieldDay) sendOut(to events.CrewID) error {
	var jobs []events.DayJob
	for _, ref := range fieldJobs {
		jobs = append(jobs, events.DayJob{JobRef: ref, Work: "test"})
	}
	id, err := d.do(events.SendOut{SentOut: events.SentOut{Date: fieldDate, Routes: []events.DayRoute{{Crew: to, Visits: []events.DayVisit{{Site: "s1", Jobs: jobs}}}}}})
	for _, ref := range fieldJobs {
		if err == nil {
			_, err = d.do(events.EchoDispatch{Day: events.EventID(id.String() + "-0"), Date: fieldDate, Crew: to, JobRef: ref})
		}
	}
	return err
}

// office does something of its own between.
func (d *fieldDay) office() error {
	ref := fieldJobs[d.roll("job", 2)]
	var err error
	switch d.roll("office", 8) {
	case 0:
		if _, err = d.do(events.TakeBack{Date: fieldDate, Why: "rain"}); err == nil {
			_, err = d.do(events.EchoStandDown{Date: fieldDate, JobRef: ref})
		}
	case 1:
		err = d.sendOut([]events.CrewID{"c1", "c2"}[d.roll("to crew", 2)])
	case 2:
		var result *events.VisitResult
		d.to.look(func(b *events.Book) { result = b.Assemblies[ref.Assembly].Job(ref.Job).StandingResult() })
		if result != nil {
			_, err = d.do(events.VoidResult{JobRef: ref, About: result.Event, Why: "the wrong unit"})
		}
	case 3:
		_, err = d.do(events.Withdraw{JobRef: ref, Why: "the line was cut"})
	case 4:
		_, err = d.do(events.RestoreFeed{Feed: []events.FeedID{"f1", "f2"}[d.roll("feed", 2)], By: "the school"})
	case 5:
		_, err = d.do(events.ClearWay{JobRef: ref, Words: "dug up"})
	case 6:
		_, err = d.do(events.WantParts{JobRef: ref, Parts: []events.PartWanted{{Code: "RK-1"}}})
	case 7:
		var open []events.RaisedAlarm
		d.to.look(func(b *events.Book) { open = b.AlarmsOf(events.KindAssembly, string(ref.Assembly)) })
		if len(open) > 0 {
			_, err = d.do(events.SettleAlarm{Kind: events.KindAssembly, ID: string(ref.Assembly), Alarm: open[0].Event, Words: "asked the crew"})
		}
	}
	return err
}

// tap records something on a phone, with its id and its time made there and then.
func (d *fieldDay) tap(p *phone) {
	*d.n++
	ref := fieldJobs[d.roll("job", 2)]
	feed := []string{"f1", "f2", "f1", "fx"}[d.roll("feed", 4)]
	if d.roll("unknown", 12) == 0 {
		ref = []events.JobRef{{Assembly: "a1", Job: "jx"}, {Assembly: "ax", Job: "j1"}}[d.roll("which unknown", 2)]
	}
	r := crew.Request{CommandID: commandID(*d.n).String(), Happened: d.now.Add(p.off), Crew: p.crew, Day: fieldDate, Site: "s1", Feed: feed,
		Assembly: string(ref.Assembly), Job: string(ref.Job)}
	if p.learned {
		ms := p.off.Milliseconds()
		r.ClockOffsetMS = &ms
	}
	kinds := []string{"arrive", "leave", "no-access", "shut-off", "restore", "leave-feed", "finish-job", "finish-job", "finish-job", "tell", "serial-seen", "position", "kind of a later phone"}
	switch r.Kind = kinds[d.roll("kind", len(kinds))]; r.Kind {
	case "no-access":
		r.Jobs = []events.JobRef{ref}
	case "leave-feed":
		if s := d.roll("service", 4); s < 3 { // else the phone says nothing of it
			r.Condition = &events.Condition{Service: []events.ServiceState{events.InService, events.Impaired, events.Shut}[s]}
		}
	case "tell":
		r.Told = &events.PeopleTold{When: events.BeforeShutting, Role: "alarm company"}
	case "serial-seen":
		r.Serial = &events.SerialDiffers{Part: events.MainPart, Seen: []string{"S-1", "S-2"}[d.roll("serial", 2)]}
	case "position":
		r.Position = &events.PositionRead{At: geo.MustPoint(40, -93), AccuracyM: 9}
	case "finish-job":
		r.Outcome = []events.VisitOutcome{events.OutcomePassed, events.OutcomeFailed, events.OutcomeCouldNotTest, events.OutcomeNoAccess, events.OutcomeReplaced, events.OutcomeRemoved, "of a later phone"}[d.roll("outcome", 7)]
		r.Why = "buried"
		if r.Outcome == events.OutcomePassed || r.Outcome == events.OutcomeFailed {
			number := events.MustDecimal([]string{"1.2", "2.4"}[d.roll("reading", 2)])
			r.Initial = &events.Test{Gauge: "g1", Tester: "p1", At: r.Happened, Says: events.OpinionPass,
				Readings: []events.Reading{{Part: events.MainPart, Component: events.Check1, Phase: events.Initial, Number: &number, Unit: events.PSID}}}
		}
	}
	p.taps = append(p.taps, &tapped{request: r, at: d.now, sure: p.learned || p.stamps || p.off <= 0 && p.off > -time.Minute})
}

// send posts one tap. The request, or the answer to it, may be lost on the way.
func (d *fieldDay) send(p *phone, tap *tapped, requestLost, answerLost bool) error {
	if requestLost {
		return nil
	}
	r := tap.request
	if p.stamps {
		sent := d.now.Add(p.off)
		r.Sent = &sent
	}
	c, err := r.Fact(office, d.now)
	if err != nil {
		return err
	}
	repeated, err := d.to.take(c, d.now)
	if err != nil {
		return fmt.Errorf("a fact from the field is refused: %+v: %w", r, err)
	}
	if !repeated {
		known := false
		d.to.look(func(b *events.Book) { _, known = b.CommandPosition(c.ID) })
		tap.nothing = !known
		happened := events.Envelope{Happened: c.Happened, ClockOffset: c.ClockOffset}.OnServerClock()
		if happened.After(d.now.Add(time.Millisecond)) || tap.sure && happened.Sub(tap.at).Abs() > time.Second {
			return fmt.Errorf("happened at %s, taken as %s, received at %s (the phone is off by %s)", tap.at, happened, d.now, p.off)
		}
	}
	tap.sent = tap.sent || !answerLost
	return nil
}

// play is one sequence of taps, sends and edits, then signal for everybody.
func (d *fieldDay) play(steps int) error {
	for i := range d.phones {
		p := &phone{crew: "c1", off: []time.Duration{0, 5 * time.Hour, -5 * time.Hour, 20 * time.Second}[d.roll("clock", 4)]}
		p.learned, p.stamps = d.roll("learned", 2) == 0, d.roll("stamps", 2) == 0
		if i == 1 && d.roll("other crew", 2) == 0 {
			p.crew = "c2"
		}
		d.phones[i] = p
	}
	for range steps {
		d.now = d.now.Add(time.Duration(1+d.roll("minutes", 9)) * time.Minute)
		p := d.phones[d.roll("phone", 2)]
		switch d.roll("step", 8) {
		case 0:
			if err := d.office(); err != nil {
				return err
			}
		case 1, 2, 3, 4:
			d.tap(p)
		default: // any of what was tapped: out of order, and also what was sent already
			if len(p.taps) > 0 {
				lost := d.roll("lost", 4)
				if err := d.send(p, p.taps[d.roll("which", len(p.taps))], lost == 0, lost == 1); err != nil {
					return err
				}
			}
		}
	}
	for range 2 { // and once more, whoever may have heard of it
		for _, p := range d.phones {
			for _, tap := range p.taps {
				d.now = d.now.Add(time.Second)
				if err := d.send(p, tap, false, false); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// settled says what is lost, or there twice, once everything was sent.
func (d *fieldDay) settled() error {
	var err error
	d.to.look(func(b *events.Book) {
		for _, p := range d.phones {
			for _, tap := range p.taps {
				if err = errors.Join(err, inTheBook(b, tap)); err != nil {
					return
				}
			}
		}
		for _, ref := range fieldJobs {
			err = errors.Join(err, inOrderOfTime(b.Assemblies[ref.Assembly].Job(ref.Job)))
		}
	})
	return err
}

// inTheBook wants a fact where it belongs, or kept with an alarm because it belongs nowhere.
func inTheBook(b *events.Book, tap *tapped) error {
	r := tap.request
	id, _ := events.ParseCommandID(r.CommandID)
	_, known := b.CommandPosition(id)
	switch {
	case known == tap.nothing:
		return fmt.Errorf("%s %+v: in the log: %v, nothing new: %v", r.CommandID, r, known, tap.nothing)
	case tap.nothing && r.Kind != "serial-seen" && r.Kind != "position": // which are asked for once
		return fmt.Errorf("%+v was taken for nothing new", r)
	}
	if kept := b.Unplaced[id.String()]; kept != nil {
		if len(b.AlarmsOf(events.KindField, id.String())) != 1 || !strings.Contains(string(kept.Request), r.CommandID) {
			return fmt.Errorf("%+v is kept as %+v", r, kept)
		}
		return nil
	}
	if r.Kind != "finish-job" {
		return nil
	}
	of := func(e events.EventID) bool { return e.CommandKey() == id.Key() }
	job := b.Assemblies[events.AssemblyID(r.Assembly)].Job(events.JobID(r.Job))
	stands := slices.ContainsFunc(job.Results, func(v events.VisitResult) bool { return of(v.Event) })
	late := slices.IndexFunc(job.Late, func(l events.LateTaken) bool { return of(l.Event) })
	if stands == (late >= 0) {
		return fmt.Errorf("%+v is a result: %v, and kept beside one: %v", r, stands, late >= 0)
	}
	return nil
}

// inOrderOfTime: a result that was kept beside another one is not of a later moment than that, and tests lie in their order.
func inOrderOfTime(j *events.Job) error {
	for _, l := range j.Late {
		i := slices.IndexFunc(j.Results, func(v events.VisitResult) bool { return v.Event == l.Stands })
		if i < 0 || !l.Same && l.At.After(j.Results[i].At) {
			return fmt.Errorf("late is %+v among the results %+v", l, j.Results)
		}
	}
	if !slices.IsSortedFunc(j.Tests, func(x, y events.TestTaken) int { return x.At.Compare(y.At) }) {
		return fmt.Errorf("the tests are out of order: %+v", j.Tests)
	}
	return nil
}

// onceInTheLog: no event is there twice, and the events of a command lie together.
func onceInTheLog(records []events.Record) error {
	seen, closed := map[events.EventID]bool{}, map[events.CommandID]bool{}
	for i, r := range records {
		if seen[r.ID] {
			return fmt.Errorf("event %s (%s) is in the log twice", r.ID, r.Subject())
		}
		seen[r.ID] = true
		if i > 0 && records[i-1].Command != r.Command {
			closed[records[i-1].Command] = true
		}
		if closed[r.Command] {
			return fmt.Errorf("command %s wrote twice", r.Command)
		}
	}
	return nil
}

// sequences is how many random days are played in memory.
const sequences = 10_000

// TestNothingLostNothingTwice: two phones, of one crew or of two, with clocks hours off; what they tap is sent late, twice,
// out of order, with answers lost, while the office takes the day back, gives it to another crew, voids and withdraws. In
// the end everything tapped is in the log once.
func TestNothingLostNothingTwice(t *testing.T) {
	checks := flag.Lookup("rapid.checks")
	before := checks.Value.String()
	if err := checks.Value.Set(fmt.Sprint(sequences)); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = checks.Value.Set(before) }()
	rapid.Check(t, func(t *rapid.T) {
		m, n := &memory{book: events.NewBook()}, uint64(0)
		d := &fieldDay{roll: rapidDice(t), to: m, now: seven, n: &n}
		for _, err := range []error{d.furnish(), d.play(4 + d.roll("steps", 20)), d.settled(), onceInTheLog(m.records)} {
			if err != nil {
				t.Fatal(err)
			}
		}
	})
}

// kept is the keeper over the real log.
type kept struct {
	ctx context.Context
	*keeper.Keeper
}

func (k kept) look(see func(*events.Book)) { k.Look(see) }

func (k kept) take(c events.Command, _ time.Time) (bool, error) {
	receipt, err := k.Do(k.ctx, c)
	return receipt.Repeated, err
}

// TestNothingLostNothingTwiceOnTheRealLog: the same on the embedded server, the two phones and the office all at once.
func TestNothingLostNothingTwiceOnTheRealLog(t *testing.T) {
	store, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	keeps, err := keeper.Open(t.Context(), keeper.Config{Log: store})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = keeps.Close() })
	to, n := kept{t.Context(), keeps}, uint64(0)
	first := &fieldDay{roll: seededDice(0), to: to, now: seven, n: &n}
	if err := first.furnish(); err != nil {
		t.Fatal(err)
	}
	for seed := range uint64(200) {
		d := &fieldDay{roll: seededDice(seed), to: to, now: seven.Add(time.Duration(seed) * time.Minute), n: &n}
		if err := d.play(0); err != nil { // the phones, and nothing tapped yet
			t.Fatal(err)
		}
		for range 3 {
			d.tap(d.phones[0])
			d.tap(d.phones[1])
		}
		if err := d.allAtOnce(seed); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if err := d.settled(); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
	}
	var records []events.Record
	if err := store.Read(t.Context(), 1, func(r events.Record) error { records = append(records, r); return nil }); err != nil {
		t.Fatal(err)
	}
	if err := onceInTheLog(records); err != nil {
		t.Fatal(err)
	}
	if stats := keeps.Stats(); stats.Void+stats.Missing > 0 || len(stats.Unknown) > 0 {
		t.Errorf("the book has met %+v", stats)
	}
}

// allAtOnce lets each phone send its taps in an order of its own, each twice, while the office goes on.
func (d *fieldDay) allAtOnce(seed uint64) error {
	var wait sync.WaitGroup
	failures := make([]error, 3)
	for i, p := range d.phones {
		wait.Go(func() {
			mine := *d
			mine.roll = seededDice(seed<<8 + uint64(i)) //nolint:gosec // an index is not below zero
			order := append(slices.Clone(p.taps), p.taps...)
			for k := range order {
				other := mine.roll("order", len(order))
				order[k], order[other] = order[other], order[k]
			}
			for _, tap := range order {
				mine.now = mine.now.Add(time.Second)
				failures[i] = errors.Join(failures[i], mine.send(p, tap, false, false))
			}
		})
	}
	wait.Go(func() {
		mine := *d
		mine.roll = seededDice(seed<<8 + 99)
		failures[2] = mine.office()
	})
	wait.Wait()
	return errors.Join(failures...)
}
