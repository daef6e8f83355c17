package intake

import (
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/plain"
)

func yes(b *bool) bool { return b != nil && *b }

func number(n *int) int {
	if n == nil {
		return 0
	}
	return *n
}

func (f *folding) purveyors() {
	each(f, "purveyors.csv", f.fleet.Purveyors, func(r plain.Purveyor) int { return r.Line }, func(c *rowCheck, r plain.Purveyor) {
		c.zone(r.Zone)
		c.region("holiday_region", r.HolidayRegion)
		if _, err := events.ProfileByID(events.ProfileID(r.CriteriaProfile)); r.CriteriaProfile != "" && err != nil {
			c.fault("criteria_profile", r.CriteriaProfile, "is no criteria profile of this program", "leave it blank for the strictest, or write one of "+profileIDs())
		}
		rule := func(count *int, unit, from string) events.DeadlineRule {
			if count == nil {
				return events.DeadlineRule{}
			}
			return events.DeadlineRule{Count: *count, Unit: events.RuleUnit(unit), CountsFrom: events.CountsFrom(from), Roll: events.Roll(r.Roll), Source: r.RuleSource}
		}
		facts := events.PurveyorFacts{Name: r.Name, Zone: r.Zone, Criteria: r.CriteriaProfile, IntervalMonths: number(r.IntervalMonths),
			EarliestDaysBefore: number(r.EarliestDaysBeforeDue), Repair: map[events.Hazard]events.DeadlineRule{},
			ReportPass: rule(r.ReportDaysPass, r.ReportDaysUnit, ""), ReportFail: rule(r.ReportDaysFail, r.ReportDaysUnit, ""),
			SystemNumber: r.SystemNumber, PhoneFail: rule(r.PhoneInHours, string(events.Hours), ""), Closed: events.Closures{Days: r.ClosedDays, Region: r.HolidayRegion},
			Vacancy: disuseRule(r.VacantMonths, r.RuleSource), Idle: disuseRule(r.IdleMonths, r.RuleSource),
			RegistrationRequired: yes(r.RegistrationRequired), GaugeRegistrationRequired: yes(r.GaugeRegistrationRequired)}
		facts.PhoneFail.Roll = ""
		for hazard, count := range map[events.Hazard]*int{events.Health: r.RepairDaysHealth, events.NonHealth: r.RepairDaysNonHealth} {
			if count != nil {
				facts.Repair[hazard] = rule(count, r.RepairDaysUnit, r.RepairCountsFrom)
			}
		}
		if (r.RepairDaysHealth != nil || r.RepairDaysNonHealth != nil) && r.RepairDaysUnit == "" {
			c.ask("repair_days_unit", "", "is blank, so no deadline after a failure can be computed", "ask whether they are calendar or business days")
		}
		c.register(folderRegistry, "purveyor", r.ID, events.Put[events.PurveyorFacts]{ID: r.ID, Facts: facts})
	})
}

// disuseRule reads after how many months without use a test is owed; 0 is none ever.
func disuseRule(months *int, source string) events.DisuseRule {
	switch {
	case months == nil:
		return events.DisuseRule{}
	case *months == 0:
		return events.DisuseRule{None: true}
	}
	return events.DisuseRule{Months: *months, Source: source}
}

func profileIDs() string {
	var ids []string
	for _, p := range events.Profiles() {
		ids = append(ids, string(p.ID))
	}
	return strings.Join(ids, ", ")
}

func (f *folding) customers() {
	each(f, "customers.csv", f.fleet.Customers, func(r plain.Customer) int { return r.Line }, func(c *rowCheck, r plain.Customer) {
		facts := events.CustomerFacts{Name: r.Name, Repair: r.RepairStanding, MailingAddress: r.MailingAddress, PurchaseOrder: r.PurchaseOrder}
		if r.RepairLimitUSD != nil {
			facts.RepairLimitUSD = int(*r.RepairLimitUSD) // whole dollars, never more than was agreed
		}
		if yes(r.OnHold) {
			facts.OnHold = "on hold"
		}
		c.register(folderRegistry, "customer", r.ID, events.Put[events.CustomerFacts]{ID: r.ID, Facts: facts})
	})
}

func (f *folding) people() {
	each(f, "people.csv", f.fleet.People, func(r plain.Person) int { return r.Line }, func(c *rowCheck, r plain.Person) {
		var facts events.PersonFacts
		for _, held := range []struct {
			kind   events.CredentialKind
			number string
			until  events.Date
		}{{events.TesterCertificate, r.TesterCertificate, r.TesterCertificateUntil}, {events.RepairLicence, r.RepairLicence, r.RepairerUntil},
			{events.FireLicence, r.FireLicence, r.FireLicenceUntil}, {events.ConfinedSpaceEntry, "", r.ConfinedSpaceUntil}} {
			if !held.until.IsZero() {
				facts.Credentials = append(facts.Credentials, events.Credential{Kind: held.kind, Number: held.number, Until: held.until})
			}
		}
		for _, reg := range r.Registrations {
			c.refer("registrations", "purveyor", reg.PurveyorID)
			facts.Registrations = append(facts.Registrations, events.Registration{Purveyor: events.PurveyorID(reg.PurveyorID), Until: reg.Until})
		}
		if c.register(folderRegistry, "person", r.ID, events.Put[events.PersonFacts]{ID: r.ID, Facts: facts}) {
			f.out.People[events.PersonID(r.ID)] = r.DisplayName
		}
	})
}

func (f *folding) gauges() {
	each(f, "gauges.csv", f.fleet.Gauges, func(r plain.Gauge) int { return r.Line }, func(c *rowCheck, r plain.Gauge) {
		c.refer("registered_with", "purveyor", r.RegisteredWith...)
		if r.Potable == nil {
			c.ask("potable", "", "is blank: not known, so the gauge is kept off potable water", "write yes if it was never used on anything else")
		}
		facts := events.GaugeFacts{Serial: r.Serial, Maker: r.Maker, Model: r.Model, CalibratedOn: r.CalibratedOn, CalibratedBy: r.CalibratedBy, CertifiedUntil: r.CertifiedUntil, Potable: yes(r.Potable)}
		for _, id := range r.RegisteredWith {
			facts.RegisteredWith = append(facts.RegisteredWith, events.PurveyorID(id))
		}
		if c.register(folderRegistry, "gauge", r.ID, events.Put[events.GaugeFacts]{ID: r.ID, Facts: facts}) &&
			r.State == "dropped" && f.known.Gauges[events.GaugeID(r.ID)] == nil {
			c.add(folderFeeds, "dropped:"+r.ID, events.DropGauge{Gauge: events.GaugeID(r.ID), Why: "listed as dropped in gauges.csv"})
		}
	})
}

func (f *folding) crews() {
	each(f, "crews.csv", f.fleet.Crews, func(r plain.Crew) int { return r.Line }, func(c *rowCheck, r plain.Crew) {
		c.zone(r.Zone)
		c.region("region", r.Region)
		c.hours("hours", r.Hours, r.Region)
		c.refer("people", "person", r.People...)
		c.refer("gauges", "gauge", r.Gauges...)
		facts := events.CrewFacts{Name: r.Name, Letter: r.Letter, Home: c.point("home_", r.HomeLatDeg, r.HomeLonDeg), Zone: r.Zone, Region: r.Region, Hours: r.Hours,
			OvertimeMinutes: number(r.OvertimeMinutes), BreakMinutes: number(r.BreakMinutes), BreakFrom: r.BreakFrom, BreakTo: r.BreakTo}
		for _, id := range r.People {
			facts.People = append(facts.People, events.PersonID(id))
		}
		for _, id := range r.Gauges {
			facts.Gauges = append(facts.Gauges, events.GaugeID(id))
		}
		c.register(folderRegistry, "crew", r.ID, events.Put[events.CrewFacts]{ID: r.ID, Facts: facts})
	})
}

// point is a position in degrees; both halves or none.
func (c *rowCheck) point(prefix string, latDeg, lonDeg *float64) geo.Point {
	switch {
	case latDeg == nil && lonDeg == nil:
		return geo.Point{}
	case latDeg == nil || lonDeg == nil:
		c.fault(prefix+"lat_deg", "", "is half a position", "give latitude and longitude, or neither")
		return geo.Point{}
	}
	p, err := geo.NewPoint(*latDeg, *lonDeg)
	if err != nil {
		c.fault(prefix+"lat_deg", "", err.Error(), "write decimal degrees; latitude and longitude may be exchanged")
	}
	return p
}

func (f *folding) sitesAndFeeds() {
	each(f, "sites.csv", f.fleet.Sites, func(r plain.Site) int { return r.Line }, f.site)
	regions := map[string]string{}
	for _, r := range f.fleet.Sites {
		regions[r.ID] = r.Region
	}
	feeds := map[string]plain.Feed{}
	for _, r := range f.fleet.Feeds {
		feeds[r.ID] = r
	}
	each(f, "feeds.csv", f.fleet.Feeds, func(r plain.Feed) int { return r.Line }, func(c *rowCheck, r plain.Feed) { f.feed(c, r, feeds, regions) })
}

func (f *folding) site(c *rowCheck, r plain.Site) {
	c.refer("customer_id", "customer", r.CustomerID)
	c.zone(r.Zone)
	c.region("region", r.Region)
	c.hours("access_hours", r.AccessHours, r.Region)
	facts := events.SiteFacts{Customer: events.CustomerID(r.CustomerID), Name: r.Name, Use: r.Kind, Address: strings.Join(nonEmpty(r.Address, r.City), ", "), Account: r.Account, Parcel: r.Parcel,
		Position: c.point("", r.LatDeg, r.LonDeg), PositionSource: events.PositionSource(r.PositionSource), Zone: r.Zone, Region: r.Region, AccessHours: r.AccessHours,
		NoticeDays: number(r.NoticeDays), LegsOneADay: yes(r.Hospital), Needs: c.needs(r.Needs), Access: r.Access, Caution: r.Caution}
	switch {
	case !facts.Position.IsSet():
		facts.PositionSource = events.NoPosition
	case facts.PositionSource == events.NoPosition:
		facts.Position = geo.Point{}
	case facts.PositionSource == "":
		facts.PositionSource = events.Approximate
	}
	if !c.register(folderRegistry, "site", r.ID, events.Put[events.SiteFacts]{ID: r.ID, Facts: facts}) {
		return
	}
	if c.disused(r.VacantSince, r.UsedAgainOn) {
		c.add(folderDisuse, "vacant:"+r.ID+":"+r.VacantSince.String()+":"+r.UsedAgainOn.String(), events.SayVacant{Site: events.SiteID(r.ID),
			Disuse: events.Disuse{Since: r.VacantSince, Back: r.UsedAgainOn, By: "listed in sites.csv"}})
	}
	known := f.known.Sites[events.SiteID(r.ID)]
	if !r.NoticeGivenOn.IsZero() && (known == nil || known.Notice == nil || known.Notice.Given.Before(r.NoticeGivenOn)) {
		c.add(folderFeeds, "notice:"+r.ID+":"+r.NoticeGivenOn.String(), events.GiveNotice{Site: events.SiteID(r.ID), Notice: events.Notice{Given: r.NoticeGivenOn}})
	}
}

// disused reports whether a row says that something is out of use, and says what is wrong with its days.
func (c *rowCheck) disused(since, again events.Date) bool {
	switch {
	case since.IsZero() && !again.IsZero():
		c.fault("used_again_on", again.String(), "is given, but not since when it is out of use", "write the first day without use too, or leave both blank")
		return false
	case !again.IsZero() && !since.Before(again):
		c.fault("used_again_on", again.String(), "is not after "+since.String()+", the first day without use", "write the day on which it is used again")
		return false
	}
	return !since.IsZero()
}

// needs reads what others must bring, and whom to book for it.
func (c *rowCheck) needs(list []plain.Need) []events.Need {
	var needs []events.Need
	for _, n := range list {
		if !slices.Contains(events.BroughtByOthers, events.Brought(n.What)) {
			c.fault("needs", n.What, "is nothing that others bring", "write street-valve, alarm-company, escort or pump-out")
			continue
		}
		needs = append(needs, events.Need{What: events.Brought(n.What), Whom: n.Whom, Phone: n.Phone})
	}
	return needs
}

func (f *folding) feed(c *rowCheck, r plain.Feed, feeds map[string]plain.Feed, regions map[string]string) {
	c.refer("site_id", "site", r.SiteID)
	region, ok := regions[r.SiteID]
	if known := f.known.Sites[events.SiteID(r.SiteID)]; !ok && known != nil {
		region = known.Region
	}
	c.hours("shutdown_window", r.ShutdownWindow, region)
	c.hours("season", r.Season, region)
	if upstream, ok := feeds[r.FedFrom]; r.FedFrom != "" {
		known := f.known.Feeds[events.FeedID(r.FedFrom)]
		switch {
		case r.FedFrom == r.ID:
			c.fault("fed_from", r.FedFrom, "is the feed itself", "name the feed upstream, or leave it blank")
		case ok && upstream.SiteID != r.SiteID, !ok && known != nil && string(known.Site) != r.SiteID:
			c.fault("fed_from", r.FedFrom, "is a feed of another site", "name a feed of the same site")
		case !ok && known == nil:
			c.refer("fed_from", "feed", r.FedFrom)
		}
	}
	facts := events.FeedFacts{Site: events.SiteID(r.SiteID), Name: r.Name, FedFrom: events.FeedID(r.FedFrom), Manifold: r.Manifold,
		ShutdownWindow: r.ShutdownWindow, Fire: yes(r.Fire), Season: r.Season, Pressurised: r.Pressurised, Needs: c.needs(r.Needs)}
	if !c.register(folderFeeds, "feed", r.ID, events.Put[events.FeedFacts]{ID: r.ID, Facts: facts}) {
		return
	}
	f.sites[r.ID] = r.SiteID
	if c.disused(r.OutOfUseSince, r.UsedAgainOn) {
		c.add(folderDisuse, "out-of-use:"+r.ID+":"+r.OutOfUseSince.String()+":"+r.UsedAgainOn.String(), events.SayOutOfUse{Feed: events.FeedID(r.ID),
			Disuse: events.Disuse{Since: r.OutOfUseSince, Back: r.UsedAgainOn, By: "listed in feeds.csv"}})
	}
	condition, left := asLeft(r.State)
	if known := f.known.Feeds[events.FeedID(r.ID)]; left && (known == nil || known.AsLeft == nil) {
		c.add(folderAssemblies, "as-left:"+r.ID, events.LeaveFeed{Feed: events.FeedID(r.ID), Condition: condition})
	}
}

// asLeft is the condition that a state of feeds.csv stands for; left is false for a feed in service.
func asLeft(state string) (c events.Condition, left bool) {
	words := "as listed in feeds.csv"
	switch state {
	case "shut":
		return events.Condition{Service: events.Shut, Words: words}, true
	case "impaired":
		return events.Condition{Service: events.Impaired, Words: words}, true
	case "partly-open":
		return events.Condition{Service: events.Impaired, Valves: []events.Valve{{Name: "a shut-off", State: events.ValvePartly}}, Words: words}, true
	}
	return events.Condition{}, false
}

func (f *folding) assemblies() {
	each(f, "assemblies.csv", f.fleet.Assemblies, func(r plain.Assembly) int { return r.Line }, func(c *rowCheck, r plain.Assembly) {
		c.refer("site_id", "site", r.SiteID)
		c.refer("feed_id", "feed", r.FeedID)
		c.refer("purveyor_id", "purveyor", r.PurveyorID)
		of := f.sites[r.FeedID]
		if known := f.known.Feeds[events.FeedID(r.FeedID)]; of == "" && known != nil {
			of = string(known.Site)
		}
		if of != "" && of != r.SiteID {
			c.fault("feed_id", r.FeedID, "is a feed of site "+of, "name a feed of site "+r.SiteID)
		}
		facts := events.AssemblyFacts{Site: events.SiteID(r.SiteID), Feed: events.FeedID(r.FeedID), Purveyor: events.PurveyorID(r.PurveyorID),
			PurveyorNumber: r.PurveyorNumber, Type: r.Type, Size: r.Size, Service: events.Service(r.Service), Hazard: events.Hazard(r.Hazard),
			Maker: r.Maker, Model: r.Model, Serial: r.Serial, Position: c.point("", r.LatDeg, r.LonDeg), Place: r.PlaceWords, LastPassed: r.LastPassed,
			Isolates: r.Isolates, Installation: events.Installation{Permit: r.Permit, Approved: events.YesNo(r.Approved), Orientation: r.Orientation, HeightIn: r.HeightIn,
				FrostFlood: r.FrostFlood, OutletsBefore: r.OutletsBefore, ReliefGap: events.YesNo(r.ReliefGap), WaterMeter: r.WaterMeter, DetectorMeter: r.DetectorMeter, DesignFlowGPM: r.DesignFlowGPM}}
		if r.Vault != "none" {
			facts.Vault = events.Vault(r.Vault)
		}
		if r.BypassMaker+r.BypassModel+r.BypassSerial != "" || !r.BypassSize.IsZero() {
			facts.Bypass = &events.BypassFacts{Maker: r.BypassMaker, Model: r.BypassModel, Size: r.BypassSize, Serial: r.BypassSerial}
		}
		c.register(folderAssemblies, "assembly", r.ID, events.Put[events.AssemblyFacts]{ID: r.ID, Facts: facts})
	})
}

func (f *folding) kits() {
	jobs := f.jobIDs()
	each(f, "kits.csv", f.fleet.Kits, func(r plain.RepairKit) int { return r.Line }, func(c *rowCheck, r plain.RepairKit) {
		if !jobs[r.ForJob] {
			c.fault("for_job", r.ForJob, "names a job that is neither in the folder nor on record", "add it, or mend the id")
		}
		facts := events.KitFacts{Code: r.Code, Maker: r.Maker, Model: r.Model, Size: r.Size, Component: r.Component, Where: r.Where}
		switch r.State {
		case "received", "reserved":
		default:
			facts.Promised = r.PromisedOn
			if r.PromisedOn.IsZero() {
				return // it is not here, and nobody knows when it will be
			}
		}
		c.register(folderRegistry, "kit", r.ID, events.Put[events.KitFacts]{ID: r.ID, Facts: facts})
	})
}

// bookings reads when others come. The times are by the clocks of the site.
func (f *folding) bookings() {
	zones := map[string]string{}
	for _, s := range f.fleet.Sites {
		zones[s.ID] = s.Zone
	}
	each(f, "bookings.csv", f.fleet.Bookings, func(r plain.Booking) int { return r.Line }, func(c *rowCheck, r plain.Booking) {
		c.refer("site_id", "site", r.SiteID)
		c.refer("feed_id", "feed", r.FeedID)
		known := f.known.Sites[events.SiteID(r.SiteID)]
		zone := zones[r.SiteID]
		if zone == "" && known != nil {
			zone = known.Zone
		}
		of := f.sites[r.FeedID]
		if feed := f.known.Feeds[events.FeedID(r.FeedID)]; of == "" && feed != nil {
			of = string(feed.Site)
		}
		if of != "" && of != r.SiteID {
			c.fault("feed_id", r.FeedID, "is a feed of site "+of, "name a feed of site "+r.SiteID+", or leave it blank")
		}
		loc, err := time.LoadLocation(zone)
		if c.bad || err != nil {
			return // a site without a zone is a fault of its own row
		}
		booking := events.Booking{What: events.Brought(r.What), Feed: events.FeedID(r.FeedID), From: clockOn(r.Day, r.From, loc), To: clockOn(r.Day, r.To, loc), Whom: r.Whom, Reference: r.Reference}
		if !booking.From.Before(booking.To) {
			booking.To = clockOn(r.Day.AddDays(1), r.To, loc)
		}
		if known != nil && slices.ContainsFunc(known.Booked, func(b events.Booking) bool {
			return b.What == booking.What && b.Feed == booking.Feed && b.From.Equal(booking.From) && b.To.Equal(booking.To)
		}) {
			return
		}
		c.add(folderAssemblies, "booking:"+r.ID, events.MakeBooking{Site: events.SiteID(r.SiteID), Booking: booking})
	})
}

// clockOn is the instant at which the clocks of a zone show a time of a day; plain has checked the time.
func clockOn(day events.Date, clock string, loc *time.Location) time.Time {
	at, _ := time.Parse("15:04", clock)
	year, month, date := day.YMD()
	return time.Date(year, month, date, at.Hour(), at.Minute(), 0, 0, loc)
}

// jobIDs are the jobs of the folder and those on record.
func (f *folding) jobIDs() map[string]bool {
	ids := map[string]bool{"": true}
	for _, j := range f.fleet.Jobs {
		ids[j.ID] = true
	}
	for _, a := range f.known.Assemblies {
		for i := range a.Jobs {
			ids[string(a.Jobs[i].ID)] = true
		}
	}
	return ids
}
