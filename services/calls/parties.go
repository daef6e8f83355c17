package calls

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// bookable is one job that waits for something that others bring, and for which they are not booked on any one day.
type bookable struct {
	work
	need     events.Need
	together []string // who is booked on the day on which most of them come
	late     bool     // all are booked, but for a day after the deadline
}

// parties lists who must be asked to come: one call a desk or firm, about all the places it is wanted at.
func (l *lister) parties() []Party {
	groups := map[string][]bookable{}
	for _, a := range l.Book.Assemblies {
		site, feed := l.Book.Sites[a.Site], l.Book.Feeds[a.Feed]
		if a.Office != l.Office || site == nil || feed == nil || a.Gone || l.onHold(site) {
			continue
		}
		for i := range a.Jobs {
			w := work{a: a, j: &a.Jobs[i], site: site}
			if !l.owedOthers(w) {
				continue
			}
			for _, x := range l.unbooked(w, feed) {
				key := l.partyOf(x)
				groups[key] = append(groups[key], x)
			}
		}
	}
	list := []Party{}
	for id, wanted := range groups {
		list = append(list, l.party(id, wanted))
	}
	return list
}

func (l *lister) onHold(site *events.Site) bool {
	c := l.Book.Customers[site.Customer]
	return c != nil && c.OnHold != ""
}

// owedOthers is as for the people of a site; also a job that could not be tested for something that others take out of the way.
func (l *lister) owedOthers(w work) bool {
	if _, ok := planner.ClearedBy(w.j); ok && w.j.Stage == events.StageStopped {
		return w.j.Standing != events.NotOurs && (w.j.Failure != nil || !l.To.Before(w.j.Due))
	}
	return w.j.Stage != events.StageStopped && l.owed(w)
}

// needsOf is what others must bring for a job, each once.
func needsOf(a *events.Assembly, j *events.Job, site *events.Site, feed *events.Feed) []events.Need {
	var needs []events.Need
	for _, n := range planner.NeedsOf(site, feed, planner.WorkOf(a, j) != planner.InspectWork) {
		at := slices.IndexFunc(needs, func(x events.Need) bool { return x.What == n.What })
		switch {
		case at < 0:
			needs = append(needs, n)
		case needs[at].Whom == "":
			needs[at].Whom, needs[at].Phone = n.Whom, n.Phone
		}
	}
	if what, ok := planner.ClearedBy(j); ok && !slices.ContainsFunc(needs, func(x events.Need) bool { return x.What == what }) {
		needs = append(needs, events.Need{What: what})
	}
	return needs
}

// comes reports whether something that others bring is booked for a feed on a day.
func comes(site *events.Site, feed events.FeedID, what events.Brought, from, to time.Time) bool {
	return slices.ContainsFunc(site.Booked, func(b events.Booking) bool {
		return b.What == what && (b.Feed == "" || b.Feed == feed) && b.From.Before(to) && b.To.After(from)
	})
}

// unbooked is what must still be booked for a job: all must come on one day, so those who do not come on the day on which most
// of the others do.
func (l *lister) unbooked(w work, feed *events.Feed) []bookable {
	needs := needsOf(w.a, w.j, w.site, feed)
	if len(needs) == 0 {
		return nil
	}
	loc, last := l.zone(w.site), w.deadline()
	if last.IsZero() || last.Before(l.today(w.site)) {
		last = events.Date{}
	}
	inTime := func(d events.Date) bool { return last.IsZero() || !last.Before(d) }
	var best events.Date // the day on which most of them come, before the deadline where any do
	most := 0
	better := func(day events.Date, n int) bool {
		switch {
		case n == 0 || most == 0:
			return n > 0
		case inTime(day) != inTime(best):
			return inTime(day)
		case n != most:
			return n > most
		}
		return day.Before(best)
	}
	for _, b := range w.site.Booked {
		if !b.To.After(l.Now) || b.Feed != "" && b.Feed != feed.ID {
			continue
		}
		day, n := events.DateIn(b.From, loc), 0
		for _, need := range needs {
			if comes(w.site, feed.ID, need.What, day.In(loc), day.AddDays(1).In(loc)) {
				n++
			}
		}
		if better(day, n) {
			best, most = day, n
		}
	}
	late := most > 0 && !inTime(best)
	if most == len(needs) && !late {
		return nil
	}
	var list []bookable
	var together []string
	for _, need := range needs {
		there := most > 0 && comes(w.site, feed.ID, need.What, best.In(loc), best.AddDays(1).In(loc))
		if there {
			together = append(together, words.BroughtBy(need.What, need.Whom)+" is booked for "+dayName(best))
		}
		if !there || late {
			list = append(list, bookable{work: w, need: need, late: late})
		}
	}
	for i := range list {
		list[i].together = together
	}
	return list
}

// partyOf names the desk or firm that must be asked: as the record says; else the purveyor, the alarm company's account of the
// site, or the people of the site.
func (l *lister) partyOf(x bookable) string {
	key := x.need.Whom
	if key == "" {
		switch x.need.What {
		case events.StreetValve:
			key = string(x.a.Purveyor)
		case events.AlarmCompany, events.Escort:
			key = CallOf(x.site)
			if who := contactFor(x.site, x.need.What); who != "" {
				key = string(who)
			}
		default:
			key = CallOf(x.site)
		}
	}
	return string(x.need.What) + ":" + key
}

// contactFor is who of a site's contacts is asked for something that others bring.
func contactFor(site *events.Site, what events.Brought) events.PersonID {
	role := map[events.Brought]string{events.AlarmCompany: "alarm company", events.Escort: "lets in"}[what]
	i := slices.IndexFunc(site.Contacts, func(c events.Contact) bool { return c.Role == role })
	if i < 0 {
		return ""
	}
	return site.Contacts[i].Person
}

func (l *lister) party(id string, wanted []bookable) Party {
	slices.SortFunc(wanted, func(x, y bookable) int {
		return cmp.Or(cmp.Compare(x.site.ID, y.site.ID), cmp.Compare(x.a.Feed, y.a.Feed), cmp.Compare(x.a.ID, y.a.ID), cmp.Compare(x.j.ID, y.j.ID))
	})
	first := wanted[0]
	p := Party{ID: id, What: first.need.What, Name: l.partyName(first), Whom: []Contact{}, Places: []Place{}}
	places := map[events.BookingPlace][]bookable{}
	var order []events.BookingPlace
	for _, x := range wanted {
		if x.need.Phone != "" {
			p.Phone = x.need.Phone
		}
		at := events.BookingPlace{Site: x.site.ID, Feed: x.a.Feed}
		if slices.ContainsFunc(x.site.Needs, func(n events.Need) bool { return n.What == x.need.What }) {
			at.Feed = ""
		}
		if places[at] == nil {
			order = append(order, at)
		}
		places[at] = append(places[at], x)
	}
	if p.Phone == "" {
		p.Phone = l.phoneOf(first.need)
	}
	for _, at := range order {
		place := l.place(at, places[at])
		p.Places = append(p.Places, place)
		p.Jobs += len(place.Jobs)
		if by := place.Deadline; !by.IsZero() && (p.AskBy.IsZero() || by.Before(p.AskBy)) {
			left := place.DaysLeft
			p.AskBy, p.DaysLeft = by, &left
		}
	}
	slices.SortStableFunc(p.Places, func(x, y Place) int { return cmp.Compare(x.DaysLeft, y.DaysLeft) })
	p.Whom = l.partyContacts(p)
	p.Say = l.sayParty(p)
	return p
}

// partyName is who is asked, as it is read on the list.
func (l *lister) partyName(x bookable) string {
	if x.need.Whom != "" {
		return x.need.Whom
	}
	if x.need.What == events.StreetValve {
		if pv := l.Book.Purveyors[x.a.Purveyor]; pv != nil {
			return pv.Name
		}
	}
	if who := contactFor(x.site, x.need.What); who != "" && x.need.What == events.AlarmCompany {
		return l.People.Name(who)
	}
	if c := l.Book.Customers[x.site.Customer]; c != nil && x.need.What == events.Escort {
		return c.Name
	}
	return x.site.Name
}

// phoneOf is the number of a desk or firm as it is noted with any need of the kind.
func (l *lister) phoneOf(need events.Need) string {
	var found []string
	collect := func(needs []events.Need) {
		for _, n := range needs {
			if n.What == need.What && n.Whom == need.Whom && n.Whom != "" && n.Phone != "" {
				found = append(found, n.Phone)
			}
		}
	}
	for _, s := range l.Book.Sites {
		collect(s.Needs)
	}
	for _, f := range l.Book.Feeds {
		collect(f.Needs)
	}
	if len(found) == 0 {
		return ""
	}
	return slices.Min(found)
}

// partyContacts are people of the sites who can be asked; a desk or firm named on record is asked itself.
func (l *lister) partyContacts(p Party) []Contact {
	list := []Contact{}
	for _, place := range p.Places {
		site := l.Book.Sites[events.SiteID(place.Site.ID)]
		role := map[events.Brought]string{events.AlarmCompany: "alarm company", events.Escort: "lets in"}[p.What]
		for _, c := range site.Contacts {
			if c.Role != role {
				continue
			}
			at := slices.IndexFunc(list, func(x Contact) bool { return x.Person == string(c.Person) })
			if at < 0 {
				at = len(list)
				list = append(list, Contact{Person: string(c.Person), Name: l.People.Name(c.Person), Phone: l.People.Of(string(c.Person)).Phone, Roles: []string{role}, Wrong: wrongNumber(site, c.Person)})
			}
			if !slices.Contains(list[at].Sites, place.Site.ID) {
				list[at].Sites = append(list[at].Sites, place.Site.ID)
			}
		}
	}
	return list
}

func (l *lister) place(at events.BookingPlace, wanted []bookable) Place {
	site := l.Book.Sites[at.Site]
	loc, today, what := l.zone(site), l.today(site), wanted[0].need.What
	p := Place{Site: words.SiteOf(l.Book, site.ID), Feed: string(at.Feed), Jobs: []words.Job{}, Open: []Day{}, DaysLeft: l.Settings.DaysLeft(wanted[0].j, today)}
	if f := l.Book.Feeds[at.Feed]; f != nil {
		p.Name = f.Name
	}
	var jobs []planner.Job
	for _, x := range wanted {
		jobs = append(jobs, planner.Job{Assembly: x.a.ID, Job: x.j.ID, Work: planner.WorkOf(x.a, x.j)})
		p.Jobs = append(p.Jobs, words.JobOf(l.Book, x.a, x.j, today, l.Settings))
		if due := x.deadline(); !due.IsZero() && (p.Deadline.IsZero() || due.Before(p.Deadline)) {
			p.Deadline = due
		}
		p.DaysLeft = min(p.DaysLeft, l.Settings.DaysLeft(x.j, today))
		for _, text := range x.together {
			if !slices.Contains(p.Together, text) {
				p.Together = append(p.Together, text)
			}
		}
		p.Late = p.Late || x.late
	}
	table := l.Settings.Timetable(l.Book, jobs)
	p.Minutes = table.Minutes()
	longest, feed := 0, wanted[0].a.Feed
	dry := map[events.FeedID]int{}
	for _, f := range table.Feeds {
		if dry[f.Feed] += f.Dry; dry[f.Feed] > longest {
			longest, feed = dry[f.Feed], f.Feed
		}
	}
	if !what.WholeVisit() {
		p.Minutes = longest
	}
	for _, d := range l.open(site, l.Book.Feeds[feed], longest) {
		if inTime := p.Deadline.IsZero() || p.Deadline.Before(today) || !p.Deadline.Before(d.Date); inTime && today.Before(d.Date) {
			p.Open = append(p.Open, d)
		}
	}
	for i := len(site.Asked) - 1; i >= 0 && len(p.Last) < 3; i-- {
		if x := site.Asked[i]; x.What == what && (x.Feed == "" || at.Feed == "" || x.Feed == at.Feed) {
			p.Last = append(p.Last, words.SentenceIn(l.Book, l.People, x, loc))
		}
	}
	return p
}

// bring says what is asked of those who must come, so that it can follow "Ask".
var bring = map[events.Brought]string{
	events.StreetValve:  "for the street valve to be worked, which nobody of ours may do",
	events.AlarmCompany: "for the line to be put on test, and for somebody to answer when the crew calls",
	events.Escort:       "for someone to go with the crew from arriving to leaving",
	events.PumpOut:      "for the pit to be pumped out before the crew comes, and kept dry",
}

// sayParty is what the caller reads out to those who must come.
func (l *lister) sayParty(p Party) string {
	first := p.Places[0]
	where := strings.Join(nonEmpty(first.Site.Name, first.Site.Address, first.Name), ", ")
	if len(p.Places) > 1 {
		where = fmt.Sprintf("%s, first of all %s", words.Count(len(p.Places), "place", "places"), where)
	}
	text := fmt.Sprintf("%s about %s: %s to work on", l.caller(), where, words.Count(p.Jobs, "backflow assembly", "backflow assemblies"))
	if !p.AskBy.IsZero() {
		text += ", the first by " + words.Day(p.AskBy)
	}
	parts := []string{text + ".", "Ask " + bring[p.What] + ", for about " + words.Duration(time.Duration(first.Minutes)*time.Minute) + "."}
	if days := dayWords(first.Open); len(p.Places) == 1 && len(days) > 0 {
		parts = append(parts, "It could be "+strings.Join(days, "; ")+".")
	}
	if len(p.Places) == 1 {
		for _, x := range first.Together {
			if first.Late {
				parts = append(parts, x+", which is after the deadline: ask for a day before.")
			} else {
				parts = append(parts, x+": ask for the same day.")
			}
		}
	}
	return strings.Join(parts, " ")
}

func dayWords(days []Day) []string {
	var text []string
	for _, d := range days[:min(3, len(days))] {
		text = append(text, d.Name+" "+d.Hours)
	}
	return text
}

func nonEmpty(texts ...string) []string {
	return slices.DeleteFunc(texts, func(text string) bool { return text == "" })
}

// pressingParty puts first whom to ask first: what may still come into tomorrow, then the least days left.
func pressingParty(x, y Party) int {
	days := func(p Party) int {
		if p.DaysLeft == nil {
			return 1 << 20
		}
		return *p.DaysLeft
	}
	return cmp.Or(ahead(x.JobsIn > 0, y.JobsIn > 0), cmp.Compare(days(x), days(y)), cmp.Compare(y.Jobs, x.Jobs), cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID))
}
