package bulk

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"strings"

	"valveround/events"
	"valveround/services/intake"
	"valveround/services/intake/plain"
	"valveround/services/intake/sheet"
)

// Kinds are those that can be edited so, by their plural. People are not among them: their names live apart from the log.
var Kinds = []string{"customers", "sites", "feeds", "assemblies", "crews", "gauges", "kits", "purveyors"}

// kind knows the rows of one kind.
type kind interface {
	write(w io.Writer, f plain.Fleet) error
	// read gives the rows of a table, by id, each as cells by column; a column that the table lacks is not among them.
	read(t sheet.Table) (rows []row, faults []sheet.Fault)
	// rows are those of a fleet.
	rows(f plain.Fleet) []row
	// fleet holds one row.
	fleet(r row) plain.Fleet
	columns() []string
}

// row is one record as a row of its file.
type row struct {
	id    string
	line  int
	value any               // the row of package plain
	cells map[string]string // by column, as written
	has   map[string]bool   // columns of the file
}

type kindOf[T any] struct {
	list func(*plain.Fleet) *[]T
}

var kinds = map[string]kind{
	"customers":  kindOf[plain.Customer]{func(f *plain.Fleet) *[]plain.Customer { return &f.Customers }},
	"sites":      kindOf[plain.Site]{func(f *plain.Fleet) *[]plain.Site { return &f.Sites }},
	"feeds":      kindOf[plain.Feed]{func(f *plain.Fleet) *[]plain.Feed { return &f.Feeds }},
	"assemblies": kindOf[plain.Assembly]{func(f *plain.Fleet) *[]plain.Assembly { return &f.Assemblies }},
	"crews":      kindOf[plain.Crew]{func(f *plain.Fleet) *[]plain.Crew { return &f.Crews }},
	"gauges":     kindOf[plain.Gauge]{func(f *plain.Fleet) *[]plain.Gauge { return &f.Gauges }},
	"kits":       kindOf[plain.RepairKit]{func(f *plain.Fleet) *[]plain.RepairKit { return &f.Kits }},
	"purveyors":  kindOf[plain.Purveyor]{func(f *plain.Fleet) *[]plain.Purveyor { return &f.Purveyors }},
}

// Export writes every record of a kind as CSV.
func Export(b *events.Book, office events.OfficeID, plural string) ([]byte, error) {
	k, ok := kinds[plural]
	if !ok {
		return nil, unknown(plural)
	}
	fleet, _ := intake.ToFolder(b, office, nil)
	var out bytes.Buffer
	if err := k.write(&out, fleet); err != nil {
		return nil, fmt.Errorf("writing the %s: %w", plural, err)
	}
	return out.Bytes(), nil
}

func unknown(plural string) error {
	return &events.Refusal{Words: fmt.Sprintf("%q cannot be edited in a spreadsheet; these can: %s", plural, strings.Join(Kinds, ", "))}
}

func (k kindOf[T]) write(w io.Writer, f plain.Fleet) error { return plain.Write(w, *k.list(&f)) }

func (k kindOf[T]) rows(f plain.Fleet) []row {
	var list []row
	for _, v := range *k.list(&f) {
		list = append(list, rowOf(v, nil))
	}
	return list
}

func (k kindOf[T]) read(t sheet.Table) ([]row, []sheet.Fault) {
	values, faults := plain.Read[T](t)
	has := map[string]bool{}
	for _, cells := range t.Rows {
		for _, c := range cells {
			has[strings.ToLower(strings.Join(strings.Fields(c.Text), "_"))] = true
		}
		if len(has) > 1 || !has[""] {
			break // the header is the first row that is not blank
		}
	}
	var list []row
	for _, v := range values {
		list = append(list, rowOf(v, has))
	}
	return list, faults
}

func (k kindOf[T]) fleet(r row) plain.Fleet {
	var f plain.Fleet
	*k.list(&f) = []T{r.value.(T)}
	return f
}

func (k kindOf[T]) columns() []string {
	var names []string
	for _, c := range plain.Columns[T]() {
		names = append(names, c.Name)
	}
	return names
}

// rowOf takes a row apart; has are the columns of its file, nil: all.
func rowOf[T any](v T, has map[string]bool) row {
	r := row{value: v, cells: map[string]string{}, has: has}
	var out bytes.Buffer
	if err := plain.Write(&out, []T{v}); err != nil {
		panic(fmt.Sprintf("a row is plain data: %v", err))
	}
	table, err := sheet.ReadCSV("row", out.Bytes(), sheet.Limits{})
	if err == nil && len(table.Rows) == 2 {
		for i, c := range plain.Columns[T]() {
			r.cells[c.Name] = table.Cell(1, i+1).Text
		}
	}
	value := reflect.ValueOf(v)
	r.id, r.line = value.FieldByName("ID").String(), int(value.FieldByName("Line").Int())
	return r
}

// over lays the columns that a row's file has over a row as it is on record.
func (r row) over(known row) row {
	merged := reflect.New(reflect.TypeOf(known.value)).Elem()
	merged.Set(reflect.ValueOf(known.value))
	edited := reflect.ValueOf(r.value)
	for i := range merged.NumField() {
		name, _, _ := strings.Cut(merged.Type().Field(i).Tag.Get("csv"), ",")
		if name == "-" || r.has == nil || r.has[name] {
			merged.Field(i).Set(edited.Field(i))
		}
	}
	r.value = merged.Interface()
	cells := map[string]string{}
	for column, text := range known.cells {
		if cells[column] = text; r.has == nil || r.has[column] {
			cells[column] = r.cells[column]
		}
	}
	r.cells = cells
	return r
}
