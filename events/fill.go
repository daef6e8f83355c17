package events

import (
	"cmp"
	"slices"
)

// The events of a feed that was drained, as irrigation is before the frost, and filled again.
type (
	// FeedFilled: the feed holds water again, so that what hangs on it can be tested.
	FeedFilled struct {
		Crew CrewID `json:"crew,omitempty"`
		By   string `json:"by,omitempty"` // when not a crew: who says so
	}
	// FeedDrained: a crew found the feed drained for the winter; it is not gone to again before it is filled.
	FeedDrained struct {
		Crew  CrewID `json:"crew,omitempty"`
		Words string `json:"words,omitempty"`
	}
)

func declareFill(v *vocabulary) {
	declare[FeedFilled](v, KindFeed, "filled")
	declare[FeedDrained](v, KindFeed, "drained")
}

// winterised is the reason, of those why a test could not be made, that says that the feed is drained.
const winterised = "winterised"

// FillFeed records that the water of a feed is on and the feed filled, whatever stood in the way of it: it was left shut, was
// drained, or was found drained by a crew. A fire line is restored by itself, with its calls and checks, and never so.
type FillFeed struct {
	Feed FeedID
	By   string // who says so
}

// NotFilled reports whether a feed is recorded as drained, or whether nobody said that a seasonal one holds water.
func (f *Feed) NotFilled() bool {
	return f.Pressurised != nil && !*f.Pressurised || f.Pressurised == nil && f.Season != ""
}

// DrainedJobs are the jobs that wait for a feed to be filled: a crew found it drained and could not test.
func (b *Book) DrainedJobs(feed FeedID) []JobRef {
	var list []JobRef
	for _, a := range b.Assemblies {
		if a.Feed != feed {
			continue
		}
		for i := range a.Jobs {
			if s := a.Jobs[i].Stopped; a.Jobs[i].Stage == StageStopped && s != nil && s.Outcome == OutcomeCouldNotTest && s.Why == winterised {
				list = append(list, JobRef{a.ID, a.Jobs[i].ID})
			}
		}
	}
	slices.SortFunc(list, func(x, y JobRef) int { return cmp.Or(cmp.Compare(x.Assembly, y.Assembly), cmp.Compare(x.Job, y.Job)) })
	return list
}

// decideFill writes all that follows from a feed being filled: its water is on, it holds water, and what waited for that can
// be gone to again.
func decideFill(b *Book, do FillFeed) ([]Draft, error) {
	f := b.Feeds[do.Feed]
	switch {
	case f == nil:
		return nil, refuse("no feed %q", do.Feed)
	case do.By == "":
		return nil, refuse("say who says that %s is filled", f.Name)
	case f.Fire && f.OutOfService():
		return nil, refuse("%s is a fire line: record by itself that it is restored, with its calls and checks", f.Name)
	case !f.DrySince.IsZero():
		return nil, refuse("a crew has %s dry now", f.Name)
	}
	var drafts []Draft
	if f.OutOfService() {
		drafts = append(drafts, Draft{f.entity(), FeedRestored{By: do.By}})
	}
	if f.NotFilled() || f.Season != "" { // of a seasonal feed it is news each season
		drafts = append(drafts, Draft{f.entity(), FeedFilled{By: do.By}})
	}
	for _, ref := range b.DrainedJobs(do.Feed) {
		drafts = append(drafts, Draft{b.Assemblies[ref.Assembly].entity(), WayCleared{ref.Job, f.Name + " is filled, says " + do.By}})
	}
	return drafts, nil
}

// decideClear writes that what stopped a job is out of the way; where that was a drained feed, it is filled.
func decideClear(b *Book, do ClearWay) ([]Draft, error) {
	drafts, err := onJob(b, do.JobRef, WayCleared{do.Job, do.Words}, inStage("could be cleared", StageStopped))
	if err != nil || len(drafts) == 0 {
		return drafts, err
	}
	a := b.Assemblies[do.Assembly]
	stopped, f := a.Job(do.Job).Stopped, b.Feeds[a.Feed]
	if stopped != nil && stopped.Why == winterised && f != nil && f.Pressurised != nil && !*f.Pressurised {
		drafts = append(drafts, Draft{f.entity(), FeedFilled{By: cmp.Or(do.Words, "the office")}})
	}
	return drafts, nil
}

// feedFollows lets the record of a feed follow what a crew found: drained where it is winterised, filled where a test was made
// on a feed that was on record as drained.
func (f *finishing) feedFollows() {
	feed := f.b.Feeds[f.a.Feed]
	if feed == nil || feed.Pressurised == nil && feed.Season == "" && f.do.Why != winterised {
		return
	}
	tested := f.do.Initial != nil && f.do.Initial.Says != OpinionNotCompleted || f.do.Final != nil
	switch {
	case f.do.Outcome == OutcomeCouldNotTest && f.do.Why == winterised && (feed.Pressurised == nil || *feed.Pressurised):
		f.drafts = append(f.drafts, Draft{feed.entity(), FeedDrained{f.do.Crew, f.do.Words}})
	case f.do.Outcome != OutcomeCouldNotTest && tested && feed.NotFilled():
		f.drafts = append(f.drafts, Draft{feed.entity(), FeedFilled{Crew: f.do.Crew}})
	}
}
