package events

import (
	"slices"
	"strings"
	"time"
)

// CallOutcome is how a call about coming work ended.
type CallOutcome string

// Outcomes of a call. What was agreed or posted is also a promise that planning keeps, see TimeAgreed and NoticeGiven.
const (
	CallAgreed      CallOutcome = "agreed"            // to a day and a time
	CallLeftWord    CallOutcome = "left-word"         // nobody to decide it; to be called again
	CallWrongNumber CallOutcome = "wrong-number"      // the number on record reaches nobody who is meant
	CallPosted      CallOutcome = "posted"            // notice was posted or sent instead
	CallRefused     CallOutcome = "refused"           // they will not have it done
	CallOtherFirm   CallOutcome = "uses-another-firm" // the jobs are not ours
)

// CallOutcomes lists them in the order in which they are offered.
var CallOutcomes = []CallOutcome{CallAgreed, CallLeftWord, CallWrongNumber, CallPosted, CallRefused, CallOtherFirm}

// CallNoted is an event of a site: its people were called, or written to, about coming work, and this is how it ended.
type CallNoted struct {
	Outcome CallOutcome `json:"outcome"`
	On      Date        `json:"on"`            // by the clocks of the site
	Who     PersonID    `json:"who,omitempty"` // who was asked
	Words   string      `json:"words,omitempty"`
}

// TimeWithdrawn is an event of a site: a time that was agreed holds no more.
type TimeWithdrawn struct {
	Feed FeedID    `json:"feed,omitempty"` // as it was agreed
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	Why  string    `json:"why"`
}

// of reports whether it speaks of an agreed time.
func (w TimeWithdrawn) of(a AgreedTime) bool {
	return a.Feed == w.Feed && a.From.Equal(w.From) && a.To.Equal(w.To)
}

func declareCall(v *vocabulary) {
	declare[CallNoted](v, KindSite, "call-noted")
	declare[TimeWithdrawn](v, KindSite, "time-withdrawn")
}

// WithdrawTime records that a time agreed with a site holds no more: they called it off, or it was noted by mistake.
type WithdrawTime struct {
	Site SiteID
	TimeWithdrawn
}

func decideWithdrawTime(b *Book, do WithdrawTime) ([]Draft, error) {
	s := b.Sites[do.Site]
	switch {
	case s == nil:
		return nil, refuse("no site %q", do.Site)
	case strings.TrimSpace(do.Why) == "":
		return nil, refuse("say why the time agreed holds no more")
	case !slices.ContainsFunc(s.Agreed, do.of):
		return nil, refuse("%s has agreed to no such time", s.Name)
	}
	return []Draft{{s.entity(), do.TimeWithdrawn}}, nil
}

// NoteCall records one call for all the sites it was about. A time agreed and a notice become promises; a refusal stops the
// jobs that were spoken of; with another firm they are not ours.
type NoteCall struct {
	Sites   []SiteID
	Feed    FeedID // of an agreed time, for one site; empty: every feed
	Outcome CallOutcome
	// From and To are the time agreed. Of a notice posted, From is a time on the day that it speaks of; zero: any later day.
	From, To time.Time
	Who      PersonID
	Words    string
}

func decideCall(b *Book, c Command, do NoteCall) ([]Draft, error) {
	if err := do.check(b); err != nil {
		return nil, err
	}
	var drafts []Draft
	for _, id := range do.Sites {
		s := b.Sites[id]
		if s == nil {
			return nil, refuse("no site %q", id)
		}
		add := func(event any) { drafts = append(drafts, Draft{s.entity(), event}) }
		loc, err := time.LoadLocation(s.Zone)
		if err != nil {
			return nil, refuse("site %s: its time zone %q is not known", s.Name, s.Zone)
		}
		on := DateIn(c.Happened, loc)
		add(CallNoted{do.Outcome, on, do.Who, do.Words})
		switch do.Outcome {
		case CallAgreed:
			add(TimeAgreed{AgreedTime{do.Feed, do.From, do.To, do.Who}})
			if s.NoticeDays > 0 {
				add(NoticeGiven{Notice{Given: on, For: DateIn(do.From, loc), How: "telephone"}})
			}
		case CallPosted:
			notice := Notice{Given: on, How: "posting it"}
			if !do.From.IsZero() {
				notice.For = DateIn(do.From, loc)
			}
			add(NoticeGiven{notice})
		case CallRefused:
			drafts = append(drafts, onOpenJobs(b, id, func(j *Job) any {
				if j.Stage == StageStopped {
					return nil
				}
				return OwnerRefused{Job: j.ID, Day: on, Words: do.Words}
			})...)
		case CallOtherFirm:
			drafts = append(drafts, onOpenJobs(b, id, func(j *Job) any {
				return Ordered{j.ID, NotOurs, otherFirm(do.Words)}
			})...)
		}
	}
	return drafts, nil
}

func otherFirm(words string) string {
	if words == "" {
		return "uses another firm"
	}
	return "uses another firm: " + words
}

func (do NoteCall) check(b *Book) error {
	switch {
	case !slices.Contains(CallOutcomes, do.Outcome):
		return refuse("%q is not how a call ends", do.Outcome)
	case len(do.Sites) == 0:
		return refuse("say which sites the call was about")
	case do.Outcome == CallAgreed && !do.From.Before(do.To):
		return refuse("say from when to when was agreed; it must end after it begins")
	case do.Outcome == CallOtherFirm && strings.TrimSpace(do.Words) == "" && do.Who == "":
		return refuse("say who told that another firm does it: the jobs leave our list")
	}
	for i, id := range do.Sites {
		if slices.Contains(do.Sites[:i], id) {
			return refuse("site %q is named twice", id)
		}
	}
	if do.Feed != "" {
		if f := b.Feeds[do.Feed]; len(do.Sites) != 1 || f == nil || f.Site != do.Sites[0] {
			return refuse("the feed %q is not one of the site's", do.Feed)
		}
	}
	return nil
}

// onOpenJobs drafts one event on each job at a site that needs a visit and is not known to be another firm's.
func onOpenJobs(b *Book, site SiteID, event func(*Job) any) []Draft {
	var here []*Assembly
	for _, a := range b.Assemblies {
		if a.Site == site {
			here = append(here, a)
		}
	}
	slices.SortFunc(here, func(x, y *Assembly) int { return strings.Compare(string(x.ID), string(y.ID)) })
	var drafts []Draft
	for _, a := range here {
		for i := range a.Jobs {
			j := &a.Jobs[i]
			if !j.NeedsVisit() || j.Standing == NotOurs {
				continue
			}
			if e := event(j); e != nil {
				drafts = append(drafts, Draft{a.entity(), e})
			}
		}
	}
	return drafts
}
