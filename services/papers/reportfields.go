package papers

import (
	"cmp"
	"fmt"
	"strings"

	"valveround/events"
	"valveround/services/words"
)

// sections are the fields of the form besides the test itself. Which fields there are follows the report forms and rules
// of New York (form DOH-1013, 1991), Washington (WAC 246-292-036), Illinois (35 IAC 604.1510), Wisconsin, Austin, Burnaby,
// Toronto and Iowa City; what the log does not know stays blank. A purveyor may ask for its own form.
func (w reporting) sections() []Section {
	list := []Section{w.site(), w.hazard(), w.assembly()}
	if w.a.Type.IsDetector() {
		list = append(list, w.bypass())
	}
	list = append(list, w.installation(), w.meters())
	if f := w.b.Feeds[w.a.Feed]; f != nil && f.Fire || w.a.Service == events.Fire {
		list = append(list, w.fire())
	}
	return append(list, w.asLeft())
}

func (w reporting) site() Section {
	s := w.b.Sites[w.a.Site]
	name, address, owner, represented, mail, account, parcel, order, system := string(w.a.Site), "", "", "", "", "", "", "", ""
	if p := w.b.Purveyors[w.a.Purveyor]; p != nil {
		system = p.SystemNumber
	}
	if s != nil {
		name, address, account, parcel = s.Name, s.Address, s.Account, s.Parcel
		if c := w.b.Customers[s.Customer]; c != nil {
			owner, mail, order = c.Name, c.MailingAddress, c.PurchaseOrder
		}
		if len(s.Contacts) > 0 {
			represented = w.cfg.People.Name(s.Contacts[0].Person)
		}
	}
	return Section{"Site", []Field{{"Facility", name}, {"Service address", address}, {"Owner or manager", owner}, {"Representative at the site", represented},
		{"Mailing address", mail}, {"Account number", account}, {"County, block and lot", parcel}, {"Purchase order", order}, {"Public water system number", system}}}
}

func (w reporting) hazard() Section {
	feed := ""
	if f := w.b.Feeds[w.a.Feed]; f != nil {
		feed = f.Name
	}
	return Section{"Hazard", []Field{{"Hazard behind the assembly", string(w.a.Hazard)}, {"Service", string(w.a.Service)},
		{"Feed", feed}, {"Zone or equipment isolated", w.hidden.clear(w.a.Isolates)}}}
}

func (w reporting) assembly() Section {
	standing, old := "existing", ""
	if w.job.Kind == events.NewInstall {
		standing = "new"
	}
	if x := w.story.replaced; x != nil {
		standing, old = "replacement", x.OldSerial
	} else if n := len(w.a.Serials); n > 0 {
		old = w.a.Serials[n-1]
	}
	fields := []Field{{"Purveyor's number", w.a.PurveyorNumber}, {"Type", string(w.a.Type) + ", " + w.a.Type.Name()}, {"Size", w.a.Size.String()},
		{"Maker", w.a.Maker}, {"Model", w.a.Model}, {"Serial", w.a.Serial}, {"New, existing or replacement", standing}, {"Location", w.hidden.clear(w.a.Place)}}
	if old != "" {
		fields = append(fields, Field{"Old serial", old})
	}
	return Section{"Assembly", fields}
}

func (w reporting) bypass() Section {
	var b events.BypassFacts
	if w.a.Bypass != nil {
		b = *w.a.Bypass
	}
	return Section{"Detector bypass", []Field{{"Bypass maker", b.Maker}, {"Bypass model", b.Model}, {"Bypass size", b.Size.String()}, {"Bypass serial", b.Serial}}}
}

func (w reporting) installation() Section {
	vault := map[events.Vault]string{events.OpenVault: "in a pit or vault", events.PermitVault: "in a permit-required confined space"}[w.a.Vault]
	in := w.a.Installation
	fields := []Field{{"Permit number", in.Permit}, {"Approved model when installed", string(in.Approved)}, {"Orientation", in.Orientation}, {"Height above the floor", counted(in.HeightIn, "in")},
		{"Safe from frost and flooding", in.FrostFlood}, {"Bypasses, or outlets before it", in.OutletsBefore}, {"Vault", vault}}
	if w.a.Type.HasRelief() {
		fields = append(fields, Field{"Air gap below the relief", string(in.ReliefGap)})
	}
	for i, f := range fields {
		fields[i].Value = w.hidden.clear(f.Value)
	}
	return Section{"Installation", fields}
}

// counted is a whole number with its unit; nil is not known.
func counted(n *int, unit string) string {
	if n == nil {
		return ""
	}
	return fmt.Sprintf("%d %s", *n, unit)
}

// lastTest is the newest test that counts: the final one, else the initial one; an empty one where none was made.
func (w reporting) lastTest() events.Test {
	if t := cmp.Or(w.story.final(), w.story.initial()); t != nil {
		return t.Test
	}
	return events.Test{}
}

func (w reporting) meters() Section {
	in, t := w.a.Installation, w.lastTest()
	fields := []Field{{"Water meter number", in.WaterMeter}, {"Water meter reading", t.WaterMeter}}
	if w.a.Type.IsDetector() {
		fields = append(fields, Field{"Detector meter number", in.DetectorMeter}, Field{"Detector meter reading", t.DetectorMeter})
	}
	return Section{"Meters", fields}
}

func (w reporting) fire() Section {
	open, secured := "", ""
	if left := w.left(); left != nil && len(left.Valves) > 0 {
		open = "yes"
		for _, v := range left.Valves {
			if v.State != events.ValveOpen {
				open = "no: see how it was left"
			}
			if v.Secured != "" {
				secured += words.After("; ", v.Name+" "+v.Secured)
			}
		}
	}
	return Section{"Fire line", []Field{{"Forward flow, as designed", counted(w.a.Installation.DesignFlowGPM, "gpm")}, {"Forward flow, as measured", counted(w.lastTest().ForwardFlowGPM, "gpm")},
		{"Control valves open", open}, {"Valves locked or supervised", strings.TrimPrefix(secured, "; ")}}}
}

// asLeft is a fact of its own, never inferred from the verdict: blank where it was not recorded.
func (w reporting) asLeft() Section {
	service, valves, told := "", "", ""
	if left := w.left(); left != nil {
		service = words.Plain(string(left.Service))
		var list []string
		for _, v := range left.Valves {
			state := string(v.State)
			if v.State == events.ValvePartly {
				state = "partly open"
			}
			list = append(list, v.Name+" "+state)
		}
		valves, told = strings.Join(list, ", "), strings.Join(left.Told, ", ")
	}
	return Section{"As left", []Field{{"Service", service}, {"Shut-offs", valves}, {"Told", told}}}
}

// left is how the feed was left on the day of the last test; nil when that is not recorded, or has changed since.
func (w reporting) left() *events.Condition {
	f := w.b.Feeds[w.a.Feed]
	last := w.story.final()
	if last == nil {
		last = w.story.initial()
	}
	if f == nil || f.AsLeft == nil || last == nil || events.DateIn(f.LeftAt, w.loc) != events.DateIn(last.at, w.loc) {
		return nil
	}
	return f.AsLeft
}
