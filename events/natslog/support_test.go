package natslog_test

import (
	"crypto/rand"
	"encoding/hex"
	"testing"
	"time"

	"valveround/events"
)

// newEntity has an id of its own.
func newEntity(kind events.Kind) events.Entity {
	var random [6]byte
	_, _ = rand.Read(random[:])
	return events.Entity{Office: "north", Kind: kind, ID: hex.EncodeToString(random[:])}
}

// sealed makes a record with a body of the given size.
func sealed(e events.Entity, name string, bytes int) events.Record {
	var command events.CommandID
	_, _ = rand.Read(command[:])
	at := time.Date(2026, 3, 2, 8, 30, 0, 0, time.UTC)
	body := make([]byte, bytes)
	for i := range body {
		body[i] = 'x'
	}
	return events.Seal(events.Envelope{
		ID: events.EventID(command.String() + "-0"), Entity: e, Name: name, Version: 1,
		Command: command, Actor: "p-1", Happened: at, Recorded: at,
	}, body)
}

// appendTo stores n records of one new entity one by one.
func appendTo(t testing.TB, log events.Log, n int) (last uint64, err error) {
	e, guard := newEntity(events.KindAssembly), uint64(0)
	for range n {
		last, err = log.Append(t.Context(), []events.Append{{Record: sealed(e, "corrected", 200), ExpectLast: guard}})
		if err != nil {
			return 0, err
		}
		guard = last
	}
	return last, nil
}
