package console

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

func cannot(err error) string {
	var c *planner.ErrCannot
	if errors.As(err, &c) {
		return c.Words
	}
	return ""
}

func (s *Server) officeRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "office", Security: everybody, Method: http.MethodGet, Path: "/api/office", Summary: "What every page needs first"},
		func(ctx context.Context, _ *struct{}) (*reply[OfficeView], error) {
			v := s.office()
			v.Me = s.meOf(ctx)
			return answer(v), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "bookings", Security: readers, Method: http.MethodGet, Path: "/api/sites/{id}/bookings", Summary: "What others bring to a site, and when they are booked"},
		func(_ context.Context, in *struct {
			ID string `path:"id"`
		}) (*reply[BookingsView], error) {
			site := s.cfg.Keeper.Book().Sites[events.SiteID(in.ID)]
			if site == nil {
				return nil, huma.Error404NotFound("There is no site " + in.ID + " on record.")
			}
			return answer(s.bookings(site)), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "disuse", Security: readers, Method: http.MethodGet, Path: "/api/sites/{id}/disuse", Summary: "What of a site is not used, and what is tested before it is used again"},
		func(_ context.Context, in *struct {
			ID string `path:"id"`
		}) (*reply[DisuseView], error) {
			site := s.cfg.Keeper.Book().Sites[events.SiteID(in.ID)]
			if site == nil {
				return nil, huma.Error404NotFound("There is no site " + in.ID + " on record.")
			}
			return answer(s.disuse(site)), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "desk", Security: recorders, Method: http.MethodPost, Path: "/api/desk", Summary: "Record one thing the office did"},
		func(ctx context.Context, in *struct{ Body DeskRequest }) (*reply[Receipt], error) {
			in.Body.By = actor(ctx, in.Body.By)
			c, err := in.Body.command(s.cfg.Office, s.cfg.Now())
			if err != nil {
				return nil, s.fail(&badRequest{err})
			}
			if err := s.truckIsThere(c); err != nil {
				return nil, s.fail(err)
			}
			if err := s.entryIsThere(ctx, c); err != nil {
				return nil, s.fail(err)
			}
			return s.do(ctx, c)
		})
}

// bookings are those that are not over, by when they begin, and each need that nobody is booked for.
func (s *Server) bookings(site *events.Site) BookingsView {
	b, loc := s.cfg.Keeper.Book(), words.Zone(s.cfg.Keeper.Book(), site.ID)
	v := BookingsView{Booked: []BookingView{}, Unbooked: []string{}}
	coming := slices.DeleteFunc(slices.Clone(site.Booked), func(x events.Booking) bool { return !x.To.After(s.cfg.Now()) })
	slices.SortStableFunc(coming, func(x, y events.Booking) int { return x.From.Compare(y.From) })
	for _, x := range coming {
		v.Booked = append(v.Booked, BookingView{x.What, string(x.Feed), x.From.In(loc), x.To.In(loc), words.SentenceIn(b, s.cfg.People, events.Booked{Booking: x}, loc)})
	}
	unbooked := func(needs []events.Need, feed *events.Feed) {
		for _, n := range needs {
			met := slices.ContainsFunc(coming, func(x events.Booking) bool {
				return x.What == n.What && (feed == nil || x.Feed == "" || x.Feed == feed.ID)
			})
			if met {
				continue
			}
			where := ""
			if feed != nil {
				where = " for " + feed.Name
			}
			v.Unbooked = append(v.Unbooked, words.BroughtBy(n.What, n.Whom)+where)
		}
	}
	unbooked(site.Needs, nil)
	for _, f := range b.FeedsOf(site.ID) {
		unbooked(f.Needs, f)
	}
	return v
}

// disuse is what was said of a site and its feeds, and each job that is owed before a use.
func (s *Server) disuse(site *events.Site) DisuseView {
	b := s.cfg.Keeper.Book()
	v := DisuseView{Said: []DisuseSaid{}, Owed: []OwedView{}}
	say := func(d *events.Disuse, feed events.FeedID, event any) {
		if d != nil {
			v.Said = append(v.Said, DisuseSaid{string(feed), d.Since, d.Back, d.By, words.Sentence(b, s.cfg.People, event)})
		}
	}
	if site.Vacant != nil {
		say(site.Vacant, "", events.SiteVacant{Disuse: *site.Vacant})
	}
	for _, f := range b.FeedsOf(site.ID) {
		if f.OutOfUse != nil {
			say(f.OutOfUse, f.ID, events.FeedOutOfUse{Disuse: *f.OutOfUse})
		}
	}
	for _, a := range b.Assemblies {
		if a.Site != site.ID {
			continue
		}
		for i := range a.Jobs {
			if j := &a.Jobs[i]; j.NeedsVisit() && len(j.BeforeUse) > 0 {
				v.Owed = append(v.Owed, OwedView{string(a.ID), string(j.ID), words.UnitOf(a), words.BeforeUse(j), !j.UseNotKnown()})
			}
		}
	}
	slices.SortFunc(v.Owed, func(x, y OwedView) int { return cmp.Or(cmp.Compare(x.Assembly, y.Assembly), cmp.Compare(x.Job, y.Job)) })
	return v
}

// truckIsThere refuses repair kits that lie where the office has neither a shop nor a truck: the planner sends the crew that has
// them.
func (s *Server) truckIsThere(c events.Command) error {
	do, ok := c.Do.(events.ReadyParts)
	if !ok || do.Where == events.InTheShop {
		return nil
	}
	if crew := s.cfg.Keeper.Book().Crews[events.CrewID(do.Where)]; crew == nil || crew.Office != s.cfg.Office {
		return &events.Refusal{Words: "say whether the repair kits are in the shop, or on which crew's truck"}
	}
	return nil
}

func (s *Server) office() OfficeView {
	b := s.cfg.Keeper.Book()
	now := s.cfg.Now().In(s.cfg.Zone)
	today := events.DateIn(now, s.cfg.Zone)
	v := OfficeView{Office: string(s.cfg.Office), Name: s.cfg.Name, Zone: s.cfg.Zone.String(), Now: now, Today: today, Notice: s.cfg.Notice,
		Crews: []words.Crew{}, Purveyors: []PurveyorView{}}
	var crews []*events.Crew
	for _, c := range b.Crews {
		if c.Office == s.cfg.Office {
			crews = append(crews, c)
		}
	}
	slices.SortFunc(crews, func(x, y *events.Crew) int { return cmp.Or(cmp.Compare(x.Letter, y.Letter), cmp.Compare(x.ID, y.ID)) })
	for _, c := range crews {
		v.Crews = append(v.Crews, words.CrewOf(b, s.cfg.People, c.ID))
	}
	v.Tomorrow = nextWorkingDay(crews, today)
	for _, p := range b.Purveyors {
		v.Purveyors = append(v.Purveyors, PurveyorView{ID: string(p.ID), Name: p.Name, Rules: words.Rules(p)})
	}
	slices.SortFunc(v.Purveyors, func(x, y PurveyorView) int { return cmp.Compare(x.Name, y.Name) })
	return v
}

// nextWorkingDay is the next day after today on which any crew works; plain tomorrow when none does within two weeks.
func nextWorkingDay(crews []*events.Crew, today events.Date) events.Date {
	for ahead := 1; ahead <= 14; ahead++ {
		day := today.AddDays(ahead)
		for _, c := range crews {
			if _, works, err := planner.WorkingSpan(c, day); err == nil && works && c.OffOn(day) == "" {
				return day
			}
		}
	}
	return today.AddDays(1)
}

// do carries a command out and says what alarms it raised.
func (s *Server) do(ctx context.Context, c events.Command) (*reply[Receipt], error) {
	receipt, err := s.cfg.Keeper.Do(ctx, c)
	if err != nil {
		return nil, s.fail(err)
	}
	return answer(Receipt{Position: receipt.Position, Repeated: receipt.Repeated, Alarms: s.alarms(c), Now: s.cfg.Now()}), nil
}

// alarms reads back what was raised beside a fact from the field, so that whoever recorded it is told: at once, or when it
// is sent again because the first answer was lost.
func (s *Server) alarms(c events.Command) []string {
	b := s.cfg.Keeper.Book()
	if unplaced := b.AlarmsOf(events.KindField, c.ID.String()); len(unplaced) > 0 {
		return alarmsOf(c, unplaced)
	}
	switch do := c.Do.(type) {
	case events.Arrive:
		return alarmsOf(c, b.AlarmsOf(events.KindSite, string(do.Site)))
	case events.Leave:
		return alarmsOf(c, b.AlarmsOf(events.KindSite, string(do.Site)))
	case events.MeetNoAccess:
		return alarmsOf(c, b.AlarmsOf(events.KindSite, string(do.Site)))
	case events.ShutFeed:
		return alarmsOf(c, b.AlarmsOf(events.KindFeed, string(do.Feed)))
	case events.RestoreFeed:
		return alarmsOf(c, b.AlarmsOf(events.KindFeed, string(do.Feed)))
	case events.LeaveFeed:
		return alarmsOf(c, b.AlarmsOf(events.KindFeed, string(do.Feed)))
	case events.FinishJob:
		return alarmsOf(c, b.AlarmsOf(events.KindAssembly, string(do.Assembly)))
	}
	return nil
}

func alarmsOf(c events.Command, alarms []events.RaisedAlarm) []string {
	var list []string
	for _, alarm := range alarms {
		if alarm.About.CommandKey() == c.ID.Key() {
			list = append(list, alarm.Words)
		}
	}
	return list
}

// command turns what the office recorded into a command.
func (r DeskRequest) command(office events.OfficeID, now time.Time) (events.Command, error) {
	id, err := events.ParseCommandID(r.CommandID)
	if err != nil {
		return events.Command{}, err
	}
	c := events.Command{ID: id, Actor: events.PersonID(cmp.Or(r.By, "office")), Office: office, Happened: now}
	ref := events.JobRef{Assembly: events.AssemblyID(r.Assembly), Job: events.JobID(r.Job)}
	site, feed := events.SiteID(r.Site), events.FeedID(r.Feed)
	today := events.DateIn(now, now.Location())
	date := r.Date
	if date.IsZero() {
		date = today
	}
	switch r.Kind {
	case "yes-to-repair":
		c.Do = events.SayYesToRepair{JobRef: ref, RepairYes: events.RepairYes{Basis: cmp.Or(r.Basis, "quote"), LimitUSD: r.LimitUSD, By: events.PersonID(r.Who), On: date}}
	case "want-parts":
		c.Do = events.WantParts{JobRef: ref, Parts: r.Parts}
	case "ready-parts":
		c.Do = events.ReadyParts{JobRef: ref, Where: r.Where}
	case "clear-way":
		c.Do = events.ClearWay{JobRef: ref, Words: r.Words}
	case "set-standing":
		c.Do = events.SetStanding{JobRef: ref, Standing: r.Standing, Why: r.Words}
	case "withdraw":
		if r.Words == "" {
			return c, errors.New("say why the job is withdrawn")
		}
		c.Do = events.Withdraw{JobRef: ref, Why: r.Words}
	case "file-report":
		c.Do = events.FileReport{JobRef: ref, On: date, How: r.How, By: events.PersonID(r.By), Confirmation: r.Confirmation}
	case "accept-report":
		c.Do = events.AcceptReport{JobRef: ref, On: date}
	case "return-report":
		c.Do = events.ReturnReport{JobRef: ref, On: date, Why: r.Words}
	case "give-notice":
		c.Do = events.GiveNotice{Site: site, Notice: events.Notice{Given: today, For: r.Date, How: r.How}}
	case "agree-time":
		if r.From == nil || r.To == nil {
			return c, errors.New("say from when to when")
		}
		c.Do = events.AgreeTime{Site: site, AgreedTime: events.AgreedTime{Feed: feed, From: *r.From, To: *r.To}}
	case "make-booking", "withdraw-booking":
		if r.From == nil || r.To == nil {
			return c, errors.New("say from when to when")
		}
		if r.Kind == "withdraw-booking" {
			c.Do = events.WithdrawBooking{Site: site, BookingWithdrawn: events.BookingWithdrawn{What: r.What, Feed: feed, From: *r.From, To: *r.To, Why: r.Words}}
			break
		}
		c.Do = events.MakeBooking{Site: site, Booking: events.Booking{What: r.What, Feed: feed, From: *r.From, To: *r.To, Whom: r.Whom, Reference: r.Confirmation}}
	case "restore-feed":
		c.Do = events.RestoreFeed{Feed: feed, By: cmp.Or(r.Words, "office")}
	case "note-measures":
		c.Do = events.NoteMeasures{Feed: feed, MeasuresNoted: events.MeasuresNoted{Day: r.Date, Minutes: r.Minutes, By: cmp.Or(r.Role, "impairment coordinator"), Words: r.Words}}
	case "say-vacant":
		c.Do = events.SayVacant{Site: site, Disuse: events.Disuse{Since: r.Since, Back: r.Date, By: r.Role, Words: r.Words}}
	case "say-out-of-use":
		c.Do = events.SayOutOfUse{Feed: feed, Disuse: events.Disuse{Since: r.Since, Back: r.Date, By: r.Role, Words: r.Words}}
	case "crew-off":
		c.Do = events.SetCrewOff{Crew: events.CrewID(r.Crew), CrewOff: events.CrewOff{Date: date, Why: cmp.Or(r.Words, "off")}}
	case "crew-back":
		c.Do = events.SetCrewBack{Crew: events.CrewID(r.Crew), Date: date}
	case "drop-gauge":
		c.Do = events.DropGauge{Gauge: events.GaugeID(r.Gauge), Why: cmp.Or(r.Words, "dropped")}
	case "verify-gauge":
		if r.Date.IsZero() {
			return c, errors.New("say until when the new certificate is valid")
		}
		c.Do = events.VerifyGauge{Gauge: events.GaugeID(r.Gauge), GaugeVerified: events.GaugeVerified{CertifiedUntil: r.Date, CalibratedOn: r.CalibratedOn, CalibratedBy: r.Words}}
	default:
		if c.Do = r.mends(id, ref, date); c.Do == nil {
			return c, errors.New("that is not something the office records")
		}
	}
	return c, nil
}
