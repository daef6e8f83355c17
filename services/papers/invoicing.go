package papers

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// InvoiceLine is one job of one visit: what was done, where and when, and what may be charged for.
type InvoiceLine struct {
	Day      events.Date
	Crew     string
	Customer string
	Site     string
	Address  string
	Unit     string // type and size
	Serial   string
	Number   string // the purveyor's
	Purveyor string
	Job      string
	Why      string // the kind of job
	Outcome  string
	Charge   string // what it may be charged as; see chargeOf
	Reason   string
	Arrived  string // on the site's clocks; empty: not recorded
	Left     string
	Minutes  string // at the site, once a visit: on its first line
	Parts    string
	Yes      string // to repair, as given
	Filed    string // the report's day and confirmation
	Order    string // the customer's standing purchase order; empty: none on record, to be filled in
}

var invoiceHead = []string{"Date", "Crew", "Customer", "Site", "Address", "Unit", "Serial", "Purveyor's number", "Purveyor", "Job", "Reason for the job",
	"Outcome", "Charge as", "Remark", "Arrived", "Left", "Minutes at the site (once a visit)", "Parts fitted", "Yes to repair", "Report filed", "Purchase order"}

func (l InvoiceLine) cells() []string {
	return []string{l.Day.String(), l.Crew, l.Customer, l.Site, l.Address, l.Unit, l.Serial, l.Number, l.Purveyor, l.Job, l.Why,
		l.Outcome, l.Charge, l.Reason, l.Arrived, l.Left, l.Minutes, l.Parts, l.Yes, l.Filed, l.Order}
}

// InvoiceRows are the lines as a table with its head, for a CSV file.
func InvoiceRows(lines []InvoiceLine) [][]string {
	rows := [][]string{invoiceHead}
	for _, l := range lines {
		rows = append(rows, l.cells())
	}
	return rows
}

// InvoiceConfig says of which days the work is listed, both included.
type InvoiceConfig struct {
	Office   events.OfficeID
	People   *words.People
	From, To events.Date
}

func (c InvoiceConfig) within(d events.Date) bool { return !d.Before(c.From) && !c.To.Before(d) }

// InvoiceNeeds says whose histories the lines are made from: assemblies visited in those days, and their sites for the
// times of coming and going.
func InvoiceNeeds(b *events.Book, cfg InvoiceConfig) []events.Entity {
	var list []events.Entity
	for _, a := range b.Assemblies {
		visited := slices.ContainsFunc(a.Jobs, func(j events.Job) bool {
			return slices.ContainsFunc(j.Attempts, func(x events.Attempt) bool { return cfg.within(x.On) })
		})
		if a.Office == cfg.Office && visited {
			list = append(list, assemblyEntity(a), siteEntity(a.Office, a.Site))
		}
	}
	return list
}

func siteEntity(office events.OfficeID, id events.SiteID) events.Entity {
	return events.Entity{Office: office, Kind: events.KindSite, ID: string(id)}
}

// done is how one visit to one job ended, as the log tells it.
type done struct {
	job     events.JobID
	on      events.Date
	crew    events.CrewID
	outcome events.VisitOutcome
	why     string
	words   string
	command events.CommandID // the outcome and the repair of one visit come in one
	seq     uint64
}

// outcomeOf reads the end of a visit out of an event.
func outcomeOf(event any) (done, bool) {
	back := func(s events.Setback, o events.VisitOutcome) (done, bool) {
		return done{job: s.Job, on: s.Day, crew: s.Crew, outcome: o, why: s.Why, words: s.Words}, true
	}
	switch e := event.(type) {
	case events.Passed:
		o := events.OutcomePassed
		if e.Repaired {
			o = events.OutcomeRepairedPassed
		}
		return done{job: e.Job, on: e.On, crew: e.Crew, outcome: o}, true
	case events.FailedRetest:
		return done{job: e.Job, on: e.On, crew: e.Crew, outcome: events.OutcomeFailed, words: e.Words}, true
	case events.Replaced:
		return done{job: e.Job, on: e.On, crew: e.Crew, outcome: events.OutcomeReplaced}, true
	case events.CouldNotTest:
		return back(events.Setback(e), events.OutcomeCouldNotTest)
	case events.NotFound:
		return back(events.Setback(e), events.OutcomeNotFound)
	case events.Removed:
		return back(events.Setback(e), events.OutcomeRemoved)
	case events.OwnerRefused:
		return back(events.Setback(e), events.OutcomeRefused)
	case events.NoAccess:
		return back(events.Setback(e), events.OutcomeNoAccess)
	case events.RanOut:
		return back(events.Setback(e), events.OutcomeRanOut)
	case events.WrongType:
		return done{job: e.Job, on: e.Day, crew: e.Crew, outcome: events.OutcomeWrongType, words: e.Words}, true
	}
	return done{}, false
}

// chargeOf says what a visit may be charged as. A trip without a test is a charge of its own; where practice differs, the
// office is asked.
func chargeOf(d done, repaired bool) string {
	switch d.outcome {
	case events.OutcomePassed, events.OutcomeFailed:
		if repaired {
			return "repair and retest"
		}
		return "test"
	case events.OutcomeRepairedPassed:
		return "repair and retest"
	case events.OutcomeReplaced:
		return "replacement"
	case events.OutcomeNoAccess:
		return "trip: no access"
	case events.OutcomeCouldNotTest:
		return "trip: could not test"
	}
	return "ask: " + words.Plain(string(d.outcome))
}

// Invoicing lists the work done by the office's crews in those days: by day, customer, site, crew. A failure taken over
// from another system was nobody's work here.
func Invoicing(b *events.Book, h Histories, cfg InvoiceConfig) []InvoiceLine {
	var lines []InvoiceLine
	visits := map[string]bool{}
	for _, x := range allDone(b, h, cfg) {
		a := b.Assemblies[x.assembly]
		if then := x.unit(h, a); then != nil {
			a = then
		}
		hidden := secretsOf(b, cfg.People, a.Site)
		loc := words.Zone(b, a.Site)
		site := words.SiteOf(b, a.Site)
		order := ""
		if s := b.Sites[a.Site]; s != nil && b.Customers[s.Customer] != nil {
			order = b.Customers[s.Customer].PurchaseOrder
		}
		l := InvoiceLine{Day: x.on, Crew: string(x.crew), Customer: site.Customer, Site: site.Name, Address: site.Address,
			Unit: strings.TrimSpace(a.Size.String() + " " + string(a.Type)), Serial: a.Serial, Number: a.PurveyorNumber, Purveyor: string(a.Purveyor),
			Job: string(x.job), Order: order, Outcome: words.Plain(string(x.outcome)), Charge: chargeOf(x.done, x.repaired),
			Reason: hidden.clear(strings.Join(filled(words.Plain(x.why), x.words), ": ")), Parts: strings.Join(x.parts, "; ")}
		if c := b.Crews[x.crew]; c != nil {
			l.Crew = c.Name
		}
		if p := b.Purveyors[a.Purveyor]; p != nil {
			l.Purveyor = p.Name
		}
		if j := b.Assemblies[x.assembly].Job(x.job); j != nil {
			l.Why = words.Plain(string(j.Kind))
			if x.outcome == events.OutcomeRepairedPassed || x.repaired {
				l.Yes = words.YesToRepair(b, a, j)
			}
			if j.Filed != nil {
				l.Filed = strings.Join(filled(j.Filed.On.String(), j.Filed.Confirmation), ", ")
			}
		}
		came, went, minutes := stay(h.of(siteEntity(a.Office, a.Site)), x.crew, x.on)
		if !came.IsZero() {
			l.Arrived = came.In(loc).Format("15:04")
		}
		if !went.IsZero() {
			l.Left = went.In(loc).Format("15:04")
		}
		visit := strings.Join([]string{x.on.String(), string(x.crew), string(a.Site)}, "|")
		if minutes >= 0 && !visits[visit] {
			l.Minutes = strconv.Itoa(minutes)
		}
		visits[visit] = true
		lines = append(lines, l)
	}
	return lines
}

// charged is an outcome with what else belongs on its line.
type charged struct {
	done
	assembly events.AssemblyID
	repaired bool
	parts    []string
}

// unit is the assembly as it was at the visit, if a later visit replaced it; nil when it is still the same.
func (x charged) unit(h Histories, now *events.Assembly) *events.Assembly {
	history := standing(h.of(assemblyEntity(now)))
	if !slices.ContainsFunc(history, func(y happened) bool {
		_, replaced := y.event.(events.Replaced)
		return replaced && y.Seq > x.seq && y.Command != x.command
	}) {
		return nil
	}
	return h.bookAt(assemblyEntity(now), func(y happened) bool { return y.Seq > x.seq }).Assemblies[now.ID]
}

func allDone(b *events.Book, h Histories, cfg InvoiceConfig) []charged {
	var list []charged
	for _, a := range b.Assemblies {
		if a.Office != cfg.Office {
			continue
		}
		list = append(list, doneOn(a, h.of(assemblyEntity(a)), cfg)...)
	}
	place := func(x charged) (customer, site string) {
		s := words.SiteOf(b, b.Assemblies[x.assembly].Site)
		return s.Customer, s.Name + s.ID
	}
	slices.SortStableFunc(list, func(x, y charged) int {
		xc, xs := place(x)
		yc, ys := place(y)
		return cmp.Or(x.on.Sub(y.on), cmp.Compare(xc, yc), cmp.Compare(xs, ys), cmp.Compare(x.crew, y.crew), cmp.Compare(x.assembly, y.assembly), cmp.Compare(x.job, y.job))
	})
	return list
}

// doneOn finds the outcomes of an assembly in those days with the repairs made on the same visits.
func doneOn(a *events.Assembly, history []happened, cfg InvoiceConfig) []charged {
	repairs := map[events.CommandID][]string{}
	repaired := map[events.CommandID]bool{}
	var list []charged
	for _, x := range standing(history) {
		if fix, ok := x.event.(events.Repaired); ok {
			repaired[x.Command] = true
			for _, part := range fix.Fitted {
				repairs[x.Command] = append(repairs[x.Command], part.Code)
			}
		}
		d, ok := outcomeOf(x.event)
		if !ok || d.crew == "" || !cfg.within(d.on) {
			continue
		}
		d.command, d.seq = x.Command, x.Seq
		if n := len(list); n > 0 && list[n-1].command == d.command && list[n-1].job == d.job {
			continue // one visit is one line: a new unit and its first test came together
		}
		list = append(list, charged{done: d, assembly: a.ID})
	}
	for i := range list {
		list[i].repaired, list[i].parts = repaired[list[i].command], repairs[list[i].command]
	}
	return list
}

// stay is when a crew came to a site on a day, when it went last, and how many minutes it was there in all; minutes are
// negative where coming or going is not recorded.
func stay(history []happened, crew events.CrewID, on events.Date) (came, went time.Time, minutes int) {
	var since time.Time
	total, known := time.Duration(0), false
	leave := func(at time.Time) {
		if !since.IsZero() && !at.Before(since) {
			total, known, went = total+at.Sub(since), true, at
		}
		since = time.Time{}
	}
	for _, x := range history {
		switch e := x.event.(type) {
		case events.Arrived:
			if e.Crew == crew && e.Day == on {
				since = x.OnServerClock()
				if came.IsZero() {
					came = since
				}
			}
		case events.Left:
			if e.Crew == crew && e.Day == on {
				leave(x.OnServerClock())
			}
		case events.SiteNoAccess:
			if e.Crew == crew && e.Day == on {
				leave(x.OnServerClock())
			}
		}
	}
	if !known {
		return came, went, -1
	}
	return came, went, int(total.Round(time.Minute) / time.Minute)
}

// filled are the texts that are not empty.
func filled(texts ...string) []string {
	return slices.DeleteFunc(texts, func(t string) bool { return t == "" })
}
