package intake

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/plain"
)

// ToFolder writes an office's part of a book, and what the whole firm shares, as rows of plain CSV files. Name gives
// the name of a person, which the book does not hold; nil: the id stands for it. What the columns cannot hold is named in
// lost, so that nobody takes the folder for a backup.
func ToFolder(book *events.Book, office events.OfficeID, name func(events.PersonID) string) (fleet plain.Fleet, lost []string) {
	x := &exporting{book: book, office: office, name: name}
	x.purveyors()
	x.customersAndSites()
	x.feeds()
	x.people()
	x.crews()
	x.kits()
	x.assembliesAndJobs()
	return x.out, x.lost
}

type exporting struct {
	book   *events.Book
	office events.OfficeID
	name   func(events.PersonID) string
	out    plain.Fleet
	lost   []string
}

func (x *exporting) lose(format string, args ...any) {
	x.lost = append(x.lost, fmt.Sprintf(format, args...))
}

// ordered gives the values of a map by key.
func ordered[K cmp.Ordered, V any](m map[K]V) []V {
	var out []V
	for _, k := range slices.Sorted(maps.Keys(m)) {
		out = append(out, m[k])
	}
	return out
}

// some is a pointer to a value that is not its zero, else nil: a blank cell.
func some[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

func degrees(p geo.Point) (lat, lon *float64) {
	if !p.IsSet() {
		return nil, nil
	}
	lat, lon = new(float64), new(float64)
	*lat, *lon = p.LatDeg(), p.LonDeg()
	return lat, lon
}

func (x *exporting) purveyors() {
	for _, p := range ordered(x.book.Purveyors) {
		row := plain.Purveyor{ID: string(p.ID), Name: p.Name, Zone: p.Zone, CriteriaProfile: p.Criteria, IntervalMonths: some(p.IntervalMonths),
			SystemNumber: p.SystemNumber, EarliestDaysBeforeDue: some(p.EarliestDaysBefore), ClosedDays: p.Closed.Days, HolidayRegion: p.Closed.Region, RegistrationRequired: &p.RegistrationRequired,
			GaugeRegistrationRequired: &p.GaugeRegistrationRequired}
		row.VacantMonths, row.IdleMonths = disuseMonths(p.Vacancy), disuseMonths(p.Idle)
		rules := ruleColumns{x: x, of: p.Name}
		row.RepairDaysHealth = rules.days("health", p.Repair[events.Health])
		row.RepairDaysNonHealth = rules.days("non-health", p.Repair[events.NonHealth])
		row.RepairDaysUnit, row.RepairCountsFrom = string(rules.unit), string(rules.from)
		rules.unit, rules.from, rules.any = "", "", false
		row.ReportDaysPass = rules.days("a report of a pass", p.ReportPass)
		row.ReportDaysFail = rules.days("a report of a failure", p.ReportFail)
		row.ReportDaysUnit = string(rules.unit)
		row.Roll, row.RuleSource = string(rules.roll), cmp.Or(rules.source, p.Vacancy.Source, p.Idle.Source)
		if !p.PhoneFail.IsZero() && p.PhoneFail.Unit == events.Hours {
			row.PhoneInHours = &p.PhoneFail.Count
		}
		for hazard := range p.Repair {
			if hazard != events.Health && hazard != events.NonHealth {
				x.lose("%s: the rule for %s hazards has no column", p.Name, hazard)
			}
		}
		if len(p.Closed.Weekend) > 0 {
			x.lose("%s: its weekend has no column", p.Name)
		}
		x.out.Purveyors = append(x.out.Purveyors, row)
	}
}

func disuseMonths(r events.DisuseRule) *int {
	if !r.Known() {
		return nil
	}
	months := r.Months
	if r.None {
		months = 0
	}
	return &months
}

// ruleColumns writes several rules into columns that share a unit, a start, a roll and a source.
type ruleColumns struct {
	x      *exporting
	of     string
	any    bool
	unit   events.RuleUnit
	from   events.CountsFrom
	rolled bool
	roll   events.Roll
	source string
}

// days is the count of a rule; nil when there is none, or it does not go with the rules before it.
func (c *ruleColumns) days(what string, r events.DeadlineRule) *int {
	from := cmp.Or(r.CountsFrom, events.FromTest)
	roll := cmp.Or(r.Roll, events.RollBefore)
	switch {
	case r.IsZero():
		return nil
	case r.Unit == events.Hours, c.any && (r.Unit != c.unit || from != c.from), c.rolled && roll != c.roll:
		c.x.lose("%s: the rule for %s (%d %s days or hours) does not go into the columns with the others", c.of, what, r.Count, r.Unit)
		return nil
	}
	c.any, c.unit, c.from, c.rolled, c.roll = true, r.Unit, from, true, roll
	c.source = cmp.Or(c.source, r.Source)
	return &r.Count
}

func (x *exporting) customersAndSites() {
	for _, c := range ordered(x.book.Customers) {
		if c.Office != x.office {
			continue
		}
		row := plain.Customer{ID: string(c.ID), Name: c.Name, RepairStanding: c.Repair, MailingAddress: c.MailingAddress, PurchaseOrder: c.PurchaseOrder}
		if c.RepairLimitUSD != 0 {
			limit := float64(c.RepairLimitUSD)
			row.RepairLimitUSD = &limit
		}
		row.OnHold = some(c.OnHold != "")
		x.out.Customers = append(x.out.Customers, row)
	}
	for _, s := range ordered(x.book.Sites) {
		if s.Office != x.office {
			continue
		}
		row := plain.Site{ID: string(s.ID), CustomerID: string(s.Customer), Name: s.Name, Kind: s.Use, Address: s.Address, Account: s.Account, Parcel: s.Parcel,
			PositionSource: string(s.PositionSource), Zone: s.Zone, Region: s.Region, AccessHours: s.AccessHours, NoticeDays: some(s.NoticeDays), Access: s.Access,
			Caution: s.Caution, Hospital: some(s.LegsOneADay), Needs: x.needs(s.Name, s.Needs)}
		row.LatDeg, row.LonDeg = degrees(s.Position)
		if d := s.Vacant; d != nil {
			row.VacantSince, row.UsedAgainOn = d.Since, d.Back
		}
		if s.Notice != nil {
			row.NoticeGivenOn = s.Notice.Given
			if !s.Notice.For.IsZero() {
				x.lose("%s: that the notice was for %s has no column", s.Name, s.Notice.For)
			}
		}
		x.bookings(s)
		if len(s.Agreed) > 0 {
			x.lose("%s: times agreed have no column", s.Name)
		}
		if len(s.Contacts) > 0 {
			x.lose("%s: contacts have no column", s.Name)
		}
		x.out.Sites = append(x.out.Sites, row)
	}
}

// bookings of a site; of one that is longer than a day the row would say less.
func (x *exporting) bookings(s *events.Site) {
	loc, err := time.LoadLocation(s.Zone)
	for i, b := range s.Booked {
		if err != nil {
			x.lose("%s: bookings, for its time zone %q is not known", s.Name, s.Zone)
			return
		}
		from, to := b.From.In(loc), b.To.In(loc)
		row := plain.Booking{ID: fmt.Sprintf("booking-%s-%d", s.ID, i), SiteID: string(s.ID), FeedID: string(b.Feed), What: string(b.What), Day: events.DateIn(b.From, loc),
			From: from.Format("15:04"), To: to.Format("15:04"), Whom: b.Whom, Reference: b.Reference}
		if end := clockOn(row.Day, row.To, loc); !clockOn(row.Day, row.From, loc).Equal(b.From) || !end.Equal(b.To) && !clockOn(row.Day.AddDays(1), row.To, loc).Equal(b.To) ||
			end.Equal(b.To) != end.After(b.From) {
			x.lose("%s: the booking of %s from %s to %s does not go into a row", s.Name, b.What, from.Format(time.DateTime), to.Format(time.DateTime))
			continue
		}
		x.out.Bookings = append(x.out.Bookings, row)
	}
}

func (x *exporting) feeds() {
	for _, f := range ordered(x.book.Feeds) {
		if f.Office != x.office {
			continue
		}
		row := plain.Feed{ID: string(f.ID), SiteID: string(f.Site), Name: f.Name, FedFrom: string(f.FedFrom),
			Manifold: f.Manifold, ShutdownWindow: f.ShutdownWindow, Fire: some(f.Fire), State: feedState(f), Season: f.Season, Pressurised: f.Pressurised,
			Needs: x.needs(f.Name, f.Needs)}
		if d := f.OutOfUse; d != nil {
			row.OutOfUseSince, row.UsedAgainOn = d.Since, d.Back
		}
		x.out.Feeds = append(x.out.Feeds, row)
		if !f.DrySince.IsZero() {
			x.lose("feed %s: that the water is off now has no column", f.Name)
		}
	}
}

func (x *exporting) needs(whose string, list []events.Need) []plain.Need {
	var needs []plain.Need
	for _, n := range list {
		row := plain.Need{What: string(n.What), Whom: n.Whom, Phone: n.Phone}
		if !row.Readable() {
			x.lose("%s: whom to book (%s %s) does not go into the column", whose, n.Whom, n.Phone)
			row.Whom, row.Phone = "", ""
		}
		needs = append(needs, row)
	}
	return needs
}

func feedState(f *events.Feed) string {
	switch {
	case !f.OutOfService():
		return ""
	case f.AsLeft.Service == events.Shut:
		return "shut"
	case slices.ContainsFunc(f.AsLeft.Valves, func(v events.Valve) bool { return v.State == events.ValvePartly }):
		return "partly-open"
	}
	return "impaired"
}

func (x *exporting) people() {
	for _, p := range ordered(x.book.People) {
		row := plain.Person{ID: string(p.ID), DisplayName: string(p.ID)}
		if x.name != nil {
			row.DisplayName = cmp.Or(x.name(p.ID), row.DisplayName)
		}
		var unnumbered string // confined-space training has no column for a number
		for kind, held := range map[events.CredentialKind]struct {
			until  *events.Date
			number *string
		}{events.TesterCertificate: {&row.TesterCertificateUntil, &row.TesterCertificate}, events.RepairLicence: {&row.RepairerUntil, &row.RepairLicence},
			events.FireLicence: {&row.FireLicenceUntil, &row.FireLicence}, events.ConfinedSpaceEntry: {&row.ConfinedSpaceUntil, &unnumbered}} {
			for _, c := range p.Credentials {
				if c.Kind == kind && held.until.Before(c.Until) {
					*held.until, *held.number = c.Until, c.Number
				}
			}
		}
		for _, r := range p.Registrations {
			row.Registrations = append(row.Registrations, plain.Registration{PurveyorID: string(r.Purveyor), Until: r.Until})
		}
		x.out.People = append(x.out.People, row)
	}
}

func (x *exporting) crews() {
	for _, g := range ordered(x.book.Gauges) {
		row := plain.Gauge{ID: string(g.ID), Serial: g.Serial, Maker: g.Maker, Model: g.Model, CalibratedOn: g.CalibratedOn, CalibratedBy: g.CalibratedBy, CertifiedUntil: g.CertifiedUntil, Potable: &g.Potable}
		for _, p := range g.RegisteredWith {
			row.RegisteredWith = append(row.RegisteredWith, string(p))
		}
		if g.Dropped != "" {
			row.State = "dropped"
		}
		x.out.Gauges = append(x.out.Gauges, row)
	}
	for _, c := range ordered(x.book.Crews) {
		if c.Office != x.office {
			continue
		}
		row := plain.Crew{ID: string(c.ID), Name: c.Name, Letter: c.Letter, Zone: c.Zone, Region: c.Region, Hours: c.Hours, OvertimeMinutes: some(c.OvertimeMinutes),
			BreakMinutes: some(c.BreakMinutes), BreakFrom: c.BreakFrom, BreakTo: c.BreakTo}
		row.HomeLatDeg, row.HomeLonDeg = degrees(c.Home)
		for _, p := range c.People {
			row.People = append(row.People, string(p))
		}
		for _, g := range c.Gauges {
			row.Gauges = append(row.Gauges, string(g))
		}
		if len(c.Off) > 0 {
			x.lose("%s: days off have no column", c.Name)
		}
		x.out.Crews = append(x.out.Crews, row)
	}
}

func (x *exporting) kits() {
	for _, k := range ordered(x.book.Kits) {
		if k.Office != x.office {
			continue
		}
		row := plain.RepairKit{ID: string(k.ID), Code: k.Code, Maker: k.Maker, Model: k.Model, Size: k.Size, Component: k.Component,
			State: "received", PromisedOn: k.Promised, Where: k.Where}
		if !k.Promised.IsZero() {
			row.State = "promised"
		}
		if k.For != nil && x.reserved(k) {
			row.State, row.ForJob, row.PromisedOn = "reserved", string(k.For.Job), events.Date{}
		}
		x.out.Kits = append(x.out.Kits, row)
	}
}

// reserved reports whether the job a kit is reserved for still waits for it.
func (x *exporting) reserved(k *events.Kit) bool {
	a := x.book.Assemblies[k.For.Assembly]
	if a == nil {
		return false
	}
	job := a.Job(k.For.Job)
	return job != nil && job.NeedsRepair()
}

func (x *exporting) assembliesAndJobs() {
	for _, a := range ordered(x.book.Assemblies) {
		if a.Office != x.office {
			continue
		}
		if a.Gone {
			x.lose("assembly %s: that it was removed has no column; it is left out", a.ID)
			continue
		}
		row := plain.Assembly{ID: string(a.ID), SiteID: string(a.Site), FeedID: string(a.Feed), PurveyorID: string(a.Purveyor), PurveyorNumber: a.PurveyorNumber,
			Type: a.Type, Size: a.Size, Service: string(a.Service), Hazard: string(a.Hazard), Maker: a.Maker, Model: a.Model, Serial: a.Serial,
			PlaceWords: a.Place, Vault: cmp.Or(string(a.Vault), "none"), LastPassed: a.Passed, Isolates: a.Isolates}
		in := a.Installation
		row.Permit, row.Approved, row.Orientation, row.HeightIn, row.FrostFlood = in.Permit, string(in.Approved), in.Orientation, in.HeightIn, in.FrostFlood
		row.OutletsBefore, row.ReliefGap, row.WaterMeter, row.DetectorMeter, row.DesignFlowGPM = in.OutletsBefore, string(in.ReliefGap), in.WaterMeter, in.DetectorMeter, in.DesignFlowGPM
		row.LatDeg, row.LonDeg = degrees(a.Position)
		if b := a.Bypass; b != nil {
			row.BypassMaker, row.BypassModel, row.BypassSize, row.BypassSerial = b.Maker, b.Model, b.Size, b.Serial
		}
		if a.SerialDoubt != "" {
			x.lose("assembly %s: that its serial %s has no column", a.ID, a.SerialDoubt)
		}
		x.out.Assemblies = append(x.out.Assemblies, row)
		for i := range a.Jobs {
			x.job(a, &a.Jobs[i])
		}
	}
}

func (x *exporting) job(a *events.Assembly, j *events.Job) {
	switch {
	case !j.Open(), j.ForUseAlone() && j.Stage == events.StageDue: // that follows from what is out of use
		return
	case j.Stage != events.StageDue && !j.NeedsRepair():
		x.lose("assembly %s: job %s is %s, which has no column", a.ID, j.ID, j.Stage)
		return
	}
	row := plain.Job{ID: string(j.ID), AssemblyID: string(a.ID), Kind: string(j.Kind), Due: j.ListedDue(), Earliest: j.Earliest, Standing: string(j.Standing),
		Stage: string(j.Stage), Notes: strings.Join(j.Questions, " / ")}
	if j.Kind == events.AnnualTest {
		row.Kind = "annual"
	}
	if j.NeedsRepair() && j.Failure != nil {
		row.FailedOn, row.RetestBy = j.Failure.On, j.Failure.RetestBy.On
		row.RepairAuthorised = some(j.Yes != nil)
	}
	for i, part := range j.Parts {
		row.NeedsKitCodes = append(row.NeedsKitCodes, part.Code)
		x.part(j, i, part)
	}
	if j.Dispatched != nil {
		x.lose("assembly %s: that job %s is out with %s has no column", a.ID, j.ID, j.Dispatched.Date)
	}
	if len(j.Tests) > 0 {
		x.lose("assembly %s: the readings of job %s have no column", a.ID, j.ID)
	}
	x.out.Jobs = append(x.out.Jobs, row)
}

// part gives a promised or set-aside part that is no kit on record a row of its own.
func (x *exporting) part(j *events.Job, i int, part events.PartWanted) {
	row := plain.RepairKit{ID: fmt.Sprintf("kit-%s-%d", j.ID, i), Code: part.Code, ForJob: string(j.ID), Where: part.Where, State: "needed"}
	switch {
	case x.book.Kits[part.Item] != nil:
		return
	case part.Item != "":
		row.ID, row.State = string(part.Item), "reserved"
	case !part.Promised.IsZero():
		row.State, row.PromisedOn = "promised", part.Promised
	default:
		return
	}
	x.out.Kits = append(x.out.Kits, row)
}
