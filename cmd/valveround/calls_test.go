package main

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/calls"
	"valveround/services/console"
	"valveround/services/search"
)

// TestCallsLetWorkIn: tomorrow is planned; the call list says which call would let more in; the time agreed becomes a
// promise, and the next plan holds the visit within it. Sent twice, a tap is one promise.
func TestCallsLetWorkIn(t *testing.T) {
	monday := time.Date(2026, 5, 11, 9, 0, 0, 0, chicago)
	o := openOffice(t, t.TempDir(), monday)
	defer o.stop()
	var desk console.OfficeView
	o.call("/api/office", nil, http.StatusOK, &desk)
	o.plan(desk.Tomorrow)
	var list calls.View
	o.call("/api/calls?weeks=2", nil, http.StatusOK, &list)
	if !list.Planned || list.Tomorrow != desk.Tomorrow || len(list.Customers) == 0 {
		t.Fatalf("the list of calls: %s", list.Headline)
	}
	customer, site := wantsATime(list)
	if customer == nil {
		t.Fatal("no call of the demo would let work in by agreeing a time")
	}
	t.Logf("%s %s", list.Headline, customer.Say)
	from := desk.Tomorrow.In(chicago).Add(7 * time.Hour)
	to := from.Add(7 * time.Hour)
	tap := console.CallRequest{CommandID: o.id(), Customer: customer.ID, Sites: []string{site.Site.ID}, Outcome: events.CallAgreed, From: &from, To: &to,
		Who: customer.Whom[0].Person, Words: "ring at the side door"}
	var receipt console.Receipt
	o.call("/api/calls", tap, http.StatusOK, &receipt)
	o.call("/api/calls", tap, http.StatusOK, &receipt)
	if !receipt.Repeated {
		t.Error("a tap sent twice was recorded twice")
	}
	v := o.plan(desk.Tomorrow)
	assembly := site.Feeds[0].Jobs[0].Assembly
	_, visit := visitOf(v, assembly)
	if visit == nil {
		t.Fatalf("after the call %s is left out: %v", site.Site.Name, leftOut(v, assembly))
	}
	for _, off := range visit.WaterOff {
		if off.From.Before(from) || off.To.After(to) {
			t.Errorf("%s is dry from %v to %v, outside the time agreed", off.Name, off.From, off.To)
		}
	}
	var after calls.View
	o.call("/api/calls?weeks=2", nil, http.StatusOK, &after)
	for _, c := range after.Customers {
		for _, s := range c.Sites {
			if s.Site.ID == site.Site.ID && (len(s.Agreed) != 1 || len(s.Last) == 0 || !strings.Contains(s.Last[0], "Ring at the side door")) {
				t.Errorf("the call is not told: agreed %v, last %v", s.Agreed, s.Last)
			}
		}
	}
	off := console.WithdrawTimeRequest{CommandID: o.id(), Site: site.Site.ID, From: from, To: to, Why: "the manager called it off"}
	o.call("/api/calls/withdraw-time", off, http.StatusOK, nil)
	if _, visit := visitOf(o.plan(desk.Tomorrow), assembly); visit != nil {
		t.Error("the time was called off, and the visit is planned")
	}
	o.call("/api/calls", console.CallRequest{CommandID: o.id(), Customer: "nobody", Outcome: events.CallLeftWord}, http.StatusUnprocessableEntity, nil)
	o.call("/api/calls", console.CallRequest{CommandID: o.id(), Customer: "nobody", Sites: []string{site.Site.ID}, Outcome: events.CallLeftWord}, http.StatusUnprocessableEntity, nil)
	o.call("/api/calls", console.CallRequest{CommandID: o.id(), Customer: customer.ID, Outcome: events.CallAgreed}, http.StatusUnprocessableEntity, nil)
}

// wantsATime finds a call that would let a small site in by a time agreed alone.
func wantsATime(list calls.View) (*calls.Customer, *calls.Site) {
	for i, c := range list.Customers {
		for j, s := range c.Sites {
			in := slices.Contains(c.Tomorrow, fmt.Sprintf("%s: 1 job with a time agreed", s.Site.Name))
			if in && s.Jobs == 1 && s.Minutes < 120 && s.NoticeDays > 0 && len(c.Whom) > 0 && !s.Feeds[0].Fire {
				return &list.Customers[i], &list.Customers[i].Sites[j]
			}
		}
	}
	return nil, nil
}

// TestOneCallManySites: one firm, many sites, one call, and no list of sites typed.
func TestOneCallManySites(t *testing.T) {
	o := openOffice(t, t.TempDir(), time.Date(2026, 5, 11, 9, 0, 0, 0, chicago))
	defer o.stop()
	var list calls.View
	o.call("/api/calls?weeks=4", nil, http.StatusOK, &list)
	most := slices.MaxFunc(list.Customers, func(x, y calls.Customer) int { return len(x.Sites) - len(y.Sites) })
	o.call("/api/calls", console.CallRequest{CommandID: o.id(), Customer: most.ID, Outcome: events.CallPosted, Words: "letter to all tenants"}, http.StatusOK, nil)
	var after calls.View
	o.call("/api/calls?weeks=4", nil, http.StatusOK, &after)
	for _, c := range after.Customers {
		if c.ID != most.ID {
			continue
		}
		for _, s := range c.Sites {
			if len(s.Last) == 0 || !strings.Contains(s.Last[0], "notice was posted") {
				t.Errorf("%s: %v", s.Site.Name, s.Last)
			}
		}
		if slices.ContainsFunc(c.Asks, func(a calls.Ask) bool { return a.Rule == "notice" }) {
			t.Errorf("%d sites, notice posted to all, and still asked for: %v", len(c.Sites), c.Asks)
		}
	}
	o.call("/api/calls", console.CallRequest{CommandID: o.id(), Customer: most.ID, Outcome: events.CallOtherFirm, Words: "so says the manager"}, http.StatusOK, nil)
	var gone calls.View
	o.call("/api/calls?weeks=4", nil, http.StatusOK, &gone)
	if slices.ContainsFunc(gone.Customers, func(c calls.Customer) bool { return c.ID == most.ID }) {
		t.Error("a customer that uses another firm is still to be called")
	}
}

// TestSearchOverHTTP: what the office enters is found at once, with its page.
func TestSearchOverHTTP(t *testing.T) {
	o := openOffice(t, t.TempDir(), time.Date(2026, 5, 12, 15, 0, 0, 0, chicago))
	defer o.stop()
	find := func(query string) search.Results {
		var r search.Results
		o.call("/api/search?q="+url.QueryEscape(query), nil, http.StatusOK, &r)
		return r
	}
	var serial, id string
	o.program.keeper.Look(func(b *events.Book) {
		for _, a := range b.Assemblies {
			if a.Serial != "" && a.SerialDoubt == "" && len(a.Serial) > 5 {
				serial, id = a.Serial, string(a.ID)
				return
			}
		}
	})
	if r := find(strings.ToLower(serial)); r.Total == 0 || r.Hits[0].ID != id || !strings.Contains(r.Hits[0].Why, serial) {
		t.Errorf("serial %s: %+v", serial, r.Hits)
	}
	if r := find("Zymurgy Holdings"); r.Total > 0 {
		t.Errorf("found before it was entered: %+v", r.Hits[0])
	}
	o.call("/api/registry/customers", console.FormRequest[events.CustomerFacts]{CommandID: o.id(), Facts: events.CustomerFacts{Name: "Zymurgy Holdings", Repair: "ask"}}, http.StatusOK, nil)
	if r := find("zymurgi holding"); r.Total == 0 || r.Hits[0].Title != "Zymurgy Holdings" {
		t.Errorf("not found after it was entered: %+v", r.Hits)
	}
}

// TestPositionsOverHTTP: sites without a position are placed by a county's file, one by pasted coordinates; what is taken
// is on record and planned, and taking it again changes nothing.
func TestPositionsOverHTTP(t *testing.T) {
	o := openOffice(t, t.TempDir(), time.Date(2026, 5, 12, 15, 0, 0, 0, chicago))
	defer o.stop()
	var wanting console.UnplacedView
	o.call("/api/positions", nil, http.StatusOK, &wanting)
	if wanting.Missing == 0 || len(wanting.Sites) != wanting.Missing+wanting.Unsure {
		t.Fatalf("sites that want a position: %+v", wanting)
	}
	file := "Address,Latitude,Longitude\n"
	for _, s := range wanting.Sites {
		file += fmt.Sprintf("%q,41.5,-93.6\n", strings.ToUpper(s.Address))
	}
	var read console.PositionsView
	o.call("/api/positions?file=county.csv", []byte(file), http.StatusOK, &read)
	if read.Source != "address-point" || len(read.Proposals) != len(wanting.Sites) || read.Counts["sure"]+read.Counts["ask"]+read.Counts["likely"] != len(wanting.Sites) {
		t.Fatalf("read %d proposals of %d: %v", len(read.Proposals), len(wanting.Sites), read.Counts)
	}
	take := console.PlacesRequest{CommandID: o.id()}
	for _, p := range read.Proposals {
		take.Places = append(take.Places, console.PlaceRequest{Site: p.Site.ID, Lat: p.At.LatDeg(), Lon: p.At.LonDeg(), Source: p.Source, Words: p.Words})
	}
	var taken, again console.PlacesTaken
	o.call("/api/positions/take", take, http.StatusOK, &taken)
	o.call("/api/positions/take", take, http.StatusOK, &again)
	if taken.Taken != len(take.Places) || len(taken.Refused) > 0 || again.Taken != 0 {
		t.Errorf("taken %+v, again %+v", taken, again)
	}
	wanting = console.UnplacedView{}
	o.call("/api/positions", nil, http.StatusOK, &wanting)
	if len(wanting.Sites) > 0 {
		t.Errorf("%d sites still want a position", len(wanting.Sites))
	}
	var pasted console.CoordinatesView
	o.call("/api/positions/read", console.CoordinatesRequest{Text: `41°30'0"N 93°36'0"W`}, http.StatusOK, &pasted)
	if pasted.At != geo.MustPoint(41.5, -93.6) {
		t.Errorf("read as %v", pasted.At)
	}
	o.call("/api/positions/read", console.CoordinatesRequest{Text: "12 Mill St"}, http.StatusUnprocessableEntity, nil)
	o.call("/api/positions?file=county.csv", []byte("nothing,here\n1,2\n"), http.StatusUnprocessableEntity, nil)
}
