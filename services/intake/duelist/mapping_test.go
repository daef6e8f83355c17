package duelist

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"valveround/services/intake/sheet"
)

func TestHeaderWords(t *testing.T) {
	for header, want := range map[string]Field{
		"Device #": FieldNumber, "BFP ID": FieldNumber, "Backflow Assembly Number": FieldNumber, "ID": FieldNumber,
		"Acct No.": FieldAccount, "Customer Name": FieldCustomer, "SERVICE ADDRESS": FieldAddress, "Svc Addr": FieldAddress, "Zip Code": FieldPostCode,
		"Serial Number": FieldSerial, "S/N": FieldSerial, "Serial No. #": FieldSerial, "Mfr.": FieldMaker, "Model #": FieldModel, "Size (in)": FieldSize,
		"Device Type": FieldType, "Degree of Hazard": FieldHazard, "Type of Service": FieldService, "Location": FieldPlace, "Location of Device": FieldPlace,
		"Next Test Due": FieldDue, "Due": FieldDue, "Date of Last Test": FieldLastTest, "Compliance Date": FieldDue, "Annual Test Due By": FieldDue,
		"Meter #": FieldMeter, "Meter Serial No": FieldMeter, "Bypass Serial #": FieldBypassSerial, "Bypass Size": FieldBypassSize, "By": "",
		"Status": FieldStatus, "Comments": FieldNotes, "Tester": FieldStanding, "Mailing Address": FieldIgnore, "Owner Mailing City": FieldIgnore,
		"Amount Due": FieldIgnore, "Frequency": "", "problem": FieldProblem, "Assembly Serial Number": FieldSerial, "Street No": FieldStreetNumber,
	} {
		if got, _ := fieldOf(header); got != want {
			t.Errorf("fieldOf(%q) = %q, want %q", header, got, want)
		}
	}
}

func TestNoFieldHasAnotherFieldsWords(t *testing.T) {
	if len(exactHeaders) == 0 {
		t.Fatal("no words")
	}
	seen := map[string]Field{}
	for _, s := range synonyms {
		for _, word := range splitBars(s.words) {
			key := headerKey(word)
			if other, ok := seen[key]; ok && other != s.field {
				t.Errorf("%q is %s and %s", word, other, s.field)
			}
			seen[key] = s.field
		}
	}
}

func splitBars(words string) (out []string) {
	for start := 0; start <= len(words); {
		end := start
		for end < len(words) && words[end] != '|' {
			end++
		}
		out = append(out, words[start:end])
		start = end + 1
	}
	return out
}

func TestTwoColumnsForOneFieldAreAsked(t *testing.T) {
	table := tableOf(t, "Device No,Address,Type,Due Date,Compliance Date\n1,12 Oak St,RP,2026-03-15,2026-03-31\n")
	m := ProposeMapping(table)
	q := m.Questions()
	if len(q) != 1 || q[0].Key != "field due" || !slices.Equal(q[0].Columns, []int{4, 5}) || m.Col(FieldDue) != 0 {
		t.Fatalf("%+v", q)
	}
	decided := m.Set(5, FieldDue)
	if len(decided.Questions()) != 0 || decided.Col(FieldDue) != 5 || decided.Columns[3].Field != FieldIgnore || len(m.Questions()) != 1 {
		t.Errorf("%+v", decided)
	}
	if twice := decided.Set(4, FieldDue); len(twice.Questions()) != 1 {
		t.Errorf("two columns set by hand: %+v", twice.Questions())
	}
	r, err := Read(table, decided, Options{AsOf: asOf})
	if err != nil || len(r.Rows) != 1 || r.Rows[0].Due.String() != "2026-03-31" {
		t.Errorf("%+v %v", r.Rows, err)
	}
}

func TestALocationThatLooksLikeAddresses(t *testing.T) {
	rows := "1,12 Oak St,RP,2026-03-15\n2,13B Oak St,RP,2026-03-15\n3,14 Oak St,RP,2026-03-15\n"
	m := ProposeMapping(tableOf(t, "Device No,Location,Type,Due\n"+rows))
	if q := m.Questions(); len(q) != 1 || q[0].Key != "field address" {
		t.Fatalf("%+v", q)
	}
	if q := m.Set(2, FieldAddress).Questions(); len(q) != 0 {
		t.Errorf("%+v", q)
	}
}

func TestWithoutNumberAndAddress(t *testing.T) {
	m := ProposeMapping(tableOf(t, "Customer,Type,Due\nMill,RP,2026-03-15\n"))
	if q := m.Questions(); len(q) != 1 || q[0].Key != "which-assembly" {
		t.Errorf("%+v", q)
	}
}

func TestTypesAreKnownByTheirValues(t *testing.T) {
	m := ProposeMapping(tableOf(t, "Device No,Address,What,Due\n1,12 Oak St,RP,x\n2,13 Oak St,DCVA,x\n3,14 Oak St,PVB,x\n"))
	if c := m.Columns[2]; c.Field != FieldType || c.Sure != Unsure || c.Why == "" {
		t.Errorf("%+v", c)
	}
}

func TestAListWithoutHeader(t *testing.T) {
	table := tableOf(t, "17,12 Oak St,RP,2026-03-15\n18,13 Oak St,DC,2026-03-16\n")
	m := ProposeMapping(table)
	if m.HeaderRow != 0 || m.Fingerprint != "" || len(m.Columns) != 4 || len(m.Questions()) != 1 {
		t.Fatalf("%+v", m)
	}
	m = m.Set(1, FieldNumber).Set(2, FieldAddress).Set(3, FieldType).Set(4, FieldDue)
	r, err := Read(table, m, Options{AsOf: asOf})
	if err != nil || len(r.Rows) != 2 {
		t.Fatal(err, outcome(r))
	}
	nothingLost(t, table, r)
	table = tableOf(t, "17,12 Oak St,RP,2026-03-15\n18,13 Oak St,Hydrant,2026-03-16\n")
	if r, err = Read(table, m, Options{AsOf: asOf}); err != nil || len(r.Rows) != 1 {
		t.Fatal(err, outcome(r))
	}
	var out bytes.Buffer
	if err := SaveRejected(&out, table, r); err != nil {
		t.Fatal(err)
	}
	mended := tableOf(t, strings.Replace(out.String(), "Hydrant,", "DC,", 1))
	if r, err = Read(mended, m, Options{AsOf: asOf}); err != nil || len(r.Rows) != 1 || r.Rows[0].Number != "18" {
		t.Error(err, outcome(r), out.String())
	}
}

// Where a column without a header went cannot be told once columns have moved.
func TestANamelessColumnIsNotGuessed(t *testing.T) {
	m := ProposeMapping(tableOf(t, "Device No,Address,,Due\n1,12 Oak St,RP,2026-03-15\n")).Set(3, FieldType)
	if _, _, err := m.Fit(tableOf(t, "Device No,Address,,Due\n2,13 Oak St,RP,2026-04-15\n")); err != nil {
		t.Error(err)
	}
	if _, _, err := m.Fit(tableOf(t, "Device No,,Address,,Due\n2,,13 Oak St,RP,2026-04-15\n")); !errors.Is(err, ErrOtherColumns) {
		t.Error(err)
	}
}

// A saved mapping serves next month's list: other titles above, a blank column between, our problem column behind.
func TestASavedMappingFitsTheNextList(t *testing.T) {
	m := ProposeMapping(tableOf(t, "Device No,Address,Kind,Due\n1,12 Oak St,RP,2026-03-15\n")).Set(3, FieldType)
	data, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	var saved Mapping
	if err := json.Unmarshal(data, &saved); err != nil {
		t.Fatal(err)
	}
	next := tableOf(t, "April,,,,,\nnot yet checked,,,,,\nDevice No,,ADDRESS,Kind,due,problem\n1,,12 Oak St,RP,2026-04-15,was wrong\n")
	if ProposeMapping(next).Fingerprint != saved.Fingerprint {
		t.Error("the fingerprint depends on more than the header's words")
	}
	r, err := Read(next, saved, Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Rows) != 1 || r.Rows[0].Address != "12 Oak St" || r.Rows[0].Type != "RP" || r.Rows[0].Due.String() != "2026-04-15" || r.HeaderRow != 3 {
		t.Errorf("%+v", r)
	}
}

func TestRowKeysDoNotDependOnTheFile(t *testing.T) {
	a := read(t, "Device No,Address,Type,Due\n1,12 Oak St,RP,2026-03-15\n")
	b := read(t, "title\nDue,Device No,Type,Service Address,Frequency\n,,,,\n2026-03-15,1,rp,12  oak st,yearly\n")
	if len(a.Rows) != 1 || len(b.Rows) != 1 || a.Rows[0].RowKey != b.Rows[0].RowKey {
		t.Errorf("%+v\n%+v", a.Rows, b.Rows)
	}
	c := read(t, "Device No,Address,Type,Due\n1,12 Oak St,RP,2026-03-16\n")
	if a.Rows[0].RowKey == c.Rows[0].RowKey {
		t.Error("another due date, the same key")
	}
}

func TestHeaderIsFoundBelowTitles(t *testing.T) {
	table := tableOf(t, "Type of list: due\nAddress all questions to the office\n\nDevice No,Address,Type,Due\n1,12 Oak St,RP,2026-03-15\n")
	if m := ProposeMapping(table); m.HeaderRow != 4 {
		t.Errorf("header on row %d", m.HeaderRow)
	}
	if got := sheet.ColumnName(28); got != "AB" {
		t.Error(got)
	}
}
