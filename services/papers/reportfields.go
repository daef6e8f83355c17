package papers

import (
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
	name, address, owner, represented := string(w.a.Site), "", "", ""
	if s != nil {
		name, address = s.Name, s.Address
		if c := w.b.Customers[s.Customer]; c != nil {
			owner = c.Name
		}
		if len(s.Contacts) > 0 {
			represented = w.cfg.People.Name(s.Contacts[0].Person)
		}
	}
	return Section{"Site", []Field{{"Facility", name}, {"Service address", address}, {"Owner or manager", owner}, {"Representative at the site", represented},
		{"Mailing address", ""}, {"Account number", ""}, {"County, block and lot", ""}}}
}

func (w reporting) hazard() Section {
	feed := ""
	if f := w.b.Feeds[w.a.Feed]; f != nil {
		feed = f.Name
	}
	return Section{"Hazard", []Field{{"Hazard behind the assembly", string(w.a.Hazard)}, {"Service", string(w.a.Service)},
		{"Feed", feed}, {"Zone or equipment isolated", ""}}}
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
	fields := []Field{{"Approved model when installed", ""}, {"Orientation", ""}, {"Height above the floor", ""}, {"Safe from frost and flooding", ""},
		{"Bypasses, or outlets before it", ""}, {"Vault", vault}}
	if w.a.Type.HasRelief() {
		fields = append(fields, Field{"Air gap below the relief", ""})
	}
	return Section{"Installation", fields}
}

func (w reporting) meters() Section {
	fields := []Field{{"Water meter number", ""}, {"Water meter reading", ""}}
	if w.a.Type.IsDetector() {
		fields = append(fields, Field{"Detector meter number", ""}, Field{"Detector meter reading", ""})
	}
	return Section{"Meters", fields}
}

func (w reporting) fire() Section {
	open := ""
	if left := w.left(); left != nil && len(left.Valves) > 0 {
		open = "yes"
		for _, v := range left.Valves {
			if v.State != events.ValveOpen {
				open = "no: see how it was left"
			}
		}
	}
	return Section{"Fire line", []Field{{"Forward flow, design gpm", ""}, {"Forward flow, actual gpm", ""}, {"Control valves open", open}, {"Valves locked or supervised", ""}}}
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
