package calls

import (
	"cmp"
	"slices"

	"valveround/events"
)

// whom lists the contacts of a call's sites with what each may do, those first who can answer for most sites.
func (l *lister) whom(c Customer) []Contact {
	list := []Contact{}
	for _, s := range c.Sites {
		site := l.Book.Sites[events.SiteID(s.Site.ID)]
		for _, contact := range site.Contacts {
			if !l.asked(contact.Role, c.Asks) {
				continue
			}
			at := slices.IndexFunc(list, func(x Contact) bool { return x.Person == string(contact.Person) })
			if at < 0 {
				at = len(list)
				list = append(list, Contact{Person: string(contact.Person), Name: l.People.Name(contact.Person), Phone: l.People.Of(string(contact.Person)).Phone,
					Wrong: wrongNumber(site, contact.Person)})
			}
			who := &list[at]
			if !slices.Contains(who.Roles, contact.Role) {
				who.Roles = append(who.Roles, contact.Role)
			}
			if !slices.Contains(who.Sites, s.Site.ID) {
				who.Sites = append(who.Sites, s.Site.ID)
			}
		}
	}
	slices.SortStableFunc(list, func(x, y Contact) int {
		return cmp.Or(cmp.Compare(len(y.Sites), len(x.Sites)), cmp.Compare(len(y.Roles), len(x.Roles)), cmp.Compare(x.Name, y.Name))
	})
	return list
}

// asked reports whether somebody with this role has an answer to give in this call.
func (l *lister) asked(role string, asks []Ask) bool {
	has := func(rule string) bool { return slices.ContainsFunc(asks, func(a Ask) bool { return a.Rule == rule }) }
	switch role {
	case "may authorise repair":
		return has(askYes) || has(askStanding)
	case "alarm company", "fire pump hand":
		return has(askFire)
	}
	return true
}

// wrongNumber reports whether the last call to this person found the number wrong.
func wrongNumber(site *events.Site, person events.PersonID) bool {
	for i := len(site.Calls) - 1; i >= 0; i-- {
		if call := site.Calls[i]; call.Who == person {
			return call.Outcome == events.CallWrongNumber
		}
	}
	return false
}
