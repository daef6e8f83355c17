package bulk

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"reflect"
	"time"

	"valveround/events"
	"valveround/services/intake"
	"valveround/services/intake/sheet"
)

// Differences are what an edited file would change.
type Differences struct {
	Kind    string        `json:"kind"`
	Rows    []Changed     `json:"rows" doc:"rows that differ from the record, in the order of the file"`
	Same    int           `json:"same" doc:"rows that say what is on record"`
	New     int           `json:"new"`
	Absent  int           `json:"absent" doc:"records that the file does not name; they stay as they are"`
	Digest  string        `json:"digest" doc:"of what is shown; taking it names it"`
	Faults  []sheet.Fault `json:"-"`
	changes []any         // what is to be put on record
}

// Changed is one row.
type Changed struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	New   bool   `json:"new,omitempty" doc:"no record of that id: it is entered"`
	Cells []Cell `json:"cells"`
}

// Cell is one cell that differs.
type Cell struct {
	Column string `json:"column"`
	Was    string `json:"was,omitempty"`
	Is     string `json:"is,omitempty"`
	Not    bool   `json:"not,omitempty" doc:"it is not changed here: what happened is recorded where it happens"`
}

// Differ reads an edited file and says what it would change. Nothing is written.
func Differ(b *events.Book, office events.OfficeID, plural, name string, data []byte) (Differences, error) {
	d := Differences{Kind: plural, Rows: []Changed{}}
	k, ok := kinds[plural]
	if !ok {
		return d, unknown(plural)
	}
	tables, err := sheet.Read(name, data, sheet.Limits{})
	if err != nil {
		return d, &events.Refusal{Words: err.Error()}
	}
	edited, faults := k.read(tables[0])
	d.Faults = faults
	fleet, _ := intake.ToFolder(b, office, nil)
	known := map[string]row{}
	for _, r := range k.rows(fleet) {
		known[r.id] = r
	}
	d.Absent = len(known)
	for _, r := range edited {
		was, found := known[r.id]
		if found {
			d.Absent--
			r = r.over(was)
		}
		d.add(b, office, k, r, was, found)
	}
	text, err := json.Marshal(struct {
		Kind    string
		Rows    []Changed
		Changes []any
	}{plural, d.Rows, d.changes})
	if err != nil {
		return d, fmt.Errorf("comparing the %s: %w", plural, err)
	}
	sum := sha256.Sum256(text)
	d.Digest = hex.EncodeToString(sum[:12])
	return d, nil
}

// add compares one row.
func (d *Differences) add(b *events.Book, office events.OfficeID, k kind, r, was row, found bool) {
	changed := Changed{ID: r.id, Name: cmp.Or(was.cells["name"], r.cells["name"]), New: !found, Cells: []Cell{}}
	for _, column := range k.columns() {
		if r.cells[column] != was.cells[column] {
			changed.Cells = append(changed.Cells, Cell{Column: column, Was: was.cells[column], Is: r.cells[column]})
		}
	}
	if len(changed.Cells) == 0 {
		d.Same++
		return
	}
	edited, faults := facts(b, office, k, r)
	d.Faults = append(d.Faults, faults...)
	if edited == nil {
		return // its faults say why
	}
	if !found {
		d.New++
		d.Rows, d.changes = append(d.Rows, changed), append(d.changes, edited)
		return
	}
	base, _ := facts(b, office, k, was)
	do := merged(b, base, edited)
	if do == nil {
		for i := range changed.Cells {
			changed.Cells[i].Not = true
		}
		d.Rows = append(d.Rows, changed)
		return
	}
	d.Rows, d.changes = append(d.Rows, changed), append(d.changes, do)
}

// facts is the command that a row makes by itself; nil when it has a fault.
func facts(b *events.Book, office events.OfficeID, k kind, r row) (do any, faults []sheet.Fault) {
	folder := intake.FromFolder(k.fleet(r), intake.FolderOptions{Office: office, Happened: time.Unix(0, 0), Known: b})
	for _, f := range folder.Faults {
		if !f.Question {
			faults = append(faults, f)
		}
	}
	for _, wave := range folder.Waves {
		for _, c := range wave {
			switch c.Do.(type) {
			case events.Put[events.CustomerFacts], events.Put[events.SiteFacts], events.Put[events.FeedFacts], events.Put[events.AssemblyFacts],
				events.Put[events.CrewFacts], events.Put[events.GaugeFacts], events.Put[events.KitFacts], events.Put[events.PurveyorFacts]:
				return c.Do, faults
			}
		}
	}
	return nil, faults
}

// why is said of every change.
const why = "edited in a spreadsheet"

// merged lays what differs between two commands over the facts on record; nil when nothing does.
func merged(b *events.Book, base, edited any) any {
	switch e := edited.(type) {
	case events.Put[events.CustomerFacts]:
		return lay(b.Customers[events.CustomerID(e.ID)].CustomerFacts, base, e)
	case events.Put[events.SiteFacts]:
		return lay(b.Sites[events.SiteID(e.ID)].SiteFacts, base, e)
	case events.Put[events.FeedFacts]:
		return lay(b.Feeds[events.FeedID(e.ID)].FeedFacts, base, e)
	case events.Put[events.AssemblyFacts]:
		return lay(b.Assemblies[events.AssemblyID(e.ID)].AssemblyFacts, base, e)
	case events.Put[events.CrewFacts]:
		return lay(b.Crews[events.CrewID(e.ID)].CrewFacts, base, e)
	case events.Put[events.GaugeFacts]:
		return lay(b.Gauges[events.GaugeID(e.ID)].GaugeFacts, base, e)
	case events.Put[events.KitFacts]:
		return lay(b.Kits[events.KitID(e.ID)].KitFacts, base, e)
	case events.Put[events.PurveyorFacts]:
		return lay(b.Purveyors[events.PurveyorID(e.ID)].PurveyorFacts, base, e)
	}
	return nil
}

func lay[F any](known F, base any, edited events.Put[F]) any {
	was, ok := base.(events.Put[F])
	if !ok { // what is on record is not whole by the rules of a file: the edited row is
		was.Facts = known
	}
	facts, changed := fields(plainOf(known), plainOf(was.Facts), plainOf(edited.Facts))
	if !changed {
		return nil
	}
	text, err := json.Marshal(facts)
	if err != nil {
		return nil
	}
	var laid F
	if json.Unmarshal(text, &laid) != nil {
		return nil
	}
	return events.Put[F]{ID: edited.ID, Facts: laid, Why: why}
}

// plainOf is a value as its JSON reads.
func plainOf(v any) any {
	text, err := json.Marshal(v)
	if err != nil {
		return nil
	}
	var out any
	if json.Unmarshal(text, &out) != nil {
		return nil
	}
	return out
}

// fields lays over what is known the fields in which two values differ.
func fields(known, base, edited any) (any, bool) {
	if reflect.DeepEqual(base, edited) {
		return known, false
	}
	k, okK := known.(map[string]any)
	b, okB := base.(map[string]any)
	e, okE := edited.(map[string]any)
	if !okK || !okB || !okE {
		return edited, !reflect.DeepEqual(known, edited)
	}
	out, changed := map[string]any{}, false
	for name, v := range k {
		out[name] = v
	}
	for name := range b {
		if _, stays := e[name]; !stays {
			if _, there := out[name]; there {
				delete(out, name)
				changed = true
			}
		}
	}
	for name, v := range e {
		laid, differs := fields(k[name], b[name], v)
		if differs {
			out[name], changed = laid, true
		}
	}
	return out, changed
}

// Commands put the differences on record, each under an id that follows from the tap's.
func (d Differences) Commands(c events.Command) []events.Command {
	var list []events.Command
	for i, do := range d.changes {
		one := c
		one.ID, one.Do = events.DeriveCommandID(c.ID, fmt.Sprintf("row %d", i)), do
		list = append(list, one)
	}
	return list
}
