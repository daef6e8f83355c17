package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"valveround/events"
)

// listed says how a job came, moved and went without a visit.
func (t teller) listed(event any) string {
	switch e := event.(type) {
	case events.Due:
		by := ""
		if !e.Due.IsZero() {
			by = " by " + Day(e.Due)
		}
		earliest := ""
		if !e.Earliest.IsZero() {
			earliest = "It counts from " + Day(e.Earliest) + " on"
		}
		return sentences(upper(kind(e.Kind))+" due"+by+After(", so says ", e.List), earliest, standing(e.Standing))
	case events.DeadlineMoved:
		from := ""
		if !e.From.IsZero() {
			from = " from " + Day(e.From)
		}
		return ended("Due date moved" + from + " to " + Day(e.To) + After(", so says ", e.List))
	case events.BeforeUseOwed:
		if !e.By.Known {
			return ended("To be tested before it is used again, on a day that is " + cmp.Or(e.By.Rule, "not known"))
		}
		return sentences("To be tested "+e.By.Rule, "A test counts from "+Day(e.CountsFrom)+" on")
	case events.BeforeUseLifted:
		return ended("No test is owed any more for want of use" + After(": ", e.Words))
	case events.Ordered:
		return ended(standing(e.Standing) + After(": ", e.Why))
	case events.Questioned:
		return ended("To ask: " + e.Words)
	case events.NotCredited:
		return ended("Listed as due by " + Day(e.Due) + " although it passed on " + Day(e.Passed) + After(", so says ", e.List) + ": send the report again")
	case events.Dispatched:
		return ended("Sent out for " + Day(e.Date) + " with " + t.crew(e.Crew))
	case events.StoodDown:
		return ended("Taken off the day it was sent out for" + After(": ", e.Why))
	case events.WayCleared:
		return ended("What stopped it is out of the way" + After(": ", e.Words))
	case events.Withdrawn:
		return ended("Over without a test" + After(": ", e.Why))
	}
	return ""
}

func kind(k events.JobKind) string {
	switch k {
	case "":
		return "test"
	case events.NewInstall:
		return "first test after installation"
	case events.ReOccupancy:
		return "test before the building is used again"
	case events.BeforeUseAgain:
		return "test before it is used again"
	case events.Discharging:
		return "test because the relief discharges"
	case events.AfterFreeze:
		return "test after a freeze"
	case events.ReturnVisit:
		return "return visit"
	case events.AfterRepair:
		return "test after a repair"
	case events.SeasonStart:
		return "test at the start of the season"
	}
	return Plain(string(k))
}

func standing(s events.Standing) string {
	switch s {
	case events.Ours:
		return "The job is ours"
	case events.NotOurs:
		return "The job is not ours"
	}
	return "Ask whether the job is ours"
}

// tested says who tested with what, every reading as read, and both verdicts.
func (t teller) tested(event any) string {
	e, ok := event.(events.Tested)
	if !ok {
		return ""
	}
	gauge := string(e.Gauge)
	if g := t.b.Gauges[e.Gauge]; g != nil && g.Serial != "" {
		gauge = g.Serial
	}
	who := ""
	if e.Tester != "" {
		who = " by " + t.people.Name(e.Tester)
	}
	return sentences(verb(e.Test)+who+After(" with gauge ", gauge)+After(": ", readings(e.Test)), buffer(e.Computed), verdicts(e.Test))
}

// verb tells the first test from the one after a repair.
func verb(t events.Test) string {
	for _, r := range t.Readings {
		if r.Phase != events.Final {
			return "Tested"
		}
	}
	if len(t.Readings) == 0 {
		return "Tested"
	}
	return "Retested after the repair"
}

func readings(t events.Test) string {
	var said []string
	if t.LinePressure != nil {
		said = append(said, fmt.Sprintf("line pressure %s %s", t.LinePressure, t.LinePressureUnit))
	}
	for _, s := range []struct {
		name   string
		result events.Result
	}{{"No. 1 shut-off", t.ShutOff1}, {"No. 2 shut-off", t.ShutOff2}} {
		if s.result != "" {
			said = append(said, s.name+" "+Plain(string(s.result)))
		}
	}
	for _, r := range t.Readings {
		said = append(said, Reading(r))
	}
	return list(said...)
}

// Reading says one reading with its unit as read: relief opened at 2.0 psid; check 2 held.
func Reading(r events.Reading) string {
	text := r.Component.Name()
	if r.Part == events.BypassPart && r.Component != events.BypassCheck {
		text = "bypass " + text
	}
	text += After(" ", Plain(string(r.Result)))
	if r.Number != nil {
		if r.Result == events.Opened || r.Result == events.Held {
			text += " at"
		}
		text += fmt.Sprintf(" %s %s", r.Number, r.Unit)
	}
	if r.FullyOpen != nil && !*r.FullyOpen {
		text += ", not fully open"
	}
	return strings.TrimSpace(text)
}

func buffer(v *events.Verdict) string {
	if v == nil || v.Buffer == nil {
		return ""
	}
	return fmt.Sprintf("Check 1 was %s %s above the relief's opening", v.Buffer, v.BufferUnit)
}

// verdicts puts the tester's and the computed one side by side.
func verdicts(t events.Test) string {
	tester := ""
	if t.Says != "" {
		tester = "Tester says " + Plain(string(t.Says))
	}
	if t.Computed == nil {
		return tester
	}
	profile := string(t.Profile)
	if profile == "" {
		profile = "the strictest criteria"
	}
	computed := profile + " says " + Plain(string(t.Computed.Opinion()))
	if tester == "" {
		return upper(computed)
	}
	text := tester + "; " + computed
	if t.Disagrees() {
		text += bracketed(strings.Join(t.Computed.Why(), "; ")) + ": both are kept"
	}
	return text
}

// outcome says the verdict of a visit, a new unit, and by when what follows is owed.
func (t teller) outcome(event any) string {
	switch e := event.(type) {
	case events.FailedRetest:
		return sentences("Failed"+After(": ", e.Words), Owed("Repair and retest", e.RetestBy),
			ifKnown("To be told to the purveyor by telephone by ", e.PhoneBy), ifKnown("Report of the failure owed by ", e.ReportBy))
	case events.Passed:
		what := "Passed"
		if e.Repaired {
			what = "Repaired and passed"
		}
		return sentences(what, Owed("Report", e.ReportBy))
	case events.AssemblyPhoto:
		return photo(e.Photo)
	case events.SerialDiffers:
		record := "on record is none"
		if e.Record != "" {
			record = "on record is " + e.Record
		}
		return sentences("The serial on the unit's plate"+bypassOf(e.Part)+After(" is ", e.Seen)+", "+record, upper(e.Words), "The office is asked whether to correct the record")
	case events.SerialKept:
		was := ""
		if e.Seen != "" {
			was = ", although a crew read " + e.Seen
		}
		return ended("The serial on record" + bypassOf(e.Part) + " is kept" + was + After(": ", e.Why))
	case events.Replaced:
		return sentences("Replaced"+After(": old serial ", e.OldSerial)+After(", new serial ", e.Serial)+After(", ", e.Type.Name()), "A first test of the new unit is owed")
	case events.AssemblyAlarm:
		return ended("Alarm: " + e.Words)
	case events.AssemblyAlarmSettled:
		return settled(e.AlarmSettled)
	case events.LateResult:
		if e.Same {
			return sentences(t.crew(e.Crew)+" recorded "+cmp.Or(Plain(string(e.Outcome)), "a result")+" on "+Day(e.Day)+" from a second phone, the same as is known", upper(e.Words))
		}
		return sentences(t.crew(e.Crew)+" recorded "+cmp.Or(Plain(string(e.Outcome)), "a result")+" on "+Day(e.Day)+After(": ", e.Why), upper(e.Words),
			"It came in after a later result, which stands; both are kept")
	}
	return ""
}

// Owed says a deadline and the rule it follows from; one that is not known says whom to ask.
func Owed(what string, d events.Deadline) string {
	switch {
	case d.Known:
		return what + " owed by " + By(d) + bracketed(d.Rule)
	case d.Rule == "":
		return what + " owed by a day that is not known: ask"
	}
	return what + " owed by a day that is " + d.Rule
}

func ifKnown(lead string, d events.Deadline) string {
	if !d.Known {
		return ""
	}
	return lead + By(d)
}

func bracketed(text string) string {
	if text == "" {
		return ""
	}
	return " (" + text + ")"
}

// By says the last day of a known deadline, and the hour when it ends within that day.
func By(d events.Deadline) string {
	if !d.At.IsZero() && events.DateIn(d.At, d.At.Location()) == d.On {
		return d.At.Format("15:04") + " on " + Day(d.On)
	}
	return Day(d.On)
}

// setback says the outcomes that are neither pass nor fail.
func (t teller) setback(event any) string {
	said := func(what string, s events.Setback) string {
		return sentences(what+After(": ", Reason(s.Why))+After(", ", s.Which), t.clears(s.Obstacle), upper(s.Words))
	}
	switch e := event.(type) {
	case events.CouldNotTest:
		return said("Could not be tested, neither a pass nor a fail", events.Setback(e))
	case events.NotFound:
		return said("No assembly was found where the record says", events.Setback(e))
	case events.Removed:
		return said("The assembly is gone: removed", events.Setback(e))
	case events.OwnerRefused:
		return said("The owner would not have it done", events.Setback(e))
	case events.NoAccess:
		return said("Not done: nobody let the crew in", events.Setback(e))
	case events.RanOut:
		return said("Not done: the time in which the water may be off ended first", events.Setback(e))
	case events.WrongType:
		return sentences("On record as "+typeName(e.Record)+", seen to be "+typeName(e.Seen), upper(e.Words))
	}
	return ""
}

// Reason says why a test could not be completed, with the trade's hyphen in shut-off.
func Reason(why string) string { return strings.ReplaceAll(Plain(why), "shut off", "shut-off") }

// clears says who can take an obstacle away, and from when it can be tried again.
func (t teller) clears(o events.Obstacle) string {
	from := ""
	if !o.From.IsZero() {
		from = ", from " + t.moment(o.From) + " on"
	}
	if o.Who == "" {
		return After("Can be tried again", from)
	}
	return "To be cleared by " + o.Who + from
}

func typeName(t events.AssemblyType) string { return cmp.Or(t.Name(), "a type that is not known") }

// repair says the owner's yes, the parts and the repair.
func (t teller) repair(event any) string {
	switch e := event.(type) {
	case events.RepairAuthorised:
		by := ""
		if e.By != "" {
			by = ", by " + t.people.Name(e.By)
		}
		limit := ""
		if e.LimitUSD > 0 {
			limit = fmt.Sprintf(", no more than %d USD", e.LimitUSD)
		}
		return ended("The owner said yes to the repair on " + Day(e.On) + by + After(": ", basis(e.Basis)) + limit)
	case events.Repaired:
		var done []string
		if e.Cleaned {
			done = append(done, "cleaned")
		}
		for _, p := range e.Fitted {
			if !slices.ContainsFunc(e.Components, func(c events.ComponentRepair) bool { return c.Code == p.Code }) {
				done = append(done, "fitted "+p.Code+After(" for ", p.Component.Name()))
			}
		}
		for _, c := range e.Components {
			done = append(done, ComponentRepair(c))
		}
		return sentences(repairVerb(e)+After(": ", list(done...)), upper(e.Words), "A retest comes before it counts as returned to service")
	case events.PartsPending:
		return ended("Waits for parts" + After(": ", t.parts(e.Parts)))
	case events.PartOrdered:
		return ended(cmp.Or(e.Code, "A part") + " ordered on " + Day(e.On) + After(" from ", e.Supplier) + After(", order ", e.Number))
	case events.PartPromised:
		return ended(cmp.Or(e.Code, "A part") + " promised for " + Day(e.For))
	case events.PartReceived:
		return ended(cmp.Or(e.Code, "A part") + " came" + After(", ", t.where(e.Where)) + ", and is to be reserved")
	case events.PartReserved:
		return ended(cmp.Or(e.Code, "A part") + " reserved for this job" + After(", ", t.where(e.Where)))
	case events.PartLoaded:
		return ended(cmp.Or(e.Code, "A part") + " is now" + After(" ", t.where(e.Where)))
	case events.PartReleased:
		return ended(cmp.Or(e.Code, "A part") + " is reserved for this job no more and needed again" + After(": ", e.Why))
	case events.PartWrong:
		return ended("The wrong part came" + After(" for ", e.Code) + "; it is needed again" + After(": ", e.Why))
	case events.PartsReady:
		return ended("All parts are at hand and reserved for this job" + After(": ", t.parts(e.Parts)))
	}
	return ""
}

// repairVerb tells a repair from a unit that was opened and closed again as it was.
func repairVerb(e events.Repaired) string {
	for _, c := range e.Components {
		if c.Did != events.DidClosed {
			return "Repaired"
		}
	}
	if len(e.Components) > 0 && !e.Cleaned && len(e.Fitted) == 0 {
		return "Opened and not repaired"
	}
	return "Repaired"
}

// ComponentRepair says what was done to one component: check 1 cleaned, sand or grit found.
func ComponentRepair(c events.ComponentRepair) string {
	text := c.Component.Name()
	if c.Part == events.BypassPart && c.Component != events.BypassCheck {
		text = "bypass " + text
	}
	switch c.Did {
	case events.DidCleaned:
		text += " cleaned"
	case events.DidFitted:
		text += " fitted" + After(" with ", c.Code)
	case events.DidClosed:
		text += " closed again with the old parts"
	}
	if c.Found != "" {
		text += ", " + c.Found + " found"
	}
	return strings.TrimSpace(text)
}

func basis(text string) string {
	switch text {
	case "standing":
		return "a standing yes"
	case "quote":
		return "to a quote"
	}
	return text
}

func (t teller) parts(wanted []events.PartWanted) string {
	said := make([]string, len(wanted))
	for i, p := range wanted {
		said[i] = Part(p)
		if p.Item != "" {
			said[i] = p.Code + After(" for ", p.Component.Name()) + After(", ", t.where(p.Where))
		}
	}
	return strings.Join(said, "; ")
}

// Part says a repair kit that is waited for and how far it has come.
func Part(p events.PartWanted) string {
	text := p.Code + After(" for ", p.Component.Name())
	if !p.Ordered.IsZero() {
		text += ", ordered on " + Day(p.Ordered) + After(" from ", p.Supplier) + After(", order ", p.OrderNumber)
	}
	switch p.Step() {
	case events.PartSetAside:
		return text + ", reserved for this job"
	case events.PartArrived:
		return text + ", came and is to be reserved"
	}
	if p.Promised.IsZero() {
		return text + ", no day promised"
	}
	return text + ", promised for " + Day(p.Promised)
}

// where says a place of parts: the shop, or a crew's truck.
func (t teller) where(place string) string { return Where(t.b, place) }

// Where says a place of parts: the shop, or a crew's truck.
func Where(b *events.Book, place string) string {
	if c := b.Crews[events.CrewID(place)]; c != nil {
		return "on the truck of " + c.Name
	}
	return After("at ", place)
}

// PartAt is Part with where the kit is.
func PartAt(b *events.Book, p events.PartWanted) string {
	if p.Item == "" && p.Received == "" {
		return Part(p)
	}
	return Part(p) + After(", ", Where(b, p.Where))
}

// report says what became of the report.
func (t teller) report(event any) string {
	switch e := event.(type) {
	case events.Reported:
		by := ""
		if e.By != "" {
			by = " by " + t.people.Name(e.By)
		}
		return ended("Report filed on " + Day(e.On) + by + After(", ", e.How) + After(", confirmation ", e.Confirmation))
	case events.FailureReported:
		return ended("Report of the failure filed on " + Day(e.On) + t.byPerson(e.By) + After(", ", e.How) + After(", confirmation ", e.Confirmation))
	case events.FailurePhoned:
		at := ""
		if !e.At.IsZero() {
			at = " at " + t.moment(e.At)
		}
		return sentences("The failure was told by telephone"+at+After(" to the ", e.To)+t.byPerson(e.By), upper(e.Words))
	case events.KeyedIn:
		return ended("Keyed in from a paper signed on " + Day(e.Paper.SignedOn) + t.byPerson(e.Paper.Tester) + t.keyed(e.Paper))
	case events.ReadingsCorrected:
		return sentences("The tester corrected the readings"+After(": ", readings(e.Test)), After("Why: ", e.Why), buffer(e.Test.Computed), verdicts(e.Test))
	case events.ResultVoided:
		return ended("A result does not count; the job stands where it stood before it" + After(": ", e.Why))
	case events.AssemblyEntryCorrected:
		return entryCorrected(e.Correction)
	case events.SiteEntryCorrected:
		return entryCorrected(e.Correction)
	case events.FeedEntryCorrected:
		return entryCorrected(e.Correction)
	case events.ReportAccepted:
		return "The purveyor accepted the report on " + Day(e.On) + ": the job is over."
	case events.FailureAccepted:
		return ended("The purveyor accepted the report of the failure on " + Day(e.On) + "; the repair is owed as before")
	case events.ReportReturned:
		return ended("The purveyor sent the report back on " + Day(e.On) + After(": ", e.Why))
	}
	return ""
}

func (t teller) byPerson(id events.PersonID) string {
	if id == "" {
		return ""
	}
	return " by " + t.people.Name(id)
}

func (t teller) keyed(p events.PaperResult) string {
	text := ""
	if p.KeyedBy != "" {
		text = "; keyed in by " + t.people.Name(p.KeyedBy)
	}
	if len(p.SHA256) > 12 {
		text += "; the copy is attached as " + p.SHA256[:12]
	}
	return text
}

func entryCorrected(c events.Correction) string {
	return ended("An earlier entry is a mistake" + After(": ", c.Words))
}

func bypassOf(p events.Part) string {
	if p == events.BypassPart {
		return " of the bypass"
	}
	return ""
}
