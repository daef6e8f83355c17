package dispatch_test

import (
	"errors"
	"strings"
	"testing"

	"valveround/events"
	"valveround/planner"
	"valveround/services/dispatch"
)

func (r *room) undo() error {
	r.Helper()
	return r.desk.Undo(r.Context(), command(nil), tuesday)
}

func (r *room) wantUndone(plan planner.Plan, wishes int) {
	r.Helper()
	if got := r.plan().Digest(); got != plan.Digest() {
		r.Errorf("after undoing the plan is %s, want %s", got, plan.Digest())
	}
	if w := r.wishes(); len(w) != wishes {
		r.Errorf("after undoing the wishes are %+v, want %d", w, wishes)
	}
}

// TestUndo puts plan and wishes back step by step, each by new entries in the log.
func TestUndo(t *testing.T) {
	r := newRoom(t)
	first := r.planned()
	if what := r.desk.Undoable(tuesday); what != "" {
		t.Errorf("before any change %q can be undone", what)
	}
	r.wish(events.Wish{Site: "school", Crew: "b", Place: 1})
	second := r.plan()
	r.wish(events.Wish{Site: "school", Crew: "b", Place: 99})
	r.wish(events.Wish{Site: "diner", Out: true, Why: "asked for next week"})
	if what := r.desk.Undoable(tuesday); !strings.Contains(what, "left out: asked for next week") {
		t.Errorf("what can be undone reads %q", what)
	}
	before := r.records()
	if err := r.undo(); err != nil {
		t.Fatal(err)
	}
	if w := r.wishes(); len(w) != 1 || w[0].Place != 99 {
		t.Errorf("wishes %+v", w)
	}
	if n := r.records() - before; n != 1 {
		t.Errorf("undoing wrote %d records, want 1", n)
	}
	if err := r.undo(); err != nil {
		t.Fatal(err)
	}
	r.wantUndone(second, 1)
	if w := r.wishes(); w[0].Place != 1 {
		t.Errorf("wishes %+v", w)
	}
	again := command(nil)
	for range 2 { // a page that did not hear the answer says it again
		if err := r.desk.Undo(r.Context(), again, tuesday); err != nil {
			t.Fatal(err)
		}
		r.wantUndone(first, 0)
	}
	var refusal *events.Refusal
	if err := r.undo(); !errors.As(err, &refusal) || !strings.Contains(refusal.Words, "left to undo") {
		t.Errorf("with nothing left to undo: %v", err)
	}
	r.wantUndone(first, 0)
}

// TestUndoPlanning: the plan before the last planning comes back, with the wishes as they are.
func TestUndoPlanning(t *testing.T) {
	r := newRoom(t)
	r.planned()
	r.wish(events.Wish{Site: "school", Crew: "b", Place: 1})
	moved := r.plan()
	r.planned()
	if err := r.undo(); err != nil {
		t.Fatal(err)
	}
	r.wantUndone(moved, 1)
}

func TestUndoIsRefused(t *testing.T) {
	t.Run("when the day is out", func(t *testing.T) {
		r := newRoom(t)
		r.planned()
		r.wish(events.Wish{Site: "school", Crew: "b", Place: 1})
		if err := r.desk.SendOut(r.Context(), command(nil), tuesday, r.plan().Digest()); err != nil {
			t.Fatal(err)
		}
		var refusal *events.Refusal
		if err := r.undo(); !errors.As(err, &refusal) || !strings.Contains(refusal.Words, "take it back") {
			t.Errorf("got %v", err)
		}
	})
	t.Run("when the plan before would be refused by now", func(t *testing.T) {
		r := newRoom(t)
		r.planned()
		r.wish(events.Wish{Site: "school", Out: true, Why: "closed"})
		moved := r.plan()
		var school *events.Assembly
		for _, a := range r.keeper.Book().Assemblies {
			if a.Site == "school" {
				school = a
			}
		}
		r.do(events.Withdraw{JobRef: events.JobRef{Assembly: school.ID, Job: school.Jobs[0].ID}, Why: "sold"})
		var refused *dispatch.RefusedError
		if err := r.undo(); !errors.As(err, &refused) {
			t.Errorf("got %v", err)
		}
		r.wantUndone(moved, 1)
	})
	t.Run("without a change", func(t *testing.T) {
		r := newRoom(t)
		if err := r.undo(); err == nil {
			t.Error("undone, and there was nothing")
		}
	})
}
