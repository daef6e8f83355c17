package search

import (
	"cmp"
	"slices"
	"strings"

	"valveround/services/intake/duelist"
	"valveround/services/intake/positions/postal"
)

// Hit is one thing that was found.
type Hit struct {
	Kind   Kind   `json:"kind" enum:"job,assembly,site,customer"`
	ID     string `json:"id"`
	Title  string `json:"title"`
	Detail string `json:"detail,omitempty"`
	Why    string `json:"why" doc:"what matched: serial: AB-1042"`
	Page   string `json:"page" doc:"where it is opened, with its history"`
	Over   bool   `json:"over,omitempty" doc:"the job is over, or the unit is gone"`
	Score  int    `json:"score" doc:"100: every word as it stands; the weights are our own"`
	owner  owner
}

// Limits of a query: more words than an address has say nothing more.
const (
	maxWords = 10
	maxQuery = 200
)

// How well a word matches, out of 100.
const (
	asIs       = 100
	begins     = 85
	looksAlike = 80
	within     = 65
	oneSlip    = 60
	twoSlips   = 45
	belongs    = 5 // less for a word of what the thing belongs to
)

// Find ranks what a query may mean; the best first. Things are found by all words of the query, or by all but one in three.
func (x *Index) Find(query string) []Hit {
	if len(query) > maxQuery {
		query = query[:maxQuery]
	}
	words := rawWords(query)
	words = words[:min(len(words), maxWords)]
	if len(words) == 0 {
		return nil
	}
	found := newFinding(len(x.things), len(words))
	for _, w := range words {
		found.begin()
		x.matchWord(w, found)
		found.end()
	}
	x.matchIdents(strings.Join(words, ""), found)
	return x.hits(found, len(words))
}

// finding is the score of every thing: of the word being looked at, of those before, and of the query as one number.
type finding struct {
	current, sum, matched, whole []int
	at                           [][]int // fields that matched, by thing
	wholeAt, currentAt           []int
	touched                      []int
}

func newFinding(things, words int) *finding {
	return &finding{current: make([]int, things), currentAt: make([]int, things), sum: make([]int, things), matched: make([]int, things), whole: make([]int, things),
		wholeAt: make([]int, things), at: make([][]int, things)}
}

func (f *finding) begin() { f.touched = f.touched[:0] }

func (f *finding) note(at spot, score int) {
	if f.current[at.thing] == 0 {
		f.touched = append(f.touched, at.thing)
	}
	if score > f.current[at.thing] {
		f.current[at.thing], f.currentAt[at.thing] = score, at.field
	}
}

func (f *finding) end() {
	for _, t := range f.touched {
		f.sum[t] += f.current[t]
		f.matched[t]++
		if !slices.Contains(f.at[t], f.currentAt[t]) {
			f.at[t] = append(f.at[t], f.currentAt[t])
		}
		f.current[t] = 0
	}
}

// matchWord compares one word of the query with every word of the book.
func (x *Index) matchWord(w string, found *finding) {
	one, key := postal.Spelling(w), duelist.LookAlikeKey(w)
	digits := hasDigit(w)
	for i := range x.words {
		if score := x.words[i].matches(w, one, key, digits); score > 0 {
			for _, at := range x.words[i].in {
				if x.things[at.thing].fields[at.field].other {
					found.note(at, score-belongs)
					continue
				}
				found.note(at, score)
			}
		}
	}
}

func (w *word) matches(asked, one, key string, digits bool) int {
	switch {
	case w.plain == asked || w.plain == one:
		return asIs
	case len(asked) >= 2 && strings.HasPrefix(w.plain, asked):
		return begins
	case (digits || w.digits) && w.key == key:
		return looksAlike
	case len(asked) >= 3 && strings.Contains(w.plain, asked):
		return within
	case (digits || w.digits) && len(key) >= 4 && strings.Contains(w.key, key):
		return within - 5
	case digits || w.digits:
		return 0 // a slip in a number is another number; see matchIdents for long ones
	}
	slips, ok := postal.Slips(w.plain, asked, min(postal.Forgiven(w.plain), postal.Forgiven(asked)))
	switch {
	case !ok:
		return 0
	case slips == 1:
		return oneSlip
	}
	return twoSlips
}

// matchIdents compares the query as one number with the numbers on plates and papers: the whole, its beginning or end, any
// part of it, or the whole with one slip.
func (x *Index) matchIdents(query string, found *finding) {
	key := duelist.LookAlikeKey(query)
	if len(key) < 2 || !hasDigit(key) {
		return
	}
	for _, id := range x.idents {
		score := id.matches(key)
		if score > found.whole[id.at.thing] {
			found.whole[id.at.thing], found.wholeAt[id.at.thing] = score, id.at.field
		}
	}
}

func (id ident) matches(key string) int {
	switch {
	case id.key == key:
		return asIs + 15
	case len(key) >= 3 && strings.HasPrefix(id.key, key):
		return begins + 5
	case len(key) >= 3 && strings.HasSuffix(id.key, key):
		return begins
	case len(key) >= 4 && strings.Contains(id.key, key):
		return within
	}
	if len(key) >= 5 && len(id.key) >= 5 {
		if _, ok := postal.Slips(id.key, key, 1); ok {
			return oneSlip
		}
	}
	return 0
}

func (x *Index) hits(found *finding, words int) []Hit {
	var hits []Hit
	for i := range x.things {
		t := &x.things[i]
		score, fields := 0, found.at[i]
		if missing := words - found.matched[i]; found.matched[i] > 0 && missing <= words/3 {
			score = found.sum[i]/words - 10*missing
		}
		if found.whole[i] > score {
			score, fields = found.whole[i], []int{found.wholeAt[i]}
		}
		if score < twoSlips-2*belongs {
			continue
		}
		hits = append(hits, Hit{Kind: t.kind, ID: t.id, Title: t.title, Detail: t.detail, Why: t.why(fields), Page: t.page, Over: t.gone, Score: score, owner: t.owner})
	}
	slices.SortFunc(hits, better)
	return hits
}

// better puts the better match first; equal ones by kind, a site before the units that stand at its address.
func better(a, b Hit) int {
	return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(place(a), place(b)), cmp.Compare(a.Title, b.Title), cmp.Compare(a.ID, b.ID))
}

func place(h Hit) int {
	n := slices.Index([]Kind{SiteKind, CustomerKind, AssemblyKind, JobKind}, h.Kind)
	if h.Over {
		n += 10
	}
	return n
}

// why names the fields that matched, with what they say.
func (t *thing) why(fields []int) string {
	var said []string
	for _, f := range fields[:min(2, len(fields))] {
		said = append(said, t.fields[f].name+": "+strings.TrimSpace(t.fields[f].text))
	}
	return strings.Join(said, "; ")
}
