package planner

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// stop is a visit before it has a route: jobs of one site that are done together, when that may begin, what it asks of a
// crew and what it is worth.
type stop struct {
	key    string
	site   *events.Site
	jobs   []Job
	table  Timetable
	starts []hours.Span // closed
	open   open
	needs  []string
	group  int // stops with one group must be on one route: their feeds hang together
	worth  MicroUSD
	saves  MicroUSD    // of worth: the trip that jobs due later save by being done with one that is due
	later  events.Date // when the first of those is due
	left   int         // fewest days left of its jobs
	crew   events.CrewID
	hold   bool
	// promised: held, given to a crew by name, out with the day already, or told or agreed with the site for the day.
	promised bool
	// begun, and by which crew, of what stands for all that a crew has begun on a day that is out; it has no jobs.
	begun   *Begun
	beganBy events.CrewID
	only    events.CrewID // must be done by it, for it is at a feed that hangs together with this
}

// feeds are those that the stop's jobs are on.
func (p stop) feeds(b *events.Book) []events.FeedID {
	var feeds []events.FeedID
	for _, j := range p.jobs {
		feeds = append(feeds, b.Assemblies[j.Assembly].Feed)
	}
	return feeds
}

// collected is what there is to plan.
type collected struct {
	teams   []team
	off     map[events.CrewID]string
	stops   []stop
	leftOut []LeftOut
	laid    map[events.SiteID]layout
	by      *collector
}

// layout is how the jobs of a site became stops, to see whether other hours would change it.
type layout struct {
	site  *events.Site
	times open
	jobs  []candidate
	parts []stop
}

// collect groups the office's open jobs into stops and says of every other open job why it cannot be visited that day.
func collect(b *events.Book, office events.OfficeID, date events.Date, now time.Time, s Settings, amending bool) (collected, error) {
	c := collector{b: b, s: s, date: date, now: now, clock: newClockwork(date), day: b.Day(office, date)}
	if amending {
		c.begin()
	}
	var err error
	if c.out.teams, c.out.off, err = c.clock.teams(b, office); err != nil {
		return c.out, fmt.Errorf("crews of %s: %w", date, err)
	}
	c.out.laid = map[events.SiteID]layout{}
	bySite := c.candidates(office)
	sites := make([]events.SiteID, 0, len(bySite))
	for id := range bySite {
		sites = append(sites, id)
	}
	slices.Sort(sites)
	for _, id := range sites {
		c.site(b.Sites[id], bySite[id])
	}
	slices.SortFunc(c.out.leftOut, func(a, b LeftOut) int { return cmp.Or(cmp.Compare(a.Site, b.Site), cmp.Compare(a.Job, b.Job)) })
	out := c.out
	out.by = &c
	return out, nil
}

func (l layout) same(parts []stop) bool {
	return slices.EqualFunc(l.parts, parts, func(a, b stop) bool { return slices.Equal(a.jobs, b.jobs) })
}

type collector struct {
	b     *events.Book
	s     Settings
	date  events.Date
	now   time.Time
	clock *clockwork
	day   *events.Day
	out   collected
	group int
	feeds map[events.SiteID][]*events.Feed
	under *underway // when the rest of a day that is out is planned
}

// candidate is a job that may be visited on the day as far as its own rules go.
type candidate struct {
	a    *events.Assembly
	j    *events.Job
	work Work
}

func (c *collector) leave(a *events.Assembly, j *events.Job, rule, reason, change string) {
	c.out.leftOut = append(c.out.leftOut, LeftOut{Assembly: a.ID, Job: j.ID, Site: a.Site, Rule: rule, Reason: reason, Change: change})
}

// candidates sorts the office's jobs that need a visit by site.
func (c *collector) candidates(office events.OfficeID) map[events.SiteID][]candidate {
	c.feeds = map[events.SiteID][]*events.Feed{}
	for _, f := range c.b.Feeds {
		c.feeds[f.Site] = append(c.feeds[f.Site], f)
	}
	for _, feeds := range c.feeds {
		slices.SortFunc(feeds, func(f, g *events.Feed) int { return cmp.Compare(f.ID, g.ID) })
	}
	bySite := map[events.SiteID][]candidate{}
	for _, a := range c.b.Assemblies {
		if a.Office == office {
			bySite[a.Site] = append(bySite[a.Site], c.candidatesOf(a)...)
		}
	}
	for _, list := range bySite {
		sortCandidates(list)
	}
	return bySite
}

// candidatesOf are the jobs of one assembly that may be visited; of the others that need a visit it is said why not.
func (c *collector) candidatesOf(a *events.Assembly) []candidate {
	var list []candidate
	for i := range a.Jobs {
		j := &a.Jobs[i]
		if !j.NeedsVisit() || j.Standing == events.NotOurs || c.hasBegun(events.JobRef{Assembly: a.ID, Job: j.ID}) {
			continue
		}
		if rule, reason, change := c.jobRules(a, j); rule != "" {
			c.leave(a, j, rule, reason, change)
			continue
		}
		list = append(list, candidate{a, j, WorkOf(a, j)})
	}
	return list
}

func sortCandidates(list []candidate) {
	slices.SortFunc(list, func(x, y candidate) int { return cmp.Or(cmp.Compare(x.a.ID, y.a.ID), cmp.Compare(x.j.ID, y.j.ID)) })
}

// jobRules tests what the job itself, its customer and its parts say about the day; an empty rule means: go.
func (c *collector) jobRules(a *events.Assembly, j *events.Job) (rule, reason, change string) {
	site := c.b.Sites[a.Site]
	switch {
	case j.Standing != events.Ours:
		return "standing", "it is not known whether this job is ours", "ask the customer, then mark it ours or not ours"
	case a.Gone:
		return "stopped", "the assembly was removed", "tell the purveyor and withdraw the job"
	case j.Stage == events.StageStopped && !c.wayBooked(a, j):
		return "stopped", stoppedReason(j.Stopped), stoppedChange(j.Stopped)
	case j.Dispatched != nil && j.Dispatched.Date != c.date && !c.over(j.Dispatched.Date):
		return "dispatched", "it is out with " + j.Dispatched.Date.String(), "take that day back or amend it"
	case site == nil:
		return "position", "its site is not on record", "enter the site"
	case !site.Position.IsSet():
		return "position", "the site has no position", "place the site on the map"
	}
	if customer := c.b.Customers[site.Customer]; customer != nil && customer.OnHold != "" {
		return "hold", "nothing is done for " + customer.Name + " now: " + customer.OnHold, "take the customer off hold"
	}
	if !j.NeedsRepair() {
		if j.UseNotKnown() {
			return "before-use", "it is tested before it is used again, and nobody knows yet when", "ask " + customerName(c.b, site) + " when it is used again, and note the day"
		}
		if c.date.Before(j.Earliest) {
			return "earliest", "a test before " + j.Earliest.String() + " does not count with the purveyor", "wait until " + j.Earliest.String()
		}
		return c.feedRules(a, WorkOf(a, j) != InspectWork)
	}
	if !c.mayRepair(site, j) {
		return "repair-yes", "nobody has said yes to the repair, so the unit is not opened", "ask " + customerName(c.b, site) + " for a yes to the repair"
	}
	if rule, reason, change := partsRules(j); rule != "" {
		return rule, reason, change
	}
	return c.feedRules(a, true)
}

// over reports whether a day lies in the past: what was out with it and came back without a result is planned again.
func (c *collector) over(day events.Date) bool {
	return day.Before(events.DateIn(c.now, c.now.Location()))
}

func (c *collector) mayRepair(site *events.Site, j *events.Job) bool {
	if j.Yes != nil {
		return true
	}
	customer := c.b.Customers[site.Customer]
	return customer != nil && customer.Repair == "yes"
}

// partsRules keep a return visit off every day until each part it needs is set aside for it: a promised day is no part.
// What is said is of the part that is furthest from being there.
func partsRules(j *events.Job) (rule, reason, change string) {
	steps := []events.PartStep{events.PartNeeded, events.PartOnOrder, events.PartIsDue, events.PartArrived}
	for _, step := range steps {
		var codes []string
		var last events.Date
		for _, p := range j.Parts {
			if p.Step() == step {
				codes = append(codes, p.Code)
				if last.Before(p.Promised) {
					last = p.Promised
				}
			}
		}
		if list := strings.Join(codes, ", "); list != "" {
			reason, change = partsWords(step, list, last)
			return "parts", reason, change
		}
	}
	return "", "", ""
}

func partsWords(step events.PartStep, codes string, promised events.Date) (reason, change string) {
	switch step {
	case events.PartNeeded:
		return "a repair kit is wanted and nobody has promised a day", "order " + codes + " and note the promised day"
	case events.PartOnOrder:
		return "the repair kit is ordered and nobody has promised a day", "ask the supplier when " + codes + " comes"
	case events.PartIsDue:
		return "the repair kit is promised for " + promised.String() + " and not reserved for this job yet",
			"get " + codes + " sooner, or reserve it for this job when it comes"
	}
	return "the repair kit is here and not reserved for this job", "reserve " + codes + " for this job"
}

func customerName(b *events.Book, site *events.Site) string {
	if customer := b.Customers[site.Customer]; customer != nil {
		return customer.Name
	}
	return "the owner"
}

// feedRules test whether the assembly's feed can be worked on at all: water in it, its season, what others must bring, and, if it
// is to be dry, how the feeds it hangs together with were left.
func (c *collector) feedRules(a *events.Assembly, dries bool) (rule, reason, change string) {
	f := c.b.Feeds[a.Feed]
	if f == nil {
		return "window", "its feed is not on record", "enter the feed and its shutdown window"
	}
	if reason, change := c.dry(f); reason != "" {
		return "season", reason, change
	}
	if up := c.dryFeed(f); up != nil && dries {
		reason, change := c.dry(up)
		return "season", "it is fed from " + up.Name + ": " + reason, change
	}
	if rule, reason, change := c.bookingRule(c.b.Sites[a.Site], f, dries); rule != "" {
		return rule, reason, change
	}
	if !a.Type.Testable() {
		return "", "", ""
	}
	for _, other := range c.feeds[f.Site] {
		leg := other.ID != f.ID && f.Manifold != "" && other.Manifold == f.Manifold
		if leg && other.OutOfService() {
			return "as-left", "the other leg, " + other.Name + ", was left " + string(other.AsLeft.Service) + ": shutting this one may stop all water",
				"have " + other.Name + " restored and recorded, then plan this leg"
		}
	}
	for _, up := range upstream(c.b, f) {
		if up.AsLeft != nil && up.AsLeft.Service == events.Shut {
			return "as-left", "it is fed from " + up.Name + ", which was left shut: there is no pressure", "have " + up.Name + " restored and recorded"
		}
	}
	return "", "", ""
}

func (c *collector) inSeason(f *events.Feed) bool {
	site := c.b.Sites[f.Site]
	loc, err := c.clock.zone(site.Zone)
	if err != nil {
		return false
	}
	season, err := c.clock.expand(written{f.Season, site.Zone, site.Region})
	if err != nil {
		return false
	}
	y, m, d := c.date.YMD()
	noon := time.Date(y, m, d, 12, 0, 0, 0, loc)
	return slices.ContainsFunc(season, func(s hours.Span) bool { return !noon.Before(s.Open) && noon.Before(s.Close) })
}

func stoppedReason(s *events.Stop) string {
	text := "it could not be done on " + s.On.String() + ": " + strings.ReplaceAll(string(s.Outcome), "-", " ")
	if s.Why != "" {
		text += ", " + strings.ReplaceAll(s.Why, "-", " ")
	}
	return text
}

// stoppedChange is the next step that each outcome asks for.
func stoppedChange(s *events.Stop) string {
	switch s.Outcome {
	case events.OutcomeNotFound:
		return "ask the purveyor and the customer where it is"
	case events.OutcomeRefused:
		return "tell the purveyor that the owner refused, and ask what follows"
	case events.OutcomeWrongType:
		return "ask the purveyor to correct its record"
	case events.OutcomeRemoved:
		return "tell the purveyor that it is removed"
	}
	switch s.Why {
	case "shut-off-would-not-hold":
		return "book the purveyor to shut the street valve"
	case "winterised", "no-pressure":
		return "ask when it is filled"
	case "flooded", "buried":
		return "have it pumped out or dug free"
	case "vacant":
		return "ask before it is occupied again"
	}
	return "note when the way is clear"
}

// site makes the stops of one site out of its candidates. How it is parted does not depend on wishes, so that what is left
// out by hand changes nothing about the rest.
func (c *collector) site(site *events.Site, jobs []candidate) {
	if rule, reason, change := c.noticeRule(site); rule != "" && !c.isOut(jobs) {
		for _, x := range jobs {
			c.leave(x.a, x.j, rule, reason, change)
		}
		return
	}
	times, err := c.clock.openTimes(site, c.feeds[site.ID])
	if err != nil {
		for _, x := range jobs {
			c.leave(x.a, x.j, "window", err.Error(), "mend the hours of the site")
		}
		return
	}
	jobs = c.oneLeg(site, times, c.fireHours(jobs))
	if len(jobs) == 0 {
		return
	}
	parts := c.split(site, times, jobs)
	c.out.laid[site.ID] = layout{site, times, jobs, slices.Clone(parts)}
	for i := range parts {
		parts[i].key = c.freshKey(partKey(c.b, site.ID, parts, i), parts[i])
		parts[i].only = c.besideBegun(parts[i])
		if w, out := c.wishedOut(site.ID, parts[i].feeds(c.b)...); out {
			c.leaveStop(parts[i], "wish", leftByHand(w), putBack)
			continue
		}
		if both := c.obeyWishes(&parts[i]); both != "" {
			c.leaveStop(parts[i], "wish", fmt.Sprintf("it is given both to %s and to %s", c.crewName(both), c.crewName(parts[i].crew)), "take one of the two wishes back")
			continue
		}
		parts[i].promised = parts[i].hold || parts[i].crew != "" || c.promised(parts[i])
		if len(parts[i].starts) == 0 {
			reason, change := c.noStart(parts[i])
			c.leaveStop(parts[i], "window", reason, change)
			continue
		}
		c.out.stops = append(c.out.stops, parts[i])
	}
}

func (c *collector) leaveStop(p stop, rule, reason, change string) {
	for _, j := range p.jobs {
		a := c.b.Assemblies[j.Assembly]
		c.leave(a, a.Job(j.Job), rule, reason, change)
	}
}

// noStart says which hours hold no start, and the smallest widening that would, by trying.
func (c *collector) noStart(p stop) (reason, change string) {
	if len(c.out.teams) == 0 {
		return "no crew works that day", "have a crew work that day"
	}
	if f := p.table.Feeds; len(f) > 0 {
		window := "the shutdown window is " + c.b.Feeds[f[0].Feed].ShutdownWindow
		if agreed := p.open.agreed[f[0].Feed]; len(agreed) > 0 {
			window = "the time agreed is " + clockWords(agreed, p.site.Zone)
		}
		reason = fmt.Sprintf("%d min with the water off fit nowhere while crews work that day: %s and access is %s", f[0].Dry, window, p.site.AccessHours)
	} else {
		reason = fmt.Sprintf("%d min fit nowhere while crews work that day: access is %s", p.table.Minutes(), p.site.AccessHours)
	}
	reason += p.bookedReason()
	for _, widen := range []int{15, 30, 60, 120} {
		if len(c.workable(p.open.widened(widen).starts(p.table, p.feeds(c.b)))) > 0 {
			return reason, fmt.Sprintf(startWidened+"the site agreed to %d min more at both ends of its hours", widen)
		}
	}
	return reason, "agree a time with the site, or plan a day on which it is open"
}

// noticeRule is hard: without notice given in time, still possible, or a time agreed, the site is not planned.
func (c *collector) noticeRule(site *events.Site) (rule, reason, change string) {
	loc, err := c.clock.zone(site.Zone)
	if err != nil {
		return "window", err.Error(), "mend the time zone of the site"
	}
	today := events.DateIn(c.now, loc)
	if !noticeOwed(site, c.date, loc) || !c.date.AddDays(-site.NoticeDays).Before(today) {
		return "", "", "" // what is owed and still possible is noted on the visit
	}
	return "notice", fmt.Sprintf("the site needs %s notice, and none was given in time", daysNotice(site)),
		fmt.Sprintf("%s%s, or agree a time now", giveNotice, today.AddDays(site.NoticeDays))
}

// giveNotice begins the change that a site which wants notice asks for.
const giveNotice = "give notice today for "

func daysNotice(site *events.Site) string {
	if site.NoticeDays == 1 {
		return "1 day's"
	}
	return fmt.Sprintf("%d days'", site.NoticeDays)
}

// noticeOwed reports whether a site must still be told that crews come on a date: it wants notice, none was given in time
// that speaks of the date, and no time of that date is agreed.
func noticeOwed(site *events.Site, date events.Date, loc *time.Location) bool {
	if site.NoticeDays == 0 {
		return false
	}
	n := site.Notice
	if n != nil && (n.For.IsZero() || n.For == date) && !date.AddDays(-site.NoticeDays).Before(n.Given) {
		return false
	}
	from, to := date.In(loc), date.AddDays(1).In(loc)
	return !slices.ContainsFunc(site.Agreed, func(a events.AgreedTime) bool { return a.To.After(from) && a.From.Before(to) })
}

// wishedOut is the wish, if there is one, that leaves out a visit to some feeds of a site.
func (c *collector) wishedOut(site events.SiteID, feeds ...events.FeedID) (w events.Wish, out bool) {
	if c.day == nil {
		return w, false
	}
	i := slices.IndexFunc(c.day.Wishes, func(w events.Wish) bool {
		return w.Out && w.Site == site && (w.Feed == "" || slices.Contains(feeds, w.Feed))
	})
	if i < 0 {
		return w, false
	}
	return c.day.Wishes[i], true
}

const putBack = "put it back"

func leftByHand(w events.Wish) string { return "left out by the dispatcher: " + w.Why }

// visitable is added to what a leg is worth that a crew could begin at some time of the day: more than any jobs are worth.
const visitable = MicroUSD(math.MaxInt64 / 4)

// oneLeg keeps one leg of each manifold where the site wants no more than one a day: the most pressing of those that can be
// visited at all that day.
func (c *collector) oneLeg(site *events.Site, times open, jobs []candidate) []candidate {
	if !site.LegsOneADay {
		return jobs
	}
	jobs = slices.DeleteFunc(jobs, func(x candidate) bool {
		w, out := c.wishedOut(site.ID, x.a.Feed)
		if out {
			c.leave(x.a, x.j, "wish", leftByHand(w), putBack)
		}
		return out
	})
	chosen := map[string]events.FeedID{} // by manifold
	best := map[string]MicroUSD{}
	worth := map[events.FeedID]MicroUSD{}
	for _, x := range jobs {
		worth[x.a.Feed] += c.s.Worth(x.j, c.date)
	}
	for _, x := range jobs { // one that can be visited goes before any that cannot
		if c.b.Feeds[x.a.Feed].Manifold != "" && worth[x.a.Feed] < visitable && c.holds(c.stopOf(site, times, []candidate{x})) {
			worth[x.a.Feed] += visitable
		}
	}
	for m, leg := range c.begunLegs(site.ID) {
		chosen[m], best[m] = leg, math.MaxInt64
	}
	for _, x := range jobs {
		if m := c.b.Feeds[x.a.Feed].Manifold; m != "" && worth[x.a.Feed] > best[m] {
			chosen[m], best[m] = x.a.Feed, worth[x.a.Feed]
		}
	}
	return slices.DeleteFunc(jobs, func(x candidate) bool {
		f := c.b.Feeds[x.a.Feed]
		if f.Manifold == "" || chosen[f.Manifold] == f.ID {
			return false
		}
		why := " is more pressing"
		if worth[f.ID] < visitable && worth[chosen[f.Manifold]] >= visitable {
			why = " can be visited that day, which this cannot"
		}
		c.leave(x.a, x.j, "manifold", "this site wants one leg a day, and "+c.b.Feeds[chosen[f.Manifold]].Name+why,
			"plan it for another day, or leave the other leg out")
		return true
	})
}

// split makes one stop of all jobs if any time and crew can hold it. Else what hangs together stays together where it can;
// where it cannot, its parts get one group. Short parts are packed together, so that a campus is not forty arrivals.
func (c *collector) split(site *events.Site, times open, jobs []candidate) []stop {
	if whole := c.stopOf(site, times, jobs); c.holds(whole) {
		return []stop{whole}
	}
	var free [][]candidate
	var parts []stop
	for _, hanging := range c.components(jobs) {
		if c.holds(c.stopOf(site, times, hanging)) || len(hanging) == 1 {
			free = append(free, hanging)
			continue
		}
		c.group++
		for _, piece := range c.pack(site, times, groupBy(hanging, func(x candidate) events.FeedID { return x.a.Feed })) {
			piece.group = c.group
			parts = append(parts, piece)
		}
	}
	return append(c.pack(site, times, free), parts...)
}

// longestPart: lists are packed up to this part of the longest visit. Longer ones find room less often.
const longestPart = 3

// pack puts each list of jobs, earliest first, with the first others that it holds together with. A list that does not hold
// by itself is parted.
func (c *collector) pack(site *events.Site, times open, lists [][]candidate) []stop {
	type part struct {
		jobs []candidate
		stop stop
	}
	parts, broken := []part{}, []stop{}
	alone := make([]part, len(lists))
	for i, list := range lists {
		alone[i] = part{list, c.stopOf(site, times, list)}
	}
	slices.SortStableFunc(alone, func(a, b part) int { return a.stop.first().Compare(b.stop.first()) })
	for _, one := range alone {
		if !c.holds(one.stop) {
			broken = append(broken, c.chunks(site, times, one.jobs)...)
			continue
		}
		fits := false
		for i, p := range parts {
			jobs := slices.Concat(p.jobs, one.jobs)
			if with := c.stopOf(site, times, jobs); with.table.Minutes() <= c.s.LongestVisit/longestPart && c.holds(with) {
				parts[i], fits = part{jobs, with}, true
				break
			}
		}
		if !fits {
			parts = append(parts, one)
		}
	}
	var stops []stop
	for _, p := range parts {
		stops = append(stops, p.stop)
	}
	return append(stops, broken...)
}

// first is the first instant at which the stop may begin.
func (p stop) first() time.Time {
	if len(p.starts) == 0 {
		return time.Time{}
	}
	return p.starts[0].Open
}

// chunks fills stops with jobs of one feed, one after another, as long as they hold.
func (c *collector) chunks(site *events.Site, times open, jobs []candidate) []stop {
	var parts []stop
	for len(jobs) > 0 {
		n := 1
		for n < len(jobs) && c.holds(c.stopOf(site, times, jobs[:n+1])) {
			n++
		}
		parts = append(parts, c.stopOf(site, times, jobs[:n]))
		jobs = jobs[n:]
	}
	return parts
}

// holds reports whether the stop is short enough and some crew that may do all of it could begin at an allowed time.
func (c *collector) holds(p stop) bool {
	if p.table.Minutes() > c.s.LongestVisit || len(p.starts) == 0 {
		return false
	}
	length := minutes(p.table.Minutes())
	for _, t := range c.out.teams {
		able := !slices.ContainsFunc(p.needs, func(need string) bool { return !t.skills[need] })
		within := hours.Span{Open: t.span.Open, Close: t.span.Close.Add(minutes(t.OvertimeMinutes) - length)}
		if able && len(intersectClosed(p.starts, []hours.Span{within})) > 0 {
			return true
		}
	}
	return false
}

// components parts jobs by which feeds hang together, directly or through others, in the order of the jobs.
func (c *collector) components(jobs []candidate) [][]candidate {
	root := map[events.FeedID]events.FeedID{}
	var find func(events.FeedID) events.FeedID
	find = func(f events.FeedID) events.FeedID {
		if r, ok := root[f]; ok && r != f {
			return find(r)
		}
		return f
	}
	for _, f := range c.feeds[jobs[0].a.Site] {
		for _, other := range c.feeds[f.Site] {
			leg := f.Manifold != "" && other.Manifold == f.Manifold
			if f.ID != other.ID && (leg || f.FedFrom == other.ID) {
				root[find(f.ID)] = find(other.ID)
			}
		}
	}
	return groupBy(jobs, func(x candidate) events.FeedID { return find(x.a.Feed) })
}

// groupBy parts a list by key, keeping its order.
func groupBy[T any, K comparable](list []T, key func(T) K) [][]T {
	at := map[K]int{}
	var groups [][]T
	for _, x := range list {
		k := key(x)
		i, ok := at[k]
		if !ok {
			i = len(groups)
			at[k] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], x)
	}
	return groups
}

// stopOf lays out one stop. Of the orders of its feeds it takes the one that leaves most time to begin.
func (c *collector) stopOf(site *events.Site, times open, jobs []candidate) stop {
	p := stop{site: site, open: times, left: 1 << 30}
	var inspections []Job
	var water []candidate
	var feeds []events.FeedID
	for _, x := range jobs {
		feeds = append(feeds, x.a.Feed)
		p.worth += c.s.Worth(x.j, c.date)
		p.left = min(p.left, c.s.DaysLeft(x.j, c.date))
		if x.work == InspectWork {
			inspections = append(inspections, Job{x.a.ID, x.j.ID, x.work})
		} else {
			water = append(water, x)
		}
	}
	if later := c.pulledIn(jobs); later != nil {
		p.saves, p.later = c.ownTrip(site), later.Due
		p.worth += p.saves
	}
	best := time.Duration(-1)
	for _, order := range c.orders(times, groupBy(water, func(x candidate) events.FeedID { return x.a.Feed })) {
		ordered := slices.Clone(inspections)
		for _, feed := range order {
			for _, x := range feed {
				ordered = append(ordered, Job{x.a.ID, x.j.ID, x.work})
			}
		}
		table := c.s.Timetable(c.b, ordered)
		starts := c.workable(times.starts(table, feeds))
		if room := total(starts); room > best {
			best = room
			p.jobs, p.table, p.starts = ordered, table, starts
		}
	}
	p.needs = c.s.needsOf(c.b, p.jobs)
	return p
}

// workable drops spans in which no crew works at all: tonight's, or tomorrow's before breakfast.
func (c *collector) workable(starts []hours.Span) []hours.Span {
	return slices.DeleteFunc(starts, func(s hours.Span) bool {
		return !slices.ContainsFunc(c.out.teams, func(t team) bool {
			return !s.Close.Before(t.span.Open) && !t.span.Close.Add(minutes(t.OvertimeMinutes)).Before(s.Open)
		})
	})
}

// byLastStart sorts feeds by when the work on each, done by itself, may begin at the latest: what must be done first comes first.
func (c *collector) byLastStart(times open, feeds [][]candidate) [][]candidate {
	last := func(feed []candidate) time.Time {
		var jobs []Job
		for _, x := range feed {
			jobs = append(jobs, Job{x.a.ID, x.j.ID, x.work})
		}
		starts := c.workable(times.starts(c.s.Timetable(c.b, jobs), []events.FeedID{feed[0].a.Feed}))
		if len(starts) == 0 {
			return time.Time{}
		}
		return starts[len(starts)-1].Close
	}
	type dated struct {
		feed []candidate
		last time.Time
	}
	list := make([]dated, len(feeds))
	for i, f := range feeds {
		list[i] = dated{f, last(f)}
	}
	slices.SortStableFunc(list, func(x, y dated) int { return x.last.Compare(y.last) })
	sorted := make([][]candidate, len(list))
	for i, d := range list {
		sorted[i] = d.feed
	}
	return sorted
}

// mostPermuted is of how many feeds every order is tried; of more, only the one given and the one by last start.
const mostPermuted = 4

func (c *collector) orders(times open, feeds [][]candidate) [][][]candidate {
	if len(feeds) > mostPermuted {
		return [][][]candidate{feeds, c.byLastStart(times, feeds)}
	}
	return permutations(feeds)
}

// permutations gives every order of a list; of an empty one, the empty order.
func permutations[T any](list []T) [][]T {
	var orders [][]T
	var permute func(done, rest []T)
	permute = func(done, rest []T) {
		if len(rest) == 0 {
			orders = append(orders, slices.Clone(done))
			return
		}
		for i := range rest {
			left := append(slices.Clone(rest[:i]), rest[i+1:]...)
			permute(append(slices.Clone(done), rest[i]), left)
		}
	}
	permute(nil, list)
	return orders
}

// partKey names a stop within its day: the site, with the first feed of the part where there are several, and a number
// where several are on one feed.
func partKey(b *events.Book, site events.SiteID, parts []stop, i int) string {
	if len(parts) == 1 {
		return string(site)
	}
	feed := func(p stop) events.FeedID {
		if len(p.table.Feeds) > 0 {
			return p.table.Feeds[0].Feed
		}
		return b.Assemblies[p.jobs[0].Assembly].Feed
	}
	key, nth := string(site)+"~"+string(feed(parts[i])), 1
	for _, earlier := range parts[:i] {
		if feed(earlier) == feed(parts[i]) {
			nth++
		}
	}
	if nth > 1 {
		return fmt.Sprintf("%s~%d", key, nth)
	}
	return key
}

// obeyWishes holds a stop as wished and gives it to the crew that is named. Both is the other crew when two are named.
func (c *collector) obeyWishes(p *stop) (both events.CrewID) {
	if c.day == nil {
		return ""
	}
	for _, w := range c.day.Wishes {
		if w.Site != p.site.ID || w.Out || w.Feed != "" && !p.onFeed(c.b, w.Feed) {
			continue
		}
		p.hold = p.hold || w.Hold
		if w.Crew == "" {
			continue
		}
		if p.crew != "" && p.crew != w.Crew {
			both = p.crew
		}
		p.crew = w.Crew
	}
	return both
}

func (c *collector) crewName(id events.CrewID) string {
	if crew := c.b.Crews[id]; crew != nil {
		return crew.Name
	}
	return string(id)
}

func (p stop) onFeed(b *events.Book, feed events.FeedID) bool {
	return slices.ContainsFunc(p.jobs, func(j Job) bool { return b.Assemblies[j.Assembly].Feed == feed })
}
