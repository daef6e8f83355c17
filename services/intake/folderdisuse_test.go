package intake_test

import (
	"strings"
	"testing"

	"valveround/events"
	"valveround/services/intake"
)

// What is out of use, and the purveyor's rules for it, come in with the folder, and go out as they came in.
func TestFolderDisuse(t *testing.T) {
	text := strings.NewReplacer(
		"repair_days_unit\npv,Millbrook Water,America/New_York,12,14,calendar", "repair_days_unit,vacant_months,idle_months\npv,Millbrook Water,America/New_York,12,14,calendar,0,3",
		"shutdown_window,state,", "shutdown_window,state,out_of_use_since,used_again_on,", "f1,s1,main,Mo-Fr 05:00-09:00,", "f1,s1,main,Mo-Fr 05:00-09:00,,2025-12-01,2026-04-15,",
		"partly-open,", "partly-open,2025-12-24,,",
		"notice_given_on\n", "notice_given_on,vacant_since\n", "2026-02-20\n", "2026-02-20,2025-01-01\n").Replace(smallFirm)
	book, folder, err := intake.FoldFolder(files(t, text), folderOptions())
	if err != nil || len(folder.Faults) > 0 {
		t.Fatalf("error %v, faults %v", err, folder.Faults)
	}
	expect(t, "rules", []events.DisuseRule{book.Purveyors["pv"].Vacancy, book.Purveyors["pv"].Idle}, "[{0 true } {3 false }]")
	// Three months: codes of Ankeny IA and Clive IA. Due 20 May as listed, 14 April as the last day before use.
	expect(t, "due before use", []events.Date{book.Assemblies["a1"].Job("j1").Due, book.Assemblies["a1"].Job("j1").ListedDue()}, "[2026-04-14 2026-05-20]")
	expect(t, "nobody knows when", book.Assemblies["a3"].Job("j3").BeforeUse[0].By.Known, false)
	expect(t, "no rule for what stands empty", []any{len(book.Assemblies["a1"].Job("j1").BeforeUse), book.Sites["s1"].Vacant.Since}, "[1 2025-01-01]")

	fleet, _ := intake.ToFolder(book, "north", nil)
	again, folder, err := intake.FoldFolder(fleet, folderOptions())
	if err != nil || len(folder.Faults) > 0 {
		t.Fatalf("again: error %v, faults %v", err, folder.Faults)
	}
	expect(t, "again", []any{again.Purveyors["pv"].Vacancy, again.Purveyors["pv"].Idle, again.Sites["s1"].Vacant.Since, again.Feeds["f1"].OutOfUse.Back, again.Feeds["f2"].OutOfUse.Since,
		again.Assemblies["a1"].Job("j1").Due, again.Assemblies["a1"].Job("j1").ListedDue()}, "[{0 true } {3 false } 2025-01-01 2026-04-15 2025-12-24 2026-04-14 2026-05-20]")

	for _, wrong := range []struct{ old, new, want string }{
		{"2025-12-01,2026-04-15", ",2026-04-15", `feeds.csv row 2 "used_again_on": "2026-04-15" is given, but not since when`},
		{"2025-12-01,2026-04-15", "2026-04-15,2026-04-15", `is not after 2026-04-15`},
	} {
		_, folder, err := intake.FoldFolder(files(t, strings.Replace(text, wrong.old, wrong.new, 1)), folderOptions())
		if err != nil || len(folder.Faults) != 1 || !strings.Contains(folder.Faults[0].String(), wrong.want) {
			t.Errorf("%s: error %v, faults %v", wrong.new, err, folder.Faults)
		}
	}
}
