package check

import (
	"fmt"
	"slices"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check/reckon"
)

// Violation is one broken rule or one wrong statement. What does not apply is empty.
type Violation struct {
	Rule  Rule          `json:"rule"`
	Words string        `json:"words"` // in a sentence, times in the site's zone
	Crew  events.CrewID `json:"crew,omitempty"`
	Site  events.SiteID `json:"site,omitempty"`
	Visit string        `json:"visit,omitempty"` // key
	Job   events.JobID  `json:"job,omitempty"`
}

func (v Violation) String() string { return fmt.Sprintf("%s: %s", v.Rule, v.Words) }

// Options are what a caller may allow.
type Options struct {
	// Amending allows a day that is already sent out.
	Amending bool
}

// Plan lists everything that is wrong with a plan for a day that is not out yet; nothing for a plan that keeps every
// rule and states its clocks and costs truly. Neither book nor plan is changed.
func Plan(b *events.Book, p planner.Plan, s planner.Settings) []Violation {
	return Options{}.Plan(b, p, s)
}

// Plan is the package's Plan with options.
func (o Options) Plan(b *events.Book, p planner.Plan, s planner.Settings) []Violation {
	c := &checker{Options: o, book: b, plan: p, settings: s, calendar: reckon.NewCalendar(p.Date), index: newIndex(b)}
	c.checkSettings()
	c.checkDay()
	c.checkRecord()
	c.checkRoutes()
	c.checkKeys()
	for _, route := range p.Routes {
		r := c.openRoute(route)
		c.checkClock(r)
		for _, v := range r.visits {
			c.checkVisitShape(v)
			c.checkTimetable(v)
			c.checkWindows(v)
			c.checkNotice(v)
			c.checkBookings(v)
			c.checkDecisions(v)
			for _, j := range v.jobs {
				c.checkJob(v, j)
				c.checkRights(v, j)
				c.checkPeople(v, j)
				c.checkAsLeft(v, j)
			}
		}
		c.checkLateness(r)
		c.routes = append(c.routes, r)
	}
	c.checkWater()
	c.checkMissing()
	c.checkWishes()
	c.checkCost()
	return c.found
}

// checker holds one plan while it is judged.
type checker struct {
	Options
	book     *events.Book
	plan     planner.Plan
	settings planner.Settings
	failed   *reckon.Failed // counted when it is first asked for
	calendar *reckon.Calendar
	index    index
	routes   []*openRoute
	found    []Violation
}

// openRoute is a route with what the book knows of it.
type openRoute struct {
	planner.Route
	crew   *events.Crew // nil when the book has none such
	visits []*openVisit
}

// openVisit is a visit with what the book knows of it.
type openVisit struct {
	planner.Visit
	route *openRoute
	site  *events.Site // nil when the book has none such
	jobs  []openJob    // those the book knows, in the visit's order
	order []events.FeedID
	begun bool // on a day that is out: it is not judged, only what is ahead beside it
}

// openJob is a job of a visit with what the book knows of it. Its task is what the job needs, whatever the plan says.
type openJob struct {
	said planner.Job
	reckon.Task
	job *events.Job
}

func (c *checker) openRoute(route planner.Route) *openRoute {
	r := &openRoute{Route: route, crew: c.book.Crews[route.Crew]}
	for _, visit := range route.Visits {
		v := &openVisit{Visit: visit, route: r, site: c.book.Sites[visit.Site]}
		for _, off := range visit.WaterOff {
			v.order = append(v.order, off.Feed)
		}
		for _, said := range visit.Jobs {
			if a := c.book.Assemblies[said.Assembly]; a == nil {
				c.addJob(RuleWork, v, said.Job, "There is no assembly %q.", said.Assembly)
			} else if job := a.Job(said.Job); job == nil {
				c.addJob(RuleWork, v, said.Job, "Assembly %s has no job %q.", said.Assembly, said.Job)
			} else {
				v.jobs = append(v.jobs, openJob{said, reckon.TaskOf(c.book, a, job), job})
			}
		}
		r.visits = append(r.visits, v)
	}
	return r
}

func (v *openVisit) tasks() []reckon.Task {
	tasks := make([]reckon.Task, len(v.jobs))
	for i, j := range v.jobs {
		tasks[i] = j.Task
	}
	return tasks
}

// feeds lists the feeds that the visit's jobs are on, each once.
func (v *openVisit) feeds() []events.FeedID {
	var feeds []events.FeedID
	for _, j := range v.jobs {
		if !slices.Contains(feeds, j.Assembly.Feed) {
			feeds = append(feeds, j.Assembly.Feed)
		}
	}
	return feeds
}

func (c *checker) add(v Violation, words string, args ...any) {
	v.Words = fmt.Sprintf(words, args...)
	c.found = append(c.found, v)
}

func (c *checker) addRoute(rule Rule, r *openRoute, words string, args ...any) {
	c.add(Violation{Rule: rule, Crew: r.Crew}, words, args...)
}

func (c *checker) addVisit(rule Rule, v *openVisit, words string, args ...any) {
	c.add(Violation{Rule: rule, Crew: v.route.Crew, Site: v.Site, Visit: v.Key}, words, args...)
}

func (c *checker) addJob(rule Rule, v *openVisit, job events.JobID, words string, args ...any) {
	c.add(Violation{Rule: rule, Crew: v.route.Crew, Site: v.Site, Visit: v.Key, Job: job}, words, args...)
}
