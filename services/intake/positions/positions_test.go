package positions_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/demo"
	"valveround/services/intake/positions"
	"valveround/services/intake/positions/postal"
)

// book with sites by id and address; those named have a surveyed position.
func book(addresses map[string]string, surveyed ...string) *events.Book {
	b := events.NewBook()
	for id, address := range addresses {
		b.Sites[events.SiteID(id)] = &events.Site{Office: "north", ID: events.SiteID(id), SiteFacts: events.SiteFacts{Name: "Site " + id, Address: address, PositionSource: events.NoPosition}}
	}
	for _, id := range surveyed {
		s := b.Sites[events.SiteID(id)]
		s.Position, s.PositionSource = geo.MustPoint(41, -96), events.Surveyed
	}
	b.Crews["c1"] = &events.Crew{Office: "north", ID: "c1", CrewFacts: events.CrewFacts{Home: geo.MustPoint(41.2, -95.9)}}
	return b
}

func read(t *testing.T, text string) positions.Points {
	t.Helper()
	p, err := positions.ReadPoints("points.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestHeaders: whatever the columns are called.
func TestHeaders(t *testing.T) {
	tests := []struct{ name, text string }{
		{"plain words", "house number,street,city,lat,lon\n12,Mill Street,Ashby,41.2,-95.9\n"},
		{"parts apart", "Add_Number,St_PreDir,St_Name,St_PosTyp,Post_City,Latitude,Longitude\n12,,Mill,Street,Ashby,41.2,-95.9\n"},
		{"one address", "FullAddr;Municipality;Y;X\n12 Mill St.;ASHBY;41,2;-95,9\n"},
		{"a title above, x before y", "County address points\n\nX,Y,ADDRESS,TOWN\n-95.9,41.2,12 MILL ST,ASHBY\n"},
		{"open map keys", "addr:housenumber,addr:street,addr:city,lat,lon\n12,Mill Street,Ashby,41.2,-95.9\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p := read(t, test.text)
			if p.Source != events.AddressPoint || len(p.Rows) != 1 || p.Rows[0].At != geo.MustPoint(41.2, -95.9) {
				t.Fatalf("read %+v", p)
			}
			got := positions.Propose(book(map[string]string{"a": "12 Mill St, Ashby"}), "north", p)
			if len(got) != 1 || got[0].Sure != postal.Certain || got[0].At != geo.MustPoint(41.2, -95.9) {
				t.Errorf("proposed %+v", got)
			}
		})
	}
}

func TestBadFiles(t *testing.T) {
	tests := []struct{ name, text, says string }{
		{"no positions", "house number,street\n12,Mill\n", "no columns of latitude"},
		{"nothing to find by", "lat,lon,colour\n41,-95,red\n", "no column of addresses"},
		{"a map grid", "number,street,x,y\n12,Mill St,2741234.5,561234.1\n", "map grid"},
		{"exchanged", "number,street,lat,lon\n12,Mill St,-95.9,41.2\n", "longitude first"},
		{"no rows", "number,street,lat,lon\n", "no rows"},
		{"empty", " ", "nothing in it"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := positions.ReadPoints("points.csv", []byte(test.text))
			if err == nil || !strings.Contains(err.Error(), test.says) {
				t.Errorf("got %v, want an error with %q", err, test.says)
			}
		})
	}
	p := read(t, "number,street,lat,lon\n12,Mill St,41.2,-95.9\n14,Mill St,0,0\n16,Mill St,north,-95\n")
	if p.Faulty != 2 || len(p.Faults) != 2 || p.Faults[0].Row != 3 || !strings.Contains(p.Faults[0].Problem, "sea") {
		t.Errorf("faults: %+v", p.Faults)
	}
}

func TestPropose(t *testing.T) {
	points := "number,street,city,lat,lon\n" +
		"12,Mill St,Ashby,41.2000,-95.9000\n12,Mill St,Corby,41.3000,-95.9000\n" +
		"7,Weir Rd,Ashby,41.2100,-95.9100\n7,Weir Rd,Ashby,41.2101,-95.9100\n" + // two doors of one building
		"9,Weir Rd,Ashby,41.2110,-95.9100\n9,Weir Rd,Ashby,41.2500,-95.9100\n" + // the same address twice, 4 km apart
		"5,Willow St,Ashby,41.2200,-95.9200\n" +
		"3,Far St,Ashby,48.0,-95.9\n" +
		"20-24,Quarry Ln,Ashby,41.2300,-95.9300\n"
	b := book(map[string]string{"town": "12 Mill Street, Ashby", "notown": "12 Mill St", "doors": "7 Weir Road, Ashby", "twice": "9 Weir Rd, Ashby", "slip": "5 Wilow St, Ashby",
		"far": "3 Far St, Ashby", "range": "22 Quarry Lane, Ashby", "none": "99 Mill St, Ashby", "blank": "", "kept": "12 Mill St, Ashby"}, "kept")
	want := map[events.SiteID]postal.Sure{"town": postal.Certain, "notown": postal.Ask, "doors": postal.Certain, "twice": postal.Ask, "slip": postal.Likely, "far": postal.Ask,
		"range": postal.Likely, "none": postal.No, "blank": postal.No}
	got := positions.Propose(b, "north", read(t, points))
	if len(got) != len(want) {
		t.Errorf("%d proposals, want %d: a surveyed site wants none", len(got), len(want))
	}
	for _, p := range got {
		if p.Sure != want[p.Site] {
			t.Errorf("%s: %s, want %s: %s", p.Site, p.Sure, want[p.Site], p.Words)
		}
		if p.Words == "" || p.At.IsSet() != (p.Sure != postal.No) {
			t.Errorf("%s: at %v, %s", p.Site, p.At, p.Words)
		}
	}
	if got[0].Sure != postal.Certain || got[len(got)-1].Sure != postal.No {
		t.Error("the surest do not stand first")
	}
}

func TestCentres(t *testing.T) {
	b := book(map[string]string{"a": "12 Mill Street, Ashby, XY 00011", "b": "14 Nowhere Rd, Ashby, XY 00012"})
	streets := read(t, "street,city,lat,lon\nMill St,Ashby,41.20,-95.90\nMill Street,Ashby,41.21,-95.90\nMill St,Corby,41.5,-95.9\n")
	got := positions.Propose(b, "north", streets)
	if got[0].Source != events.StreetCentre || got[0].Site != "a" || geo.Distance(got[0].At, geo.MustPoint(41.205, -95.90)) > 50 {
		t.Errorf("by street: %+v", got[0])
	}
	codes := read(t, "postcode,lat,lon\n00011,41.2,-95.9\n00012-1234,41.3,-95.9\n")
	for _, p := range positions.Propose(b, "north", codes) {
		if p.Source != events.Approximate || p.Sure != postal.Likely {
			t.Errorf("by postcode: %+v", p)
		}
	}
}

func TestTake(t *testing.T) {
	b := book(map[string]string{"a": "12 Mill St", "kept": "14 Mill St"}, "kept")
	at := geo.MustPoint(41.2, -95.9)
	id := events.CommandID{1}
	commands, refused := positions.Commands(b, "north", id, "desk", time.Unix(1e9, 0), []positions.Place{
		{Site: "a", At: at, Source: events.AddressPoint, Words: "row 2"}, {Site: "a", At: at, Source: events.AddressPoint},
		{Site: "kept", At: at, Source: events.Approximate}, {Site: "x", At: at, Source: events.Surveyed}, {Site: "a", Source: events.Surveyed}, {Site: "kept", At: at, Source: "guess"},
	})
	if len(commands) != 1 || len(refused) != 5 {
		t.Fatalf("%d commands, refused %v", len(commands), refused)
	}
	put := commands[0].Do.(events.Put[events.SiteFacts])
	if put.Facts.Position != at || put.Facts.PositionSource != events.AddressPoint || put.Facts.Address != "12 Mill St" || !strings.Contains(put.Why, "address point: row 2") {
		t.Errorf("command %+v", put)
	}
	again, _ := positions.Commands(b, "north", id, "desk", time.Unix(1e9, 0), []positions.Place{{Site: "a", At: at, Source: events.AddressPoint}})
	if again[0].ID != commands[0].ID {
		t.Error("the same take has another id")
	}
}

// TestCounty places every site of the demo by a file of its own addresses, written as another office would write them.
func TestCounty(t *testing.T) {
	o := demo.Default()
	o.Today = events.NewDate(2026, time.March, 2)
	b, err := demo.Generate(o).Fold()
	if err != nil {
		t.Fatal(err)
	}
	var office events.OfficeID
	var text strings.Builder
	text.WriteString("ADDRESS,LAT,LON\n")
	standing := map[events.SiteID]geo.Point{}
	for id, s := range b.Sites {
		office = s.Office
		if !s.Position.IsSet() {
			continue
		}
		standing[id] = s.Position
		street, rest, _ := strings.Cut(s.Address, ",")
		street = strings.ToUpper(strings.NewReplacer("Street", "St.", "Avenue", "Av", "Road", "Rd", "North ", "N ").Replace(street))
		fmt.Fprintf(&text, "\"%s,%s\",%.6f,%.6f\n", street, rest, s.Position.LatDeg(), s.Position.LonDeg())
		moved := *s
		moved.Position, moved.PositionSource = geo.Point{}, events.NoPosition
		b.Sites[id] = &moved
	}
	counts := map[postal.Sure]int{}
	for _, p := range positions.Propose(b, office, read(t, text.String())) {
		counts[p.Sure]++
		if at, known := standing[p.Site]; known && p.Sure == postal.Certain && geo.Distance(at, p.At) > 60 {
			t.Errorf("%s, %s, is surely %.0f m from where it is: %s", p.Site, b.Sites[p.Site].Address, float64(geo.Distance(at, p.At)), p.Words)
		}
	}
	t.Logf("of %d sites: %v", len(standing), counts)
	if counts[postal.Certain] < len(standing)*95/100 {
		t.Errorf("only %d of %d sites are placed surely", counts[postal.Certain], len(standing))
	}
}
