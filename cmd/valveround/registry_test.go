package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/services/console"
	"valveround/services/dispatch"
	"valveround/services/words"
)

// put sends a form that mends something.
func (o *office) put(path string, body any, want int, answer any) {
	o.t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		o.t.Fatal(err)
	}
	request, err := http.NewRequest(http.MethodPut, "http://"+o.program.address()+path, bytes.NewReader(text))
	if err != nil {
		o.t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/json")
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		o.t.Fatal(err)
	}
	defer response.Body.Close()
	said, err := io.ReadAll(response.Body)
	if err != nil {
		o.t.Fatal(err)
	}
	if response.StatusCode != want {
		o.t.Fatalf("%s answered %d, want %d: %s", path, response.StatusCode, want, said)
	}
	if answer != nil {
		if err := json.Unmarshal(said, answer); err != nil {
			o.t.Fatal(err)
		}
	}
}

// TestRegistryForms: a customer, a site, a feed and an assembly are entered by form and mended; a form sent twice
// enters one thing; what is wrong is said field by field and nothing is written.
func TestRegistryForms(t *testing.T) {
	o := openOffice(t, t.TempDir(), time.Date(2026, 5, 12, 15, 0, 0, 0, chicago))
	defer o.stop()
	customer := console.FormRequest[events.CustomerFacts]{CommandID: o.id(), Facts: events.CustomerFacts{Name: "Weir Holdings", Repair: "ask"}}
	var entered, again console.FormReceipt
	o.call("/api/registry/customers", customer, http.StatusOK, &entered)
	o.call("/api/registry/customers", customer, http.StatusOK, &again)
	if again.ID != entered.ID || !again.Repeated {
		t.Errorf("the same form sent twice entered %s and %s", entered.ID, again.ID)
	}
	site := console.FormRequest[events.SiteFacts]{CommandID: o.id(), Details: &words.Details{Code: "4711"},
		Facts: events.SiteFacts{Customer: events.CustomerID(entered.ID), Name: "Weir House", Zone: "America/Chicago", AccessHours: "Mo-Fr 06:00-18:00",
			Position: geo.MustPoint(35.5, -45.25), PositionSource: events.Surveyed}}
	var house console.FormReceipt
	o.call("/api/registry/sites", site, http.StatusOK, &house)
	var shown console.Entry[events.SiteFacts]
	o.call("/api/registry/sites/"+house.ID, nil, http.StatusOK, &shown)
	if shown.Facts.Name != "Weir House" || shown.Details == nil || shown.Details.Code != "4711" || !shown.Facts.Position.IsSet() {
		t.Errorf("the site is shown as %+v", shown)
	}
	site.CommandID, site.Why = o.id(), "opens earlier"
	site.Facts.AccessHours = "Mo-Sa 05:00-18:00"
	o.put("/api/registry/sites/"+house.ID, site, http.StatusOK, nil)
	o.call("/api/registry/sites/"+house.ID, nil, http.StatusOK, &shown)
	if shown.Facts.AccessHours != "Mo-Sa 05:00-18:00" {
		t.Errorf("the mended site opens %s", shown.Facts.AccessHours)
	}

	before := o.program.keeper.Position()
	site.CommandID = o.id()
	site.Facts.AccessHours, site.Facts.Zone = "early", "Mars/North"
	var fault struct {
		Errors []struct{ Location, Message string }
	}
	o.put("/api/registry/sites/"+house.ID, site, http.StatusUnprocessableEntity, &fault)
	if len(fault.Errors) != 2 {
		t.Errorf("two fields are wrong; the answer names %+v", fault.Errors)
	}
	o.put("/api/registry/sites/nowhere", site, http.StatusNotFound, nil)
	if now := o.program.keeper.Position(); now != before {
		t.Errorf("refused forms wrote %d events", now-before)
	}
	var contact console.Entry[events.PersonFacts]
	for _, known := range o.program.keeper.Book().Sites {
		if len(known.Contacts) > 0 {
			id := string(known.Contacts[0].Person)
			o.call("/api/registry/people/"+id, nil, http.StatusOK, &contact)
			if contact.Details == nil || contact.Details.Name == "" {
				t.Errorf("the contact %s of %s is shown without a name", id, known.Name)
			}
			mended := console.FormRequest[events.PersonFacts]{CommandID: o.id(), Facts: contact.Facts, Details: &words.Details{Name: contact.Details.Name, Phone: "555-0199"}}
			o.put("/api/registry/people/"+id, mended, http.StatusOK, nil)
			o.call("/api/registry/people/"+id, nil, http.StatusOK, &contact)
			if contact.Details.Phone != "555-0199" {
				t.Errorf("the mended number is %q", contact.Details.Phone)
			}
			break
		}
	}
	o.call("/api/registry/people/p-nobody", nil, http.StatusNotFound, nil)

	noPlace := console.FormRequest[events.SiteFacts]{CommandID: o.id(), Facts: events.SiteFacts{Name: "Somewhere", Zone: "America/Chicago", AccessHours: "24/7"}}
	o.call("/api/registry/sites", noPlace, http.StatusOK, nil)
}

// TestJobByPhone: a relief valve discharges, the office opens a job and sees where it fits on the planned day.
func TestJobByPhone(t *testing.T) {
	o := openOffice(t, t.TempDir(), time.Date(2026, 5, 12, 15, 0, 0, 0, chicago))
	defer o.stop()
	wednesday := events.NewDate(2026, 5, 13)
	o.plan(wednesday)
	story := o.fleet.Story
	call := console.JobRequest{CommandID: o.id(), Assembly: string(story.Assembly), Kind: events.Discharging, Due: wednesday, Words: "the caretaker: water runs from the relief"}
	var opened, again console.JobReceipt
	o.call("/api/jobs", call, http.StatusOK, &opened)
	o.call("/api/jobs", call, http.StatusOK, &again)
	if again.Job != opened.Job || !again.Repeated {
		t.Errorf("the same call opened %s and %s", opened.Job, again.Job)
	}
	var fits console.FitsView
	o.call("/api/assemblies/"+string(story.Assembly)+"/jobs/"+opened.Job+"/fits", nil, http.StatusOK, &fits)
	if len(fits.Days) != 2 || len(fits.Days[1].Fits) == 0 {
		t.Fatalf("the job fits nowhere tomorrow: %+v", fits.Days)
	}
	best := fits.Days[1].Fits[0]
	var day dispatch.View
	o.call("/api/days/"+wednesday.String()+"/wishes", console.WishRequest{CommandID: o.id(), Site: string(story.Site), Crew: best.Crew.ID, Place: best.Place, Hold: true}, http.StatusOK, &day)
	team, visit := visitOf(day, string(story.Assembly))
	if visit == nil || team.ID != best.Crew.ID || visit.Order != best.Place {
		t.Errorf("put where it fits best, the visit is %+v with %s", visit, team.Name)
	}
	for _, wrong := range []console.JobRequest{
		{CommandID: o.id(), Assembly: "nothing", Kind: events.Discharging, Due: wednesday},
		{CommandID: o.id(), Assembly: string(story.Assembly), Kind: "tea", Due: wednesday},
	} {
		o.call("/api/jobs", wrong, http.StatusUnprocessableEntity, nil)
	}
}

// TestSettings: a number is changed on the page and recorded; the next plan is made and printed with it, and one made before is
// refused; what makes no sense is refused and changes nothing. What the log says of the durations stands beside them.
func TestSettings(t *testing.T) {
	o := openOffice(t, t.TempDir(), time.Date(2026, 5, 12, 15, 0, 0, 0, chicago))
	defer o.stop()
	var v console.SettingsView
	o.call("/api/settings", nil, http.StatusOK, &v)
	if len(v.Settings) < 30 || v.ChangedAt != nil || len(v.Learned) < 3 || v.Learned[0].Count == 0 || len(v.Learned[0].Crews) == 0 {
		t.Fatalf("settings %+v", v)
	}
	wednesday := events.NewDate(2026, 5, 13)
	o.plan(wednesday)
	before := o.program.keeper.Position()
	for _, wrong := range []planner.Value{{Name: "crew_hour_usd", Number: -3}, {Name: "coffee", Number: 1}, {Name: "vault_entry_minutes", Number: 0.5}} {
		o.call("/api/settings", console.SettingsRequest{CommandID: o.id(), Values: []planner.Value{wrong}}, http.StatusUnprocessableEntity, nil)
	}
	if o.program.keeper.Position() != before {
		t.Error("refused settings were written")
	}
	request := console.SettingsRequest{CommandID: o.id(), Why: "wages rose", Values: []planner.Value{{Name: "crew_hour_usd", Number: 52}, {Name: "urgency.0.usd", Number: 400}}}
	o.call("/api/settings", request, http.StatusOK, &v)
	o.call("/api/settings", request, http.StatusOK, &v)
	if v.ChangedAt == nil || v.Why != "wages rose" || o.program.keeper.Position() != before+1 {
		t.Errorf("after the change: %v, %q, %d events", v.ChangedAt, v.Why, o.program.keeper.Position()-before)
	}
	var day dispatch.View
	o.call("/api/days/"+wednesday.String(), nil, http.StatusOK, &day)
	if len(day.Refusals) == 0 || day.Stale == "" {
		t.Error("a plan made with other settings passes")
	}
	day = o.plan(wednesday)
	if len(day.Refusals) > 0 || !strings.Contains(strings.Join(day.Settings, "; "), "a crew, from leaving home to return, 52 USD an hour (default 48)") {
		t.Errorf("planned anew: refusals %+v, settings %q", day.Refusals, day.Settings)
	}
}
