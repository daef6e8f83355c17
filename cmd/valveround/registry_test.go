package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/console"
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
	noPlace := console.FormRequest[events.SiteFacts]{CommandID: o.id(), Facts: events.SiteFacts{Name: "Somewhere", Zone: "America/Chicago", AccessHours: "24/7"}}
	o.call("/api/registry/sites", noPlace, http.StatusOK, nil)
}
