package calls

import (
	"context"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// callRules are the planner's reasons that one call can take away.
var callRules = []string{askStanding, askYes, askNotice, askWindow, askSeason, askBooking}

// ruleOf is the reason for which a job is left out; one that could not be tested for what others take out of the way waits for them.
func (l *lister) ruleOf(x planner.LeftOut) string {
	if a := l.Book.Assemblies[x.Assembly]; a != nil && x.Rule == askStopped {
		if j := a.Job(x.Job); j != nil {
			if _, ok := planner.ClearedBy(j); ok {
				return askBooking
			}
		}
	}
	return x.Rule
}

// markTomorrow finds the jobs that tomorrow's plan leaves out for want of a word, and marks the calls that would let them
// in. It tries: the book as it would be after the call is planned, and only a job that then comes on a route, or lacks
// nothing but room, is marked.
func (l *lister) markTomorrow(list []Customer, parties []Party) {
	if l.Plan == nil {
		return
	}
	refs := map[events.JobRef][]string{} // what the call would settle
	after := answers{book: l.Book.Snapshot(), date: l.Plan.Date}
	left := l.wanting(l.Plan.LeftOut)
	after.onlyThese(left)
	for range len(callRules) {
		if len(left) == 0 {
			break
		}
		for _, x := range left {
			ref := events.JobRef{Assembly: x.Assembly, Job: x.Job}
			if slices.Contains(refs[ref], x.Rule) {
				delete(refs, ref) // the answer did not help
				after.drop(x.Assembly)
				continue
			}
			refs[ref] = append(refs[ref], x.Rule)
			after.settle(x)
		}
		plan, err := planner.Make(context.Background(), planner.Request{Book: after.book, Office: l.Office, Date: l.Plan.Date, Now: l.Now, Settings: l.Settings})
		if err != nil {
			return // the plan of tomorrow itself says so
		}
		for _, x := range plan.LeftOut {
			if ref := (events.JobRef{Assembly: x.Assembly, Job: x.Job}); !slices.Contains(callRules, l.ruleOf(x)) && x.Rule != "no-room" && x.Rule != "too-dear" {
				delete(refs, ref)
			}
		}
		left = l.wanting(plan.LeftOut)
	}
	for _, x := range left {
		delete(refs, events.JobRef{Assembly: x.Assembly, Job: x.Job})
	}
	l.mark(list, refs)
	l.markParties(parties, refs)
}

// wanting are the jobs left out for a reason that a call can take away.
func (l *lister) wanting(leftOut []planner.LeftOut) []planner.LeftOut {
	var want []planner.LeftOut
	for _, x := range leftOut {
		x.Rule = l.ruleOf(x)
		if a := l.Book.Assemblies[x.Assembly]; a != nil && slices.Contains(callRules, x.Rule) && l.Book.Feeds[a.Feed] != nil {
			want = append(want, x)
		}
	}
	return want
}

func (l *lister) mark(list []Customer, refs map[events.JobRef][]string) {
	for i := range list {
		c := &list[i]
		for _, s := range c.Sites {
			var all []words.Job
			for _, f := range s.Feeds {
				all = append(all, f.Jobs...)
			}
			// What only others must bring is not for the site to say.
			jobs, text := l.settled(all, refs, func(rules []string) bool {
				return slices.ContainsFunc(rules, func(r string) bool { return r != askBooking })
			})
			if jobs > 0 {
				c.JobsIn += jobs
				c.Tomorrow = append(c.Tomorrow, s.Site.Name+": "+text)
			}
		}
	}
}

// markParties marks the calls to those who must come tomorrow for a job to come in.
func (l *lister) markParties(list []Party, refs map[events.JobRef][]string) {
	for i := range list {
		p := &list[i]
		for _, place := range p.Places {
			jobs, text := l.settled(place.Jobs, refs, func(rules []string) bool { return slices.Contains(rules, askBooking) })
			if jobs > 0 {
				p.JobsIn += jobs
				p.Tomorrow = append(p.Tomorrow, strings.Join(nonEmpty(place.Site.Name, place.Name), ", ")+": "+text)
			}
		}
	}
}

// settled counts the jobs of some that may come in tomorrow, and says with what.
func (l *lister) settled(list []words.Job, refs map[events.JobRef][]string, counts func(rules []string) bool) (int, string) {
	jobs := 0
	var said []string
	add := func(text string) {
		if !slices.Contains(said, text) {
			said = append(said, text)
		}
	}
	for _, j := range list {
		rules, ok := refs[events.JobRef{Assembly: events.AssemblyID(j.Assembly), Job: events.JobID(j.Job)}]
		if !ok || !counts(rules) {
			continue
		}
		jobs++
		for _, r := range rules {
			if r != askBooking {
				add(ruleWords(r))
				continue
			}
			a := l.Book.Assemblies[events.AssemblyID(j.Assembly)]
			for _, n := range needsOf(a, a.Job(events.JobID(j.Job)), l.Book.Sites[a.Site], l.Book.Feeds[a.Feed]) {
				loc := l.zone(l.Book.Sites[a.Site])
				if !comes(l.Book.Sites[a.Site], a.Feed, n.What, l.Tomorrow.In(loc), l.Tomorrow.AddDays(1).In(loc)) {
					add(bookedWords[n.What])
				}
			}
		}
	}
	return jobs, words.Count(jobs, "job", "jobs") + " with " + strings.Join(said, " and ")
}

// bookedWords is what must be booked, after "with".
var bookedWords = map[events.Brought]string{events.StreetValve: "the purveyor at the street valve", events.AlarmCompany: "the alarm company booked",
	events.Escort: "an escort", events.PumpOut: "a pump-out"}

func ruleWords(rule string) string {
	switch rule {
	case askStanding:
		return "a word that it is ours"
	case askYes:
		return "a yes to the repair"
	case askSeason:
		return "a word that it is filled"
	}
	return "a time agreed"
}

// answers is a book as it would be if the people called said yes. Entities are replaced, never changed: the snapshot shares
// them with the book itself.
type answers struct {
	book *events.Book
	date events.Date
}

// onlyThese keeps the assemblies of the jobs left out, so that little is planned.
func (w *answers) onlyThese(left []planner.LeftOut) {
	keep := map[events.AssemblyID]bool{}
	for _, x := range left {
		keep[x.Assembly] = true
	}
	for id := range w.book.Assemblies {
		if !keep[id] {
			delete(w.book.Assemblies, id)
		}
	}
}

func (w *answers) drop(id events.AssemblyID) { delete(w.book.Assemblies, id) }

// settle answers what keeps one job out.
func (w *answers) settle(x planner.LeftOut) {
	a := w.book.Assemblies[x.Assembly]
	if a == nil {
		return
	}
	switch x.Rule {
	case askStanding:
		w.job(a, x.Job, func(j *events.Job) { j.Standing = events.Ours })
	case askYes:
		w.job(a, x.Job, func(j *events.Job) { j.Yes = &events.RepairYes{Basis: "asked"} })
	case askSeason:
		f, filled := *w.book.Feeds[a.Feed], true
		f.Pressurised, f.PressurisedAt = &filled, time.Time{}
		w.book.Feeds[f.ID] = &f
	case askNotice, askWindow:
		w.agree(a)
	case askBooking:
		w.bring(a, x.Job)
	}
}

// bring has others come all day, and until noon of the next for work at night.
func (w *answers) bring(a *events.Assembly, id events.JobID) {
	j := a.Job(id)
	if w.book.Sites[a.Site] == nil || j == nil {
		return
	}
	s := *w.book.Sites[a.Site]
	from := w.date.In(words.Zone(w.book, s.ID))
	for _, n := range needsOf(a, j, &s, w.book.Feeds[a.Feed]) {
		if !comes(&s, a.Feed, n.What, from, from.Add(24*time.Hour)) {
			s.Booked = append(slices.Clone(s.Booked), events.Booking{What: n.What, Feed: a.Feed, From: from, To: from.Add(36 * time.Hour)})
		}
	}
	w.book.Sites[s.ID] = &s
}

func (w *answers) job(a *events.Assembly, id events.JobID, change func(*events.Job)) {
	changed := *a
	changed.Jobs = slices.Clone(a.Jobs)
	if j := changed.Job(id); j != nil {
		change(j)
	}
	w.book.Assemblies[a.ID] = &changed
}

// agree has the site agree to working hours, which also stands for notice.
func (w *answers) agree(a *events.Assembly) {
	if w.book.Sites[a.Site] == nil {
		return
	}
	s := *w.book.Sites[a.Site]
	open := w.date.In(words.Zone(w.book, s.ID))
	from, to := open.Add(6*time.Hour), open.Add(18*time.Hour)
	for _, agreed := range s.Agreed {
		if agreed.From.Equal(from) && agreed.To.Equal(to) {
			return
		}
	}
	s.Agreed = append(slices.Clone(s.Agreed), events.AgreedTime{From: from, To: to})
	w.book.Sites[s.ID] = &s
}
