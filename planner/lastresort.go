package planner

import (
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// longestDays are by how many minutes a day is made longer where nothing less helps.
var longestDays = []int{0, 60, 120, 240, 480}

// agreeing tries, for what nothing else fits, a time that the site would have to agree to for just this visit: by itself, then with
// what the crew lacks, then with a longer day too; where no crew works that day, on a later one.
func (p *prover) agreeing(attempts []*attempt) {
	for _, a := range attempts {
		if a.why.remedy != nil || a.closed || p.book.Sites[a.site] == nil {
			continue
		}
		r, ok := Remedy{}, false
		if len(p.w.teams) > 0 {
			r, ok = p.agree(a)
		}
		if !ok {
			r, ok = p.agreeLater(a)
		}
		if ok {
			a.why.remedy = &r
		}
	}
}

func (p *prover) agree(a *attempt) (Remedy, bool) {
	site := p.book.Sites[a.site]
	if site == nil {
		return Remedy{}, false
	}
	loc, err := p.w.by.clock.zone(site.Zone)
	if err != nil {
		return Remedy{}, false
	}
	if _, err := hours.ParseIn(site.AccessHours, site.Region); err != nil {
		a.suppose = append(slices.Clone(a.suppose), Supposition{What: SupposeAccess, Site: a.site, Hours: "24/7"})
	}
	date := p.w.r.Date
	agreed := p.agreedTo(a, date.In(loc), date.AddDays(1).In(loc))
	target, ok := p.target(p.w.by, p.w.teams, append(slices.Clone(a.suppose), agreed...), a)
	if !ok {
		return Remedy{}, false
	}
	crews, lacks := lacking(p.w.teams, target)
	for _, extra := range longestDays {
		best, found := Remedy{}, false
		for _, crew := range crews {
			if found && len(lacks[crew]) > len(lacks[p.w.teamOf(best.Crew)]) {
				break
			}
			list := append(slices.Clone(a.suppose), equipping(a, p.w.teams[crew].ID, lacks[crew])...)
			if extra > 0 {
				list = append(list, Supposition{What: SupposeCrewLonger, Crew: p.w.teams[crew].ID, Minutes: extra})
			}
			if r, ok := p.into(append(list, agreed...), a.site, a.jobs, []int{crew}); ok && (!found || r.Adds < best.Adds) {
				best, found = r, true
			}
		}
		if found {
			return p.narrowed(a, best, len(agreed), minutes(target.table.Minutes())), true
		}
	}
	return Remedy{}, false
}

// agreeLater does the same on a later day, for the visit by itself.
func (p *prover) agreeLater(a *attempt) (Remedy, bool) {
	loc, err := p.w.by.clock.zone(p.book.Sites[a.site].Zone)
	if err != nil {
		return Remedy{}, false
	}
	first := p.firstDay(a)
	for ahead := first; ahead < first+2*otherDays && ahead <= farthestDays; ahead++ {
		date := p.w.r.Date.AddDays(ahead)
		on := p.day(date)
		if on == nil {
			continue
		}
		agreed := p.agreedTo(a, date.In(loc), date.AddDays(1).In(loc))
		also, first, target, ok := p.clearing(date, on, a, agreed)
		if !ok {
			continue
		}
		suppose := append(slices.Clone(a.suppose), also...)
		crews, lacks := lacking(on.out.teams, target)
		for _, extra := range longestDays {
			for _, crew := range crews {
				id := on.out.teams[crew].ID
				list := append(slices.Clone(suppose), equipping(a, id, lacks[crew])...)
				if extra > 0 {
					list = append(list, Supposition{What: SupposeCrewLonger, Crew: id, Minutes: extra})
				}
				r, ok := p.later(date, append(slices.Clone(list), agreed...), a.site, a.jobs)
				if !ok {
					continue
				}
				a.suppose, a.first = suppose, append(slices.Clone(a.first), first...)
				length := minutes(target.table.Minutes())
				if less, ok := p.later(date, append(list, p.agreedTo(a, r.Arrive, r.Arrive.Add(length))...), a.site, a.jobs); ok {
					return less, true
				}
				return r, true
			}
		}
	}
	return Remedy{}, false
}

// clearing supposes away, one after the other, what keeps the jobs from being visited on a later day at a time that is agreed; also
// says the same in words, and which visit it then is.
func (p *prover) clearing(date events.Date, on *collector, a *attempt, agreed []Supposition) (also []Supposition, first []string, target stop, ok bool) {
	p.book.date = date
	defer func() { p.book.date = p.w.r.Date }()
	for range 6 {
		next, change, found, done := p.nextObstacle(on, a, slices.Concat(a.suppose, also, agreed))
		if done {
			return also, first, found, true
		}
		known := slices.ContainsFunc(slices.Concat(a.suppose, also), func(x Supposition) bool { return x.What == next.What && x.Feed == next.Feed })
		if next.What == "" || known {
			break
		}
		also, first = append(also, next), append(first, change)
	}
	return nil, nil, stop{}, false
}

// nextObstacle is the visit that holds the jobs with things supposed, or else what would take away the next thing in its way.
func (p *prover) nextObstacle(on *collector, a *attempt, list []Supposition) (next Supposition, change string, target stop, done bool) {
	mark := len(p.book.undo)
	defer p.book.back(mark)
	for _, x := range list {
		if p.book.suppose(x) != nil {
			return next, "", target, false
		}
	}
	laid := p.lay(on, a.site, on.out.teams)
	for _, ref := range a.jobs {
		s, ok := laid.stopWith(ref)
		if ok && s.holdsAll(a.jobs) {
			return next, "", s, true
		}
		i := slices.IndexFunc(laid.leftOut, func(l LeftOut) bool { return l.Assembly == ref.Assembly && l.Job == ref.Job })
		if i < 0 {
			continue
		}
		l := laid.leftOut[i]
		if l.Rule == "manifold" {
			next, ok = p.otherLeg(l, laid)
		} else {
			next, ok = p.supposition(l)
		}
		if !ok {
			return Supposition{}, "", target, false
		}
		return next, l.Change, target, false
	}
	return next, "", target, false
}

// agreedTo supposes that the site agrees to a time for each feed of the jobs.
func (p *prover) agreedTo(a *attempt, from, to time.Time) []Supposition {
	var list []Supposition
	seen := map[events.FeedID]bool{}
	for _, j := range a.jobs {
		feed := p.book.Assemblies[j.Assembly].Feed
		if !seen[feed] {
			seen[feed] = true
			list = append(list, Supposition{What: SupposeAgreed, Site: a.site, Feed: feed, From: from, To: to})
		}
	}
	return list
}

// target is the visit that holds the jobs, with things supposed.
func (p *prover) target(on *collector, teams []team, list []Supposition, a *attempt) (stop, bool) {
	mark := len(p.book.undo)
	defer p.book.back(mark)
	for _, x := range list {
		if p.book.suppose(x) != nil {
			return stop{}, false
		}
	}
	s, ok := p.lay(on, a.site, teams).stopWith(a.jobs[0])
	return s, ok && s.holdsAll(a.jobs)
}

// lacking orders the crews that may be tried for a visit by how little they lack for it, and says what.
func lacking(teams []team, target stop) (crews []int, lacks [][]string) {
	lacks = make([][]string, len(teams))
	for t, team := range teams {
		for _, need := range target.needs {
			if !team.skills[need] {
				lacks[t] = append(lacks[t], need)
			}
		}
		if target.crew == "" || target.crew == team.ID {
			crews = append(crews, t)
		}
	}
	slices.SortStableFunc(crews, func(x, y int) int { return len(lacks[x]) - len(lacks[y]) })
	return crews[:min(len(crews), 2*triedCrews)], lacks
}

// narrowed asks the site for no more than the visit takes.
func (p *prover) narrowed(a *attempt, r Remedy, agreed int, length time.Duration) Remedy {
	list := append(slices.Clone(r.Suppose[:len(r.Suppose)-agreed]), p.agreedTo(a, r.Arrive, r.Arrive.Add(length))...)
	if less, ok := p.into(list, a.site, a.jobs, []int{p.w.teamOf(r.Crew)}); ok && less.Arrive.Equal(r.Arrive) {
		return less
	}
	return r
}

// agreedWords says what a site would have to agree to, once however many feeds it is for.
func (p *prover) agreedWords(x Supposition, said string) string {
	words := " if the site agrees to " + p.clockAt(x.Site, x.From) + " to " + p.clockAt(x.Site, x.To) + " that day"
	if x.To.Sub(x.From) >= 23*time.Hour {
		words = " if the site agrees to any time that day"
	}
	if strings.Contains(said, words) {
		return ""
	}
	return words
}
