package killtest

import (
	"context"
	crand "crypto/rand"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
)

// childFolder names the variable that turns this test binary into the child.
const childFolder = "KILLTEST_FOLDER"

func TestMain(m *testing.M) {
	if folder := os.Getenv(childFolder); folder != "" {
		go func() { // never outlive the parent
			_, _ = io.Copy(io.Discard, os.Stdin)
			os.Exit(3)
		}()
		if err := child(context.Background(), folder); err != nil {
			fmt.Fprintln(os.Stderr, "child:", err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

const (
	office  events.OfficeID = "north"
	workers int             = 8
	county  int             = 200 // assemblies, each with a site, a feed and a job
)

// child carries out commands until it is killed.
func child(ctx context.Context, folder string) error {
	log, err := natslog.Open(ctx, natslog.Config{Dir: folder, PositionEvery: 50})
	if err != nil {
		return err
	}
	k, err := keeper.Open(ctx, keeper.Config{Log: log})
	if err != nil {
		return err
	}
	say("ready")
	if err := importAndSay(ctx, k, furnish()); err != nil {
		return err
	}
	failed := make(chan error)
	for range workers {
		go func() { failed <- work(ctx, k) }()
	}
	return <-failed
}

// say writes one line with one system call, so that what was said before the kill is said whole.
func say(line string) { _, _ = os.Stdout.WriteString(line + "\n") }

func importAndSay(ctx context.Context, k *keeper.Keeper, commands []events.Command) error {
	results, err := k.Import(ctx, commands, nil)
	for i, r := range results {
		if r.Err != nil {
			return fmt.Errorf("import: %w", r.Err)
		}
		say(commands[i].ID.String())
	}
	return err
}

// furnish makes the county, with the same command ids each time: after the first time it changes nothing.
func furnish() []events.Command {
	var all []events.Command
	add := func(do any) {
		c := command(do)
		c.ID = events.DeriveCommandID(events.CommandID{1}, fmt.Sprint(len(all)))
		all = append(all, c)
	}
	for i := range county {
		add(events.Put[events.SiteFacts]{ID: fmt.Sprintf("s-%d", i), Facts: events.SiteFacts{Name: "site", Zone: "America/Chicago", AccessHours: "24/7"}})
	}
	for i := range county {
		add(events.Put[events.FeedFacts]{ID: fmt.Sprintf("f-%d", i), Facts: events.FeedFacts{Site: siteID(i), Name: "feed"}})
	}
	for i := range county {
		add(events.Put[events.AssemblyFacts]{ID: fmt.Sprintf("a-%d", i), Facts: events.AssemblyFacts{
			Site: siteID(i), Feed: events.FeedID(fmt.Sprintf("f-%d", i)), Type: events.RP}})
	}
	for i := range county {
		add(events.ListDue{Assembly: jobRef(i).Assembly, NewJob: jobRef(i).Job, Due: day(), Standing: events.Ours})
	}
	return all
}

func siteID(i int) events.SiteID { return events.SiteID(fmt.Sprintf("s-%d", i)) }

func jobRef(i int) events.JobRef {
	return events.JobRef{Assembly: events.AssemblyID(fmt.Sprintf("a-%d", i)), Job: events.JobID(fmt.Sprintf("j-%d", i))}
}

func day() events.Date {
	d, err := events.ParseDate("2026-03-02")
	if err != nil {
		panic(err)
	}
	return d
}

func command(do any) events.Command {
	var id events.CommandID
	_, _ = crand.Read(id[:])
	return events.Command{ID: id, Actor: "p-1", Office: office, Happened: time.Now(), Do: do}
}

// work carries out one command after another: most of one event, some of several, some sent twice, some imports.
func work(ctx context.Context, k *keeper.Keeper) error {
	var sent []events.Command
	for {
		c := command(draw())
		switch n := rand.IntN(20); {
		case n == 0 && len(sent) > 0:
			c = sent[rand.IntN(len(sent))]
		case n == 1:
			if err := importAndSay(ctx, k, someSites()); err != nil {
				return err
			}
			continue
		}
		receipt, err := k.Do(ctx, c)
		var refusal *events.Refusal
		switch {
		case errors.As(err, &refusal):
		case err != nil:
			return err
		case receipt.Repeated || len(receipt.EventIDs) > 0:
			say(c.ID.String())
			sent = append(sent, c)
		}
	}
}

func draw() any {
	i := rand.IntN(county)
	switch rand.IntN(4) {
	case 0:
		return events.QuestionJob{JobRef: jobRef(i), Words: fmt.Sprint(rand.IntN(4))}
	case 1:
		return finish(i)
	case 2: // one entity that everybody wants
		i = 0
	}
	return events.Put[events.SiteFacts]{ID: string(siteID(i)), Facts: events.SiteFacts{Name: fmt.Sprint("site ", rand.Int())}}
}

// finish is a command that makes several events of one entity: repaired, tested, passed and what follows.
func finish(i int) events.FinishJob {
	n := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	test := &events.Test{Gauge: "g-1", Tester: "p-1", Says: events.OpinionPass, Readings: []events.Reading{
		{Part: events.MainPart, Component: events.Relief, Number: n("2.4"), Unit: events.PSID, Result: events.Opened},
		{Part: events.MainPart, Component: events.Check1, Number: n("6.0"), Unit: events.PSID},
	}}
	return events.FinishJob{JobRef: jobRef(i), Crew: "c-1", Day: day(), Outcome: events.OutcomeRepairedPassed,
		Repair: &events.Repaired{}, Final: test}
}

func someSites() []events.Command {
	var all []events.Command
	for range 2 + rand.IntN(40) {
		id := fmt.Sprintf("new-%d", rand.IntN(2000))
		all = append(all, command(events.Put[events.SiteFacts]{ID: id, Facts: events.SiteFacts{Name: fmt.Sprint("site ", rand.Int())}}))
	}
	return all
}
