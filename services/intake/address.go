package intake

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/positions/postal"
)

// plainWords writes a text for comparing: capitals, letters and digits only, one blank between words.
func plainWords(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToUpper(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}

// rowAddress is where a row of a list says its assembly is.
func rowAddress(row duelist.Row) postal.Address {
	return postal.Parse(strings.Join(nonEmpty(row.Address, row.City, row.PostCode), ", "))
}

// addressed is a site on record with its address read.
type addressed struct {
	*events.Site
	postal.Address
}

// gazetteer finds the sites on record at an address.
type gazetteer map[string][]addressed // by house number

func newGazetteer(book *events.Book) gazetteer {
	g := gazetteer{}
	for _, s := range book.Sites {
		if strings.TrimSpace(s.Address) == "" {
			continue
		}
		a := addressed{s, postal.Parse(s.Address)}
		for _, door := range postal.Doors(a.Number) {
			g[door] = append(g[door], a)
		}
	}
	return g
}

// nearSite is a site whose address may be the one looked for.
type nearSite struct {
	addressed
	postal.Match
}

// near lists the sites at least so likely to be at an address, the likeliest first.
func (g gazetteer) near(a postal.Address, least postal.Sure) []nearSite {
	var list []nearSite
	seen := map[events.SiteID]bool{}
	for _, door := range postal.Doors(a.Number) {
		for _, s := range g[door] {
			if m := postal.Compare(a, s.Address); !seen[s.ID] && m.Sure().AtLeast(least) {
				seen[s.ID] = true
				list = append(list, nearSite{s, m})
			}
		}
	}
	slices.SortFunc(list, func(x, y nearSite) int { return cmp.Or(cmp.Compare(y.Score, x.Score), cmp.Compare(x.ID, y.ID)) })
	return list
}
