package plain

import (
	"bytes"
	"io"
	"io/fs"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/services/intake/sheet"
)

func readText[T any](t testing.TB, text string) ([]T, []sheet.Fault) {
	t.Helper()
	table, err := sheet.ReadCSV("x.csv", []byte(text), sheet.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return Read[T](table)
}

// draw fills a row with values that its columns allow; blank ones stay as they are.
func draw[T any](t *rapid.T, line int) T {
	var row T
	v := reflect.ValueOf(&row).Elem()
	v.FieldByName("Line").SetInt(int64(line))
	for _, c := range Columns[T]() {
		if !c.Required && rapid.Bool().Draw(t, c.Name+" blank") {
			continue
		}
		drawCell(t, v.Field(c.field), c, line)
	}
	return row
}

func drawCell(t *rapid.T, v reflect.Value, c Column, line int) {
	day := rapid.Custom(func(t *rapid.T) events.Date { return events.NewDate(2026, 1, rapid.IntRange(1, 900).Draw(t, "day")) })
	id := rapid.StringMatching(`[a-z][a-z0-9-]{0,8}`)
	switch field := v.Addr().Interface().(type) {
	case *string:
		switch {
		case c.Name == "id":
			*field = "row-" + string(rune('a'+line))
		case len(c.OneOf) > 0:
			*field = rapid.SampledFrom(c.OneOf).Draw(t, c.Name)
		case c.Name == "zone":
			*field = "UTC"
		case strings.HasSuffix(c.Name, "_time"):
			*field = rapid.StringMatching(`(0[0-9]|1[0-9]|2[0-3]):[0-5][0-9]`).Draw(t, c.Name)
		case checkTextIsID(c.Name):
			*field = id.Draw(t, c.Name)
		default:
			*field = rapid.StringMatching(`[A-Za-z=+'"@;,0-9äß-][A-Za-z0-9 ,;"'\n]{0,9}[A-Za-z0-9"]`).Draw(t, c.Name)
		}
	case **int:
		n := rapid.IntRange(0, 400).Draw(t, c.Name)
		*field = &n
	case **float64:
		n := rapid.Float64Range(0, 89).Draw(t, c.Name)
		*field = &n
	case **bool:
		n := rapid.Bool().Draw(t, c.Name)
		*field = &n
	case *events.Date:
		*field = day.Draw(t, c.Name)
	case *events.Size:
		*field = rapid.SampledFrom([]events.Size{events.InchSize(0, 6), events.InchSize(2, 4), events.InchSize(10, 0)}).Draw(t, c.Name)
	case *events.AssemblyType:
		*field = rapid.SampledFrom(events.AssemblyTypes()).Draw(t, c.Name)
	case *[]string:
		*field = rapid.SliceOfN(id, 1, 3).Draw(t, c.Name)
	case *[]events.Date:
		*field = rapid.SliceOfN(day, 1, 3).Draw(t, c.Name)
	case *[]Need:
		*field = []Need{{What: "street-valve", Whom: rapid.StringMatching(`[A-Za-z][A-Za-z ,/=.&-]{0,12}[a-z]`).Draw(t, "whom"), Phone: "555-01" + rapid.StringMatching(`[0-9]{2}( x[0-9])?`).Draw(t, "phone")}, {What: "escort"}}
	case *[]Registration:
		*field = []Registration{{id.Draw(t, "purveyor"), day.Draw(t, "until")}, {id.Draw(t, "purveyor"), day.Draw(t, "until")}}
	default:
		t.Fatalf("column %s has a type without a test: %T", c.Name, field)
	}
}

func checkTextIsID(column string) bool {
	problem, _ := checkText(column, "not an id")
	return problem != ""
}

func roundTrip[T any](t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows []T
		line := 2
		for i := range rapid.IntRange(0, 3).Draw(t, "rows") {
			rows = append(rows, draw[T](t, i))
		}
		var out bytes.Buffer
		if err := Write(&out, rows); err != nil {
			t.Fatal(err)
		}
		table, err := sheet.ReadCSV("x.csv", out.Bytes(), sheet.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		got, faults := Read[T](table)
		if len(faults) > 0 || len(got) != len(rows) {
			t.Fatalf("%d rows of %d, faults %v\n%s", len(got), len(rows), faults, out.String())
		}
		for i := range rows {
			if at := reflect.ValueOf(&got[i]).Elem().FieldByName("Line"); at.Int() < int64(line) {
				t.Fatalf("row %d says it stood on line %d", i, at.Int())
			}
			reflect.ValueOf(&got[i]).Elem().FieldByName("Line").SetInt(int64(i))
			if !reflect.DeepEqual(got[i], rows[i]) {
				t.Fatalf("got %+v\nwant %+v\n%s", got[i], rows[i], out.String())
			}
		}
	})
}

func TestWhatIsWrittenReadsBack(t *testing.T) {
	t.Run("purveyors", roundTrip[Purveyor])
	t.Run("customers", roundTrip[Customer])
	t.Run("sites", roundTrip[Site])
	t.Run("feeds", roundTrip[Feed])
	t.Run("assemblies", roundTrip[Assembly])
	t.Run("people", roundTrip[Person])
	t.Run("crews", roundTrip[Crew])
	t.Run("gauges", roundTrip[Gauge])
	t.Run("kits", roundTrip[RepairKit])
	t.Run("jobs", roundTrip[Job])
	t.Run("bookings", roundTrip[Booking])
}

func TestEveryColumnIsPlainlyNamed(t *testing.T) {
	check := func(columns []Column) {
		for _, c := range columns {
			if strings.ToLower(c.Name) != c.Name || strings.Contains(c.Name, " ") {
				t.Errorf("column %q", c.Name)
			}
		}
	}
	check(Columns[Purveyor]())
	check(Columns[Site]())
	check(Columns[Assembly]())
	if c := Columns[RepairKit](); len(c) != 10 || !c[6].Required || len(c[6].OneOf) != 5 {
		t.Errorf("kits.csv: %+v", c)
	}
}

func TestSiteFaults(t *testing.T) {
	for _, c := range []struct{ name, row, column, problem string }{
		{"not a number", "s1,Mill,north,10", "lat_deg", "not a number"},
		{"beyond the pole", "s1,Mill,-105.1,39.7", "lat_deg", "beyond 90"},
		{"no id", ",Mill,39.7,-105.1", "id", "must not be blank"},
		{"a dot in the id", "s.1,Mill,39.7,-105.1", "id", "is not an id"},
		{"infinite", "s1,Mill,Inf,-105.1", "lat_deg", "not a number"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rows, faults := readText[Site](t, "id,name,lat_deg,lon_deg\ns0,Good,39.7,-105.1\n"+c.row+"\n")
			if len(rows) != 1 || len(faults) == 0 || faults[0].Row != 3 || faults[0].Column != c.column || !strings.Contains(faults[0].Problem, c.problem) || faults[0].WhatToDo == "" {
				t.Errorf("rows %+v, faults %v", rows, faults)
			}
		})
	}
}

func TestOtherFaults(t *testing.T) {
	for _, c := range []struct {
		name   string
		faults []sheet.Fault
		want   string
	}{
		{"oneof", second(readText[Feed](t, "id,site_id,state\nf1,s1,half\n")), `x.csv row 2, column C "state": "half" is not one of the values it can have; write in-service, shut, impaired, partly-open`},
		{"yes or no", second(readText[Feed](t, "id,site_id,fire\nf1,s1,perhaps\n")), "neither yes nor no"},
		{"size", second(readText[Assembly](t, "id,site_id,feed_id,purveyor_id,type,size_in\na1,s1,f1,p1,RP,4-Mar\n")), "turned into a date"},
		{"type", second(readText[Assembly](t, "id,site_id,feed_id,purveyor_id,type\na1,s1,f1,p1,vacuum breaker\n")), "not one assembly type"},
		{"date", second(readText[Job](t, "id,assembly_id,kind,due\nj1,a1,annual,3/2/2026\n")), "write the day as year-month-day"},
		{"registration", second(readText[Person](t, "id,display_name,registrations\np1,Ada,lark: 2026\n")), "is not a registration"},
		{"need without a thing", second(readText[Feed](t, "id,site_id,needs\nf1,s1,=Valve desk\n")), `"=Valve desk" does not say what must be brought; write it such as street-valve=Valve desk/555-0142`},
		{"need without a desk", second(readText[Feed](t, "id,site_id,needs\nf1,s1,escort; street-valve=/555-0142\n")), `"street-valve=/555-0142" does not say whom to book`},
		{"need with a number only", second(readText[Site](t, "id,name,needs\ns1,Mill,street-valve/555-0142\n")), `names no desk or firm that the number is of`},
		{"need with a name for a number", second(readText[Site](t, "id,name,needs\ns1,Mill,street-valve=Valve desk/Ann\n")), `does not end in a telephone number`},
		{"need twice", second(readText[Site](t, "id,name,needs\ns1,Mill,escort; escort=Front desk\n")), `"escort" stands twice`},
		{"time of day", second(readText[Booking](t, "id,site_id,what,day,from_time,to_time\nb1,s1,escort,2026-03-05,six,08:00\n")), `x.csv row 2, column E "from_time": "six" is not a time of day`},
		{"booking of nothing", second(readText[Booking](t, "id,site_id,what,day,from_time,to_time\nb1,s1,tea,2026-03-05,06:00,08:00\n")), `"tea" is not one of the values it can have; write street-valve, alarm-company, escort, pump-out`},
		{"closed day", second(readText[Purveyor](t, "id,name,closed_days\np1,Lark,2026-07-03; July 4\n")), `"July 4" is not a day`},
		{"zone", second(readText[Purveyor](t, "id,name,zone\np1,Lark,Mountain Time\n")), "is not a time zone"},
		{"unknown column", second(readText[Customer](t, "id,name,colour\nc1,Mill,blue\n")), "is no column of this file"},
		{"missing column", second(readText[Customer](t, "id\nc1\n")), "is missing, so nothing was read"},
		{"twice", second(readText[Customer](t, "id,name\nc1,Mill\nc1,Mill\n")), "already the id of row 2"},
		{"column twice", second(readText[Customer](t, "id,name,name\nc1,Mill,Mill\n")), "stands twice"},
		{"negative", second(readText[Site](t, "id,name,notice_days\ns1,Mill,-2\n")), "not a whole number"},
		{"empty", second(readText[Site](t, "\n")), "write a header line"},
	} {
		if len(c.faults) == 0 || !strings.Contains(c.faults[0].String(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, c.faults, c.want)
		}
	}
}

func second[A, B any](_ A, b B) B { return b }

func TestFolder(t *testing.T) {
	folder := fstest.MapFS{
		"sites.csv":      {Data: []byte("id,name,customer_id\ns1,Mill,c1\ns2,Works,c9\n")},
		"customers.csv":  {Data: []byte("id,name\nc1,Owner\n")},
		"assemblies.csv": {Data: []byte("id,site_id,feed_id,purveyor_id,type\na1,s1,f1,p1,RP\n")},
	}
	fleet, faults, err := ReadFolder(folder, sheet.Limits{})
	if err != nil || len(faults) > 0 || len(fleet.Sites) != 2 || len(fleet.Assemblies) != 1 {
		t.Fatal(fleet, faults, err)
	}
	dangling := fleet.Dangling(func(kind, id string) bool { return kind == "purveyor" && id == "p1" })
	if len(dangling) != 2 || dangling[0].Value != "c9" || dangling[0].Row != 3 || dangling[1].Column != "feed_id" {
		t.Errorf("%v", dangling)
	}
	written := fstest.MapFS{}
	if err := WriteFolder(fleet, func(name string) (io.WriteCloser, error) { return &memFile{fs: written, name: name}, nil }); err != nil {
		t.Fatal(err)
	}
	again, faults, err := ReadFolder(written, sheet.Limits{})
	if err != nil || len(faults) > 0 || !reflect.DeepEqual(again, fleet) || len(written) != len(FileNames()) {
		t.Errorf("%+v %v %v, want %+v", again, faults, err, fleet)
	}
	if _, _, err := ReadFolder(fstest.MapFS{}, sheet.Limits{}); err == nil {
		t.Error("an empty folder is read")
	}
}

type memFile struct {
	bytes.Buffer
	fs   fstest.MapFS
	name string
}

func (m *memFile) Close() error {
	m.fs[m.name] = &fstest.MapFile{Data: m.Bytes(), Mode: fs.FileMode(0o644)}
	return nil
}

// FuzzReadFeeds: no text crashes the reader of what others must bring, and what it accepts it writes and reads again alike.
func FuzzReadFeeds(f *testing.F) {
	f.Add("id,site_id,needs\nf1,s1,street-valve=Valve desk/555-0142; escort\n")
	f.Add("id,site_id,needs\nf1,s1,\"alarm-company=A/B & Co, night desk/+1 555 0100 x2\"\n")
	f.Add("id,site_id,needs\nf1,s1,=;;/=\n")
	f.Fuzz(func(t *testing.T, text string) {
		table, err := sheet.ReadCSV("x.csv", []byte(text), sheet.Limits{MaxBytes: 1 << 14})
		if err != nil {
			return
		}
		rows, _ := Read[Feed](table)
		var out bytes.Buffer
		if err := Write(&out, rows); err != nil {
			t.Fatal(err)
		}
		if table, err = sheet.ReadCSV("x.csv", out.Bytes(), sheet.Limits{}); err != nil {
			t.Fatal(err)
		}
		again, faults := Read[Feed](table)
		if len(faults) > 0 || len(again) != len(rows) {
			t.Fatalf("%v\n%q", faults, out.String())
		}
		for i := range rows {
			if !reflect.DeepEqual(again[i].Needs, rows[i].Needs) {
				t.Fatalf("needs %+v are read again as %+v", rows[i].Needs, again[i].Needs)
			}
		}
	})
}

// FuzzReadAssemblies: no text crashes the reader, and what it accepts it writes and reads again alike.
func FuzzReadAssemblies(f *testing.F) {
	f.Add("id,site_id,feed_id,purveyor_id,type,size_in,lat_deg,last_passed\na1,s1,f1,p1,RP,3/4 in,39.7,2026-03-02\n")
	f.Add("id,registrations\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		table, err := sheet.ReadCSV("x.csv", []byte(text), sheet.Limits{MaxBytes: 1 << 14})
		if err != nil {
			return
		}
		rows, _ := Read[Assembly](table)
		var out bytes.Buffer
		if err := Write(&out, rows); err != nil {
			t.Fatal(err)
		}
		table, err = sheet.ReadCSV("x.csv", out.Bytes(), sheet.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		again, faults := Read[Assembly](table)
		if len(faults) > 0 || len(again) != len(rows) {
			t.Fatalf("%v\n%q", faults, out.String())
		}
	})
}
