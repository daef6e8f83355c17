package search

import (
	"strings"
	"unicode"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/positions/postal"
)

// Kind is the sort of thing that was found.
type Kind string

// The kinds, in the order in which equal hits are shown.
const (
	JobKind      Kind = "job"
	AssemblyKind Kind = "assembly"
	SiteKind     Kind = "site"
	CustomerKind Kind = "customer"
)

// thing is something that can be found.
type thing struct {
	kind   Kind
	id     string
	title  string
	detail string
	page   string
	owner  owner
	fields []field
	gone   bool // over, removed: shown after the others
}

// owner is the entity that a thing was read from: a job's is its assembly.
type owner struct {
	kind Kind
	id   string
}

// field is one of its texts, under the name that a hit is explained by.
type field struct {
	name  string
	text  string
	ident bool // a number on a plate or a paper: found by any part, look-alikes joined
	other bool // said of something it belongs to, which is found first
}

// Index is every word of a book. It is immutable and safe for concurrent use.
type Index struct {
	things []thing
	words  []word         // each distinct word once
	place  map[string]int // of a word in words
	idents []ident
}

// word is a word in its plain form, the same with look-alikes joined, and the fields it stands in.
type word struct {
	plain  string
	key    string
	digits bool
	in     []spot
}

// spot is a field of a thing.
type spot struct{ thing, field int }

// ident is a number without its gaps, look-alike letters and digits joined.
type ident struct {
	key string
	at  spot
}

// NewIndex makes the index of an office's part of a book.
func NewIndex(b *events.Book, office events.OfficeID) *Index {
	return indexOf(b, office, func(owner) bool { return true })
}

// indexOf indexes those that are wanted.
func indexOf(b *events.Book, office events.OfficeID, wanted func(owner) bool) *Index {
	x := &Index{place: map[string]int{}}
	for _, c := range b.Customers {
		if c.Office == office && wanted(owner{CustomerKind, string(c.ID)}) {
			x.add(thing{kind: CustomerKind, id: string(c.ID), title: c.Name, detail: "customer", page: "#/customer/" + string(c.ID), owner: owner{CustomerKind, string(c.ID)},
				fields: []field{{name: "name", text: c.Name}, {name: "customer number", text: string(c.ID), ident: true}}})
		}
	}
	for _, s := range b.Sites {
		if s.Office != office || !wanted(owner{SiteKind, string(s.ID)}) {
			continue
		}
		t := thing{kind: SiteKind, id: string(s.ID), title: s.Name, detail: s.Address, page: "#/site/" + string(s.ID), owner: owner{SiteKind, string(s.ID)},
			fields: []field{{name: "name", text: s.Name}, {name: "address", text: s.Address}, {name: "site number", text: string(s.ID), ident: true}}}
		if c := b.Customers[s.Customer]; c != nil {
			t.fields = append(t.fields, field{name: "customer", text: c.Name, other: true})
		}
		x.add(t)
	}
	for _, a := range b.Assemblies {
		if a.Office == office && wanted(owner{AssemblyKind, string(a.ID)}) {
			x.assembly(b, a)
		}
	}
	return x
}

// assembly adds a unit and its jobs.
func (x *Index) assembly(b *events.Book, a *events.Assembly) {
	site, address := "", ""
	if s := b.Sites[a.Site]; s != nil {
		site, address = s.Name, s.Address
	}
	name := string(a.Type)
	if !a.Size.IsZero() {
		name = a.Size.String() + " " + name
	}
	t := thing{kind: AssemblyKind, id: string(a.ID), title: joinFilled(", ", name+after(" serial ", a.Serial), site), detail: joinFilled(", ", address, a.Place),
		page: "#/assembly/" + string(a.ID), owner: owner{AssemblyKind, string(a.ID)}, gone: a.Gone,
		fields: []field{{name: "serial", text: a.Serial, ident: true}, {name: "purveyor's number", text: a.PurveyorNumber, ident: true},
			{name: "assembly number", text: string(a.ID), ident: true}, {name: "address", text: address, other: true}, {name: "site", text: site, other: true},
			{name: "make and model", text: a.Maker + " " + a.Model}, {name: "place", text: a.Place}}}
	for _, old := range a.Serials {
		t.fields = append(t.fields, field{name: "serial of an earlier unit", text: old, ident: true})
	}
	x.add(t)
	for i := range a.Jobs {
		j := &a.Jobs[i]
		due := ""
		if !j.Due.IsZero() {
			due = "due " + j.Due.String()
		}
		x.add(thing{kind: JobKind, id: string(j.ID), title: joinFilled(", ", "job "+string(j.ID), site), detail: joinFilled(", ", strings.ReplaceAll(string(j.Stage), "-", " "), due, address),
			page: "#/assembly/" + string(a.ID) + "/" + string(j.ID), owner: owner{AssemblyKind, string(a.ID)}, gone: !j.Open(), fields: []field{{name: "job number", text: string(j.ID), ident: true}}})
	}
}

func joinFilled(gap string, parts ...string) string {
	var filled []string
	for _, p := range parts {
		if p != "" {
			filled = append(filled, p)
		}
	}
	return strings.Join(filled, gap)
}

func after(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

func (x *Index) add(t thing) {
	n := len(x.things)
	x.things = append(x.things, t)
	for i, f := range t.fields {
		at := spot{n, i}
		if f.ident {
			if key := duelist.LookAlikeKey(f.text); key != "" {
				x.idents = append(x.idents, ident{key, at})
			}
		}
		for _, w := range rawWords(f.text) {
			x.word(w, at)
			if one := postal.Spelling(w); one != w {
				x.word(one, at)
			}
		}
	}
}

func (x *Index) word(plain string, at spot) {
	i, known := x.place[plain]
	if !known {
		i = len(x.words)
		x.place[plain] = i
		x.words = append(x.words, word{plain: plain, key: duelist.LookAlikeKey(plain), digits: hasDigit(plain)})
	}
	if in := x.words[i].in; len(in) == 0 || in[len(in)-1] != at {
		x.words[i].in = append(in, at)
	}
}

// rawWords cuts a text into words of letters and digits, in capitals; points and apostrophes fall away.
func rawWords(text string) []string {
	return strings.FieldsFunc(strings.ToUpper(fallsAway.Replace(text)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
}

var fallsAway = strings.NewReplacer(".", "", "'", "", "’", "")

func hasDigit(text string) bool { return strings.ContainsAny(text, "0123456789") }
