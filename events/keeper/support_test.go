package keeper_test

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
)

const office events.OfficeID = "north"

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func openLog(t testing.TB, dir string) *natslog.Store {
	t.Helper()
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: dir, Logger: zaptest.NewLogger(t, zaptest.Level(zap.ErrorLevel))})
	if err != nil {
		t.Fatalf("open the log: %v", err)
	}
	t.Cleanup(func() { _ = log.Close() })
	return log
}

func openKeeper(t testing.TB, log events.Log) *keeper.Keeper {
	t.Helper()
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log, Now: func() time.Time { return noon }})
	if err != nil {
		t.Fatalf("open the keeper: %v", err)
	}
	t.Cleanup(func() { _ = k.Close() })
	return k
}

// newKeeper keeps the book of a new log.
func newKeeper(t testing.TB) (*keeper.Keeper, *natslog.Store) {
	log := openLog(t, t.TempDir())
	return openKeeper(t, log), log
}

var commands atomic.Uint64

// command makes a command with a new id.
func command(do any) events.Command {
	var id events.CommandID
	id[0] = 1
	binary.BigEndian.PutUint64(id[8:], commands.Add(1))
	return events.Command{ID: id, Actor: "p-desk", Office: office, Happened: noon, Do: do}
}

func putSite(id, name string) events.Put[events.SiteFacts] {
	return events.Put[events.SiteFacts]{ID: id, Facts: events.SiteFacts{Name: name, Zone: "America/Chicago", AccessHours: "24/7"}}
}

func putFeed(id, site string) events.Put[events.FeedFacts] {
	return events.Put[events.FeedFacts]{ID: id, Facts: events.FeedFacts{Site: events.SiteID(site), Name: "domestic", ShutdownWindow: "24/7"}}
}

func putAssembly(id, site, feed string) events.Put[events.AssemblyFacts] {
	return events.Put[events.AssemblyFacts]{ID: id, Facts: events.AssemblyFacts{Site: events.SiteID(site), Feed: events.FeedID(feed), Type: "RP"}}
}

func listDue(assembly, job string) events.ListDue {
	return events.ListDue{Assembly: events.AssemblyID(assembly), NewJob: events.JobID(job), Due: date("2026-06-30"), Standing: events.Ours}
}

func date(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

func mustDo(t testing.TB, k *keeper.Keeper, do any) keeper.Receipt {
	t.Helper()
	receipt, err := k.Do(t.Context(), command(do))
	if err != nil {
		t.Fatalf("Do(%T): %v", do, err)
	}
	return receipt
}

func siteEntity(id string) events.Entity {
	return events.Entity{Office: office, Kind: events.KindSite, ID: id}
}

func digest(k *keeper.Keeper) (d events.Hash) {
	k.Look(func(b *events.Book) { d = b.Digest() })
	return d
}

// wantSameAfterReplay checks that a book folded from the beginning is the one that grew.
func wantSameAfterReplay(t testing.TB, k *keeper.Keeper, log events.Log) {
	t.Helper()
	last, err := log.Last(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := k.Wait(t.Context(), last); err != nil {
		t.Fatal(err)
	}
	book := events.NewBook()
	err = log.Read(t.Context(), 1, func(r events.Record) error { book.Apply(r); return nil })
	if err != nil || book.Digest() != digest(k) {
		t.Errorf("a fresh replay gives another book (%v)", err)
	}
}

// interfered is the real log with something done around each append.
type interfered struct {
	events.Log
	appending func(ctx context.Context, batch []events.Append) (uint64, error)
}

func (l *interfered) Append(ctx context.Context, batch []events.Append) (uint64, error) {
	return l.appending(ctx, batch)
}

var errCut = errors.New("the line was cut")

// rawRecord is a sealed record that no command made.
func rawRecord(e events.Entity, name, body string, prev events.Hash) events.Record {
	c := command(nil)
	return events.Seal(events.Envelope{
		ID: events.EventID(fmt.Sprintf("%s-0", c.ID)), Entity: e, Name: name, Version: 1, Command: c.ID,
		Actor: "p-1", Happened: noon, Recorded: noon, Prev: prev,
	}, []byte(body))
}
