package registry

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/events/holidays"
	"valveround/planner/hours"
)

// FieldError is one field of a form that cannot be taken as it is.
type FieldError struct {
	Field string // JSON name
	Words string
}

func (e *FieldError) Error() string { return e.Field + ": " + e.Words }

// judging collects what is wrong with a form, so that all of it is said at once.
type judging struct{ errs []error }

func (j *judging) fail(field, format string, args ...any) {
	j.errs = append(j.errs, &FieldError{field, fmt.Sprintf(format, args...)})
}

func (j *judging) filled(field, text string) {
	if strings.TrimSpace(text) == "" {
		j.fail(field, "is empty")
	}
}

func (j *judging) zone(field, name string) {
	if name == "" || name == "Local" {
		j.fail(field, "say the time zone, as America/Chicago")
	} else if _, err := time.LoadLocation(name); err != nil {
		j.fail(field, "%q is not a time zone", name)
	}
}

func (j *judging) region(code string) {
	if _, ok := holidays.Of(code); !ok && code != "" {
		j.fail("region", "%q is none of the regions whose public holidays are known: %s", code, strings.Join(holidays.Regions(), ", "))
	}
}

func (j *judging) hours(field, text, region string) {
	if _, err := hours.ParseIn(text, region); err != nil {
		j.fail(field, "%v", err)
	}
}

func (j *judging) oneOf(field, text string, allowed ...string) {
	if !slices.Contains(allowed, text) {
		j.fail(field, "%q is none of: %s", text, strings.Join(allowed, ", "))
	}
}

func (j *judging) within(field string, n, low, high int) {
	if n < low || n > high {
		j.fail(field, "%d is outside %d to %d", n, low, high)
	}
}

// Judge says everything that is wrong with the facts of a form, against the book as it is. Facts of a kind that is not
// entered by form are an error too.
func Judge(b *events.Book, facts any) error {
	j := &judging{}
	switch f := facts.(type) {
	case events.CustomerFacts:
		j.filled("name", f.Name)
		j.oneOf("repair", f.Repair, "", "yes", "no", "ask")
		j.within("repair_limit_usd", f.RepairLimitUSD, 0, 1_000_000)
	case events.SiteFacts:
		j.site(b, f)
	case events.FeedFacts:
		j.feed(b, f)
	case events.AssemblyFacts:
		j.assembly(b, f)
	case events.CrewFacts:
		j.crew(b, f)
	case events.PersonFacts:
		j.person(b, f)
	case events.GaugeFacts:
		j.gauge(b, f)
	case events.KitFacts:
		j.filled("code", f.Code)
	case events.PurveyorFacts:
		j.purveyor(f)
	default:
		return fmt.Errorf("%T is not entered by form", facts)
	}
	return errors.Join(j.errs...)
}

func (j *judging) site(b *events.Book, f events.SiteFacts) {
	j.filled("name", f.Name)
	j.zone("zone", f.Zone)
	j.region(f.Region)
	j.hours("access_hours", f.AccessHours, f.Region)
	j.within("notice_days", f.NoticeDays, 0, 60)
	j.needs(f.Needs)
	if f.Customer != "" && b.Customers[f.Customer] == nil {
		j.fail("customer", "there is no customer %q", f.Customer)
	}
	j.oneOf("position_source", string(f.PositionSource), "", string(events.Surveyed), string(events.AddressPoint), string(events.StreetCentre),
		string(events.PhonePosition), string(events.Approximate), string(events.NoPosition))
	if !f.Position.IsSet() && f.PositionSource != "" && f.PositionSource != events.NoPosition {
		j.fail("position", "is empty, although it is said to be %s", f.PositionSource)
	}
}

func (j *judging) needs(list []events.Need) {
	for i, n := range list {
		if !slices.Contains(events.BroughtByOthers, n.What) {
			j.fail("needs", "row %d: say what others must bring", i+1)
		}
	}
}

func (j *judging) feed(b *events.Book, f events.FeedFacts) {
	j.filled("name", f.Name)
	region := ""
	if site := b.Sites[f.Site]; site == nil {
		j.fail("site", "there is no site %q", f.Site)
	} else {
		region = site.Region
	}
	j.hours("shutdown_window", f.ShutdownWindow, region)
	if f.Season != "" {
		j.hours("season", f.Season, region)
	}
	j.needs(f.Needs)
	if f.FedFrom == "" {
		return
	}
	if from := b.Feeds[f.FedFrom]; from == nil || from.Site != f.Site {
		j.fail("fed_from", "the site has no feed %q", f.FedFrom)
	} else if f.Manifold != "" && from.Manifold == f.Manifold {
		j.fail("fed_from", "%s is a leg of the same manifold: legs lie side by side and are not fed from each other", from.Name)
	}
}

func (j *judging) assembly(b *events.Book, f events.AssemblyFacts) {
	if !f.Type.Known() {
		j.fail("type", "%q is not a type of assembly", f.Type)
	}
	if b.Purveyors[f.Purveyor] == nil {
		j.fail("purveyor", "there is no purveyor %q", f.Purveyor)
	}
	if feed := b.Feeds[f.Feed]; feed == nil || feed.Site != f.Site {
		j.fail("feed", "the site has no feed %q", f.Feed)
	}
	if f.Bypass != nil && !f.Type.IsDetector() {
		j.fail("bypass", "a %s has no bypass", f.Type)
	}
	j.oneOf("service", string(f.Service), "", string(events.Domestic), string(events.Irrigation), string(events.Fire), string(events.Process))
	j.oneOf("hazard", string(f.Hazard), "", string(events.Health), string(events.NonHealth), string(events.Imminent))
	j.oneOf("installation.approved", string(f.Installation.Approved), "", string(events.SaidYes), string(events.SaidNo))
	j.oneOf("installation.relief_gap", string(f.Installation.ReliefGap), "", string(events.SaidYes), string(events.SaidNo))
	j.oneOf("vault", string(f.Vault), string(events.NoVault), string(events.OpenVault), string(events.PermitVault))
}

func (j *judging) crew(b *events.Book, f events.CrewFacts) {
	j.filled("name", f.Name)
	j.filled("letter", f.Letter)
	j.zone("zone", f.Zone)
	j.region(f.Region)
	j.hours("hours", f.Hours, f.Region)
	j.within("overtime_minutes", f.OvertimeMinutes, 0, 480)
	j.breaks(f)
	if !f.Home.IsSet() {
		j.fail("home", "say where the crew starts and ends")
	}
	if len(f.People) == 0 {
		j.fail("people", "a crew has at least one person")
	}
	for _, p := range f.People {
		if b.People[p] == nil {
			j.fail("people", "there is no person %q", p)
		}
	}
	for _, g := range f.Gauges {
		if b.Gauges[g] == nil {
			j.fail("gauges", "there is no gauge %q", g)
		}
	}
}

func (j *judging) person(b *events.Book, f events.PersonFacts) {
	for _, c := range f.Credentials {
		j.oneOf("credentials", string(c.Kind), string(events.TesterCertificate), string(events.RepairLicence), string(events.FireLicence), string(events.ConfinedSpaceEntry))
		if c.Until.IsZero() {
			j.fail("credentials", "say until when the %s certificate or licence is valid", c.Kind)
		}
	}
	for _, r := range f.Registrations {
		if b.Purveyors[r.Purveyor] == nil {
			j.fail("registrations", "there is no purveyor %q", r.Purveyor)
		}
	}
}

func (j *judging) gauge(b *events.Book, f events.GaugeFacts) {
	j.filled("serial", f.Serial)
	if f.CertifiedUntil.IsZero() {
		j.fail("certified_until", "say until when it is certified")
	}
	for _, p := range f.RegisteredWith {
		if b.Purveyors[p] == nil {
			j.fail("registered_with", "there is no purveyor %q", p)
		}
	}
}

func (j *judging) purveyor(f events.PurveyorFacts) {
	j.filled("name", f.Name)
	j.zone("zone", f.Zone)
	if _, err := events.ProfileByID(events.ProfileID(f.Criteria)); err != nil {
		j.fail("criteria_profile", "%v", err)
	}
	j.within("interval_months", f.IntervalMonths, 0, 120)
	j.within("earliest_days_before", f.EarliestDaysBefore, 0, 366)
	j.within("vacancy.months", f.Vacancy.Months, 0, 120)
	j.within("idle.months", f.Idle.Months, 0, 120)
	if _, ok := holidays.Of(f.Closed.Region); !ok && f.Closed.Region != "" {
		j.fail("closed", "the public holidays of region %q are not known; known are %s", f.Closed.Region, strings.Join(holidays.Regions(), ", "))
	}
}

// NewID makes the id of a new thing from the command that enters it, the same each time the command is sent.
func NewID(kind events.Kind, c events.CommandID) string {
	return string(kind[0]) + "-" + c.String()[:16]
}

// breaks wants a break's length and span all said or none, and room in the span.
func (j *judging) breaks(f events.CrewFacts) {
	j.within("break_minutes", f.BreakMinutes, 0, 240)
	if f.BreakMinutes == 0 && f.BreakFrom == "" && f.BreakTo == "" {
		return
	}
	if f.BreakMinutes == 0 {
		j.fail("break_minutes", "say how many minutes the break takes, or leave its times blank")
	}
	from, errFrom := time.Parse("15:04", f.BreakFrom)
	to, errTo := time.Parse("15:04", f.BreakTo)
	if errFrom != nil {
		j.fail("break_from", "say from when the break may be, as 11:30")
	}
	if errTo != nil {
		j.fail("break_to", "say by when the break must be over, as 13:30")
	}
	if errFrom != nil || errTo != nil {
		return
	}
	span := to.Sub(from)
	if span <= 0 {
		span += 24 * time.Hour
	}
	if span < time.Duration(f.BreakMinutes)*time.Minute {
		j.fail("break_to", "a break of %d minutes does not fit between %s and %s", f.BreakMinutes, f.BreakFrom, f.BreakTo)
	}
}
