package intake

import (
	"cmp"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/positions/postal"
)

// registry finds the assemblies of one purveyor.
type registry struct {
	book     *events.Book
	byNumber map[string][]*events.Assembly
	bySite   map[events.SiteID][]*events.Assembly
	sites    gazetteer // of every purveyor
	claimed  map[events.AssemblyID]bool
}

// numberKey compares purveyors' numbers: blanks and letter case do not count, zeros do.
func numberKey(number string) string {
	return strings.ToUpper(strings.Join(strings.Fields(number), " "))
}

func newRegistry(book *events.Book, purveyor events.PurveyorID) *registry {
	r := &registry{book: book, byNumber: map[string][]*events.Assembly{}, bySite: map[events.SiteID][]*events.Assembly{},
		sites: newGazetteer(book), claimed: map[events.AssemblyID]bool{}}
	for _, a := range assembliesOf(book, purveyor) {
		if number := numberKey(a.PurveyorNumber); number != "" {
			r.byNumber[number] = append(r.byNumber[number], a)
		}
		r.bySite[a.Site] = append(r.bySite[a.Site], a)
	}
	return r
}

// assembliesOf lists a purveyor's assemblies by id.
func assembliesOf(book *events.Book, purveyor events.PurveyorID) []*events.Assembly {
	var list []*events.Assembly
	for _, a := range book.Assemblies {
		if a.Purveyor == purveyor {
			list = append(list, a)
		}
	}
	slices.SortFunc(list, func(a, b *events.Assembly) int { return cmp.Compare(a.ID, b.ID) })
	return list
}

// claim takes an assembly for one row; a second row cannot mean it too.
func (r *registry) claim(a *events.Assembly) bool {
	if a == nil || r.claimed[a.ID] {
		return false
	}
	r.claimed[a.ID] = true
	return true
}

// numbered is the assembly with the row's number. Where a number is not unique, the serial only tells apart those that
// share the number. Nil when none is meant for certain.
func (r *registry) numbered(row duelist.Row) *events.Assembly {
	same := r.byNumber[numberKey(row.Number)]
	if row.Number == "" || len(same) == 0 {
		return nil
	}
	if len(same) == 1 && !row.NumberRepeated {
		return same[0]
	}
	var fits []*events.Assembly
	for _, a := range same {
		if !r.claimed[a.ID] && sameSerial(row, a) {
			fits = append(fits, a)
		}
	}
	if len(fits) == 1 {
		return fits[0]
	}
	return nil
}

// likely is the best of those that a row may mean: at the same address, slips of the pen forgiven, not named by another row, with a serial that
// looks alike, or of one make, model and size where a serial is missing. Nil when there is none.
func (r *registry) likely(row duelist.Row) (*events.Assembly, string) {
	var bySerial, byMake *events.Assembly
	for _, a := range r.candidates(row) {
		switch {
		case r.claimed[a.ID] || a.Gone:
		case bySerial == nil && sameSerial(row, a):
			bySerial = a
		case byMake == nil && sameMake(row, a):
			byMake = a
		}
	}
	if bySerial != nil {
		return bySerial, "the address and a serial that looks alike"
	}
	return byMake, "the address, make, model and size"
}

// candidates are those at the row's address, and those that share its number with others.
func (r *registry) candidates(row duelist.Row) []*events.Assembly {
	var list []*events.Assembly
	if row.Number != "" {
		list = append(list, r.byNumber[numberKey(row.Number)]...)
	}
	if row.Address == "" {
		return list
	}
	for _, s := range r.sites.near(rowAddress(row), postal.Likely) {
		list = append(list, r.bySite[s.ID]...)
	}
	return list
}

// siteAt is the site on record that is surely at a row's address and of the same unit there; nil when there is none.
func (r *registry) siteAt(row duelist.Row, office events.OfficeID) *events.Site {
	if row.Address == "" {
		return nil
	}
	at := rowAddress(row)
	for _, s := range r.sites.near(at, postal.Certain) {
		if s.Office == office && s.Unit == at.Unit {
			return s.Site
		}
	}
	return nil
}

func sameSerial(row duelist.Row, a *events.Assembly) bool {
	return row.Main.SerialKey != "" && a.SerialDoubt == "" && duelist.LookAlikeKey(a.Serial) == row.Main.SerialKey
}

func sameMake(row duelist.Row, a *events.Assembly) bool {
	serialsDiffer := row.Main.SerialKey != "" && a.Serial != "" && a.SerialDoubt == ""
	return !serialsDiffer && row.Main.Maker != "" && row.Main.Model != "" && !row.Main.Size.IsZero() &&
		strings.EqualFold(row.Main.Maker, a.Maker) && strings.EqualFold(row.Main.Model, a.Model) && row.Main.Size == a.Size &&
		(row.Type == "" || row.Type == a.Type)
}
