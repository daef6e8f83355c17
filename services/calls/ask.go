package calls

import (
	"fmt"
	"slices"

	"valveround/events"
	"valveround/services/words"
)

// What has to be asked. The words are those of the planner's own rules, so that a job left out and the call that would let
// it in have one name.
const (
	askStanding = "standing"
	askYes      = "repair-yes"
	askNotice   = "notice"
	askWindow   = "window"
	askSeason   = "season"
	askStopped  = "stopped"
	askFire     = "fire"
	askBooking  = "booking" // of others, see parties.go
	askUse      = "before-use"
)

// asksOf is what must be asked about one job, whatever day it is done on.
func (l *lister) asksOf(w work) []Ask {
	var asks []Ask
	add := func(rule, text string) { asks = append(asks, Ask{rule, text, 1}) }
	if w.j.Standing != events.Ours {
		add(askStanding, "whether the test is ours to do")
	}
	if w.j.Stage == events.StageStopped {
		add(askStopped, "whether the way is clear now: "+words.Plain(w.j.Stopped.Why))
	}
	if w.j.NeedsRepair() && w.j.Yes == nil && !l.standingYes(w.site) {
		add(askYes, "for a yes to the repair of what has failed")
	}
	if w.j.UseNotKnown() {
		add(askUse, "when it is used again: it must be tested before")
	}
	f := l.Book.Feeds[w.a.Feed]
	if f == nil {
		return asks
	}
	if f.Pressurised != nil && !*f.Pressurised || f.Pressurised == nil && f.Season != "" && !l.holdsWater(w.site, f, w.deadline()) {
		add(askSeason, "when "+f.Name+" is filled: drained, it cannot be tested")
	}
	if f.Fire && w.a.Type.Testable() {
		add(askFire, "who minds the fire line, and the alarm company's account: fire protection is out while it is shut")
	}
	return asks
}

func (l *lister) standingYes(site *events.Site) bool {
	c := l.Book.Customers[site.Customer]
	return c != nil && c.Repair == "yes"
}

// stoppedByWant reports whether the people of the site may know that what stopped the job is over; the rest is for the purveyor.
func stoppedByWant(j *events.Job) bool {
	return j.Stopped != nil && j.Stopped.Outcome == events.OutcomeCouldNotTest &&
		slices.Contains([]string{"winterised", "no-pressure", "vacant", "flooded", "buried"}, j.Stopped.Why)
}

// siteAsks adds what is asked once for the whole site: notice, and a time where no hours on record are left.
func (l *lister) siteAsks(site *events.Site, jobs []work, s *Site) {
	loc, today := l.zone(site), l.today(site)
	coming := false
	for _, a := range site.Agreed {
		if a.To.After(l.Now) {
			coming = true
			s.Agreed = append(s.Agreed, Agreed{string(a.Feed), a.From.In(loc), a.To.In(loc), words.SentenceIn(l.Book, l.People, events.TimeAgreed{AgreedTime: a}, loc)})
		}
	}
	shut := 0
	for _, f := range s.Feeds {
		if known := l.Book.Feeds[events.FeedID(f.ID)]; len(f.Open) == 0 && f.Dry > 0 && known != nil {
			shut += len(f.Jobs)
		}
	}
	if shut > 0 {
		s.Asks = sumAsks(s.Asks, []Ask{{askWindow, "for a time: no hours on record are open, long enough and while a crew works", shut}})
	}
	if site.NoticeDays == 0 {
		return
	}
	if n := site.Notice; n != nil {
		s.Notice = words.SentenceIn(l.Book, l.People, events.NoticeGiven{Notice: *n}, loc)
	}
	given := coming || site.Notice != nil && l.noticeHolds(site, *site.Notice, today)
	if given {
		return
	}
	if s.Deadline.IsZero() || !s.Deadline.Before(today) {
		s.NoticeUntil = l.noticeUntil(*s, today)
	}
	s.NoticeLate = s.NoticeUntil.Before(today) // also when the deadline itself is past
	s.Asks = sumAsks(s.Asks, []Ask{{askNotice, fmt.Sprintf("for a day and a time: the site must know %s ahead", words.Count(site.NoticeDays, "day", "days")), len(jobs)}})
}

// noticeHolds reports whether a notice still serves: for any later day, or for one of these weeks that was told in time.
func (l *lister) noticeHolds(site *events.Site, n events.Notice, today events.Date) bool {
	if n.For.IsZero() {
		return true
	}
	return !n.For.Before(today) && !l.To.Before(n.For) && !n.For.AddDays(-site.NoticeDays).Before(n.Given)
}

// oneNotice says once what is asked of several sites with notice times of their own.
func oneNotice(asks []Ask) []Ask {
	first := -1
	var list []Ask
	for _, ask := range asks {
		if ask.Rule == askNotice && first >= 0 {
			list[first].Jobs += ask.Jobs
			list[first].Words = "for a day and a time at each site that must know ahead"
			continue
		}
		if ask.Rule == askNotice {
			first = len(list)
		}
		list = append(list, ask)
	}
	return list
}

// noticeUntil is the last day on which notice reaches the last open day before the deadline; without a deadline, before the
// end of the weeks looked at. Where no day is open, it is counted from the deadline itself.
func (l *lister) noticeUntil(s Site, today events.Date) events.Date {
	end := s.Deadline
	if end.IsZero() || l.To.Before(end) {
		end = l.To
	}
	last := events.Date{}
	for _, f := range s.Feeds {
		for _, d := range f.Open {
			if !end.Before(d.Date) && last.Before(d.Date) {
				last = d.Date
			}
		}
	}
	if last.IsZero() {
		last = end
	}
	return last.AddDays(-s.NoticeDays)
}

// sumAsks adds up what is asked by rule and words, in the order in which it came.
func sumAsks(sum, more []Ask) []Ask {
	for _, ask := range more {
		at := slices.IndexFunc(sum, func(a Ask) bool { return a.Rule == ask.Rule && a.Words == ask.Words })
		if at < 0 {
			sum = append(sum, ask)
			continue
		}
		sum[at].Jobs += ask.Jobs
	}
	return sum
}
