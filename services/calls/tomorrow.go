package calls

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// callRules are the planner's reasons that one call can take away.
var callRules = []string{askStanding, askYes, askNotice, askWindow, askSeason}

// markTomorrow finds the jobs that tomorrow's plan leaves out for want of a word, and marks the calls that would let them
// in. It tries: the book as it would be after the call is planned, and only a job that then comes on a route, or lacks
// nothing but room, is marked.
func (l *lister) markTomorrow(list []Customer) {
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
			if ref := (events.JobRef{Assembly: x.Assembly, Job: x.Job}); !slices.Contains(callRules, x.Rule) && x.Rule != "no-room" && x.Rule != "too-dear" {
				delete(refs, ref)
			}
		}
		left = l.wanting(plan.LeftOut)
	}
	for _, x := range left {
		delete(refs, events.JobRef{Assembly: x.Assembly, Job: x.Job})
	}
	l.mark(list, refs)
}

// wanting are the jobs left out for a reason that a call can take away.
func (l *lister) wanting(leftOut []planner.LeftOut) []planner.LeftOut {
	var want []planner.LeftOut
	for _, x := range leftOut {
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
			jobs := 0
			var rules []string
			for _, f := range s.Feeds {
				for _, j := range f.Jobs {
					settled, ok := refs[events.JobRef{Assembly: events.AssemblyID(j.Assembly), Job: events.JobID(j.Job)}]
					if !ok {
						continue
					}
					jobs++
					for _, r := range settled {
						if !slices.Contains(rules, ruleWords(r)) {
							rules = append(rules, ruleWords(r))
						}
					}
				}
			}
			if jobs > 0 {
				c.JobsIn += jobs
				c.Tomorrow = append(c.Tomorrow, fmt.Sprintf("%s: %s with %s", s.Site.Name, words.Count(jobs, "job", "jobs"), strings.Join(rules, " and ")))
			}
		}
	}
}

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
		f.Pressurised = &filled
		w.book.Feeds[f.ID] = &f
	case askNotice, askWindow:
		w.agree(a)
	}
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
