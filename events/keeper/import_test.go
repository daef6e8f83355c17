package keeper_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/events/keeper"
)

// county makes an import of n sites with one feed and one assembly each, and a job on every assembly.
func county(n int) []events.Command {
	var all []events.Command
	for i := range n {
		all = append(all, command(putSite(fmt.Sprintf("s-%d", i), "site")))
	}
	for i := range n {
		all = append(all, command(putFeed(fmt.Sprintf("f-%d", i), fmt.Sprintf("s-%d", i))))
	}
	for i := range n {
		all = append(all, command(putAssembly(fmt.Sprintf("a-%d", i), fmt.Sprintf("s-%d", i), fmt.Sprintf("f-%d", i))))
	}
	for i := range n {
		all = append(all, command(listDue(fmt.Sprintf("a-%d", i), fmt.Sprintf("j-%d", i))))
	}
	return all
}

func TestImport(t *testing.T) {
	_, real := newKeeper(t)
	batches := 0
	counted := &interfered{Log: real, appending: func(ctx context.Context, batch []events.Append) (uint64, error) {
		batches++
		return real.Append(ctx, batch)
	}}
	k := openKeeper(t, counted)
	all := county(500)
	progress := 0
	results, err := k.Import(t.Context(), all, func(done int) { progress = done })
	if err != nil || len(results) != len(all) || progress != len(all) {
		t.Fatalf("Import = %d results, progress %d, %v, want %d", len(results), progress, err, len(all))
	}
	for i, r := range results {
		if r.Err != nil || r.Repeated || len(r.EventIDs) != 1 || r.Position != uint64(i+1) {
			t.Fatalf("command %d: %+v, want one event at %d", i, r, i+1)
		}
	}
	if batches != 12 { // 500 in 3 batches of at most 200, four times
		t.Errorf("Import made %d batches, want 12", batches)
	}
	if book := k.Book(); len(book.Sites) != 500 || len(book.Assemblies) != 500 || book.Assemblies["a-7"].Job("j-7") == nil {
		t.Errorf("the book holds %d sites and %d assemblies", len(book.Sites), len(book.Assemblies))
	}
	wantSameAfterReplay(t, k, real)

	again, err := k.Import(t.Context(), all, nil)
	if err != nil || len(again) != len(all) {
		t.Fatalf("Import again = %d results, %v", len(again), err)
	}
	for i, r := range again {
		if !r.Repeated || r.Err != nil || r.Position != results[i].Position {
			t.Fatalf("command %d again: %+v, want it known at %d", i, r, results[i].Position)
		}
	}
	if last, _ := real.Last(t.Context()); last != uint64(len(all)) {
		t.Errorf("importing again wrote up to %d, want %d", last, len(all))
	}
}

func TestImportInAnyOrderAndWithRefusals(t *testing.T) {
	k, _ := newKeeper(t)
	all := []events.Command{
		command(putFeed("f-0", "nowhere")),
		command(putSite("s-1", "Mill")), command(putFeed("f-1", "s-1")), command(putAssembly("a-1", "s-1", "f-1")),
		command(putSite("s-2", "Barn")), command(putFeed("f-2", "s-2")), command(putFeed("f-3", "s-3")),
		command(putSite("s-2", "Old barn")), command(putSite("s-2", "Barn")), command(putSite("s-2", "Barn")),
		{Do: putSite("s-4", "no id")},
		command(listDue("a-1", "j-1")),
	}
	all = append(all, all[1])
	results, err := k.Import(t.Context(), all, nil)
	if err != nil || len(results) != len(all) {
		t.Fatalf("Import = %d results, %v", len(results), err)
	}
	want := map[int]string{0: "refused", 6: "refused", 9: "nothing", 10: "refused", 12: "repeated"}
	for i, r := range results {
		got := "written"
		switch {
		case r.Err != nil:
			got = "refused"
		case r.Repeated:
			got = "repeated"
		case len(r.EventIDs) == 0:
			got = "nothing"
		}
		if expected := want[i]; got != expected && (expected != "" || got != "written") {
			t.Errorf("command %d was %s (%+v), want %q", i, got, r, expected)
		}
	}
	var refusal *events.Refusal
	if !errors.As(results[0].Err, &refusal) {
		t.Errorf("command 0: %v, want a refusal", results[0].Err)
	}
}

// Storing neighbours together must not change what is decided: the import equals its commands one after another.
func TestImportEqualsOneByOne(t *testing.T) {
	var together, one *keeper.Keeper // used again for the next case as long as they agree
	agree, cases := false, 0
	rapid.Check(t, func(rt *rapid.T) {
		if !agree {
			together, _ = newKeeper(t)
			one, _ = newKeeper(t)
		}
		agree = false
		cases++
		all := drawCommands(rt, fmt.Sprint(cases))
		results, err := together.Import(t.Context(), all, nil)
		if err != nil {
			rt.Fatal(err)
		}
		for i, c := range all {
			receipt, err := one.Do(t.Context(), c)
			if (err == nil) != (results[i].Err == nil) || receipt.Repeated != results[i].Repeated || len(receipt.EventIDs) != len(results[i].EventIDs) {
				rt.Fatalf("command %d (%+v): imported %+v, alone %+v, %v", i, c.Do, results[i], receipt, err)
			}
			if len(receipt.EventIDs) > 0 && receipt.Position != results[i].Position {
				rt.Fatalf("command %d: imported at %d, alone at %d", i, results[i].Position, receipt.Position)
			}
		}
		if digest(together) != digest(one) {
			rt.Fatal("the import and its commands one by one give different books")
		}
		agree = true
	})
}

// drawCommands draws an import about a few things that belong together or not. The case is part of every id.
func drawCommands(rt *rapid.T, in string) (all []events.Command) {
	id := rapid.Map(rapid.SampledFrom([]string{"a", "b", "c"}), func(id string) string { return in + id })
	one := rapid.OneOf(
		rapid.Custom(func(rt *rapid.T) any { return putSite("s-"+id.Draw(rt, "site"), id.Draw(rt, "name")) }),
		rapid.Custom(func(rt *rapid.T) any { return putFeed("f-"+id.Draw(rt, "feed"), "s-"+id.Draw(rt, "site")) }),
		rapid.Custom(func(rt *rapid.T) any {
			return putAssembly("a-"+id.Draw(rt, "assembly"), "s-"+id.Draw(rt, "site"), "f-"+id.Draw(rt, "feed"))
		}),
		rapid.Custom(func(rt *rapid.T) any { return listDue("a-"+id.Draw(rt, "assembly"), "j-"+id.Draw(rt, "job")) }),
		rapid.Custom(func(rt *rapid.T) any {
			job := events.JobRef{Assembly: events.AssemblyID("a-" + id.Draw(rt, "assembly")), Job: events.JobID("j-" + id.Draw(rt, "job"))}
			return events.SetStanding{JobRef: job, Standing: rapid.SampledFrom([]events.Standing{events.Ours, events.Ask}).Draw(rt, "standing")}
		}),
	)
	if rapid.Bool().Draw(rt, "sites known") {
		for _, id := range []string{in + "a", in + "b", in + "c"} {
			all = append(all, command(putSite("s-"+id, id)), command(putFeed("f-"+id, "s-"+id)))
		}
	}
	for range rapid.IntRange(1, 30).Draw(rt, "commands") {
		if n := len(all); n > 0 && rapid.IntRange(0, 9).Draw(rt, "again") == 0 {
			all = append(all, all[rapid.IntRange(0, n-1).Draw(rt, "which")])
			continue
		}
		all = append(all, command(one.Draw(rt, "do")))
	}
	return all
}

func TestImportGoesOnWhereItWasCut(t *testing.T) {
	_, real := newKeeper(t)
	left := 5
	log := &interfered{Log: real, appending: func(ctx context.Context, batch []events.Append) (uint64, error) {
		if left--; left < 0 {
			return 0, errCut
		}
		return real.Append(ctx, batch)
	}}
	k := openKeeper(t, log)
	all := county(300)
	results, err := k.Import(t.Context(), all, nil)
	if !errors.Is(err, errCut) || len(results) == 0 || len(results) == len(all) {
		t.Fatalf("Import = %d results, %v, want some and the cut", len(results), err)
	}
	left = 1000
	rest, err := k.Import(t.Context(), all, nil)
	if err != nil || len(rest) != len(all) {
		t.Fatalf("Import again = %d results, %v", len(rest), err)
	}
	for i, r := range rest {
		if r.Err != nil || r.Repeated != (i < len(results)) {
			t.Fatalf("command %d of %d stored before: %+v", i, len(results), r)
		}
	}
	wantSameAfterReplay(t, k, real)
}
