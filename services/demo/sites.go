package demo

import (
	"fmt"
	"slices"

	"valveround/events"
	"valveround/geo"
)

type site struct {
	id    events.SiteID
	facts events.SiteFacts
	use   *use
	hours useHours
	town  int
	feeds []*feed
	units []*unit
	code  string // of the gate; never in the log
}

type feed struct {
	id    events.FeedID
	facts events.FeedFacts
	up    *feed // in series: the feed this one is fed from
}

type unit struct {
	id    events.AssemblyID
	facts events.AssemblyFacts
	site  *site
	feed  *feed
	role  *role // nil: nothing is owed now
}

// builder furnishes one site.
type builder struct {
	dice
	o    Options
	site *site
	nth  int // of its use
}

func (b *builder) window() string { return b.site.hours.shutdown }

func (b *builder) size(eighths ...events.Size) events.Size { return pick(b.dice, eighths) }

func (b *builder) either(p float64, one, other events.AssemblyType) events.AssemblyType {
	if b.chance(p) {
		return one
	}
	return other
}

func (b *builder) hazard(health float64) events.Hazard {
	switch {
	case b.chance(0.04):
		return events.UnknownHazard
	case b.chance(health):
		return events.Health
	}
	return events.NonHealth
}

func (b *builder) imminent(p float64) events.Hazard {
	if b.chance(p) {
		return events.Imminent
	}
	return events.Health
}

func (b *builder) feed(name, window string) *feed {
	f := &feed{facts: events.FeedFacts{Site: b.site.id, Name: name, ShutdownWindow: window}}
	b.site.feeds = append(b.site.feeds, f)
	return f
}

// inner is a feed in series: it needs the upstream one live.
func (b *builder) inner(name string, from *feed) *feed {
	f := b.feed(name, b.window())
	f.up = from
	return f
}

func (b *builder) add(f *feed, t events.AssemblyType, size events.Size, s events.Service, h events.Hazard, where string) *unit {
	m := pick(b.dice, makers)
	u := &unit{site: b.site, feed: f, facts: events.AssemblyFacts{Site: b.site.id, Type: t, Size: size, Service: s, Hazard: h, Place: where}}
	if t != events.AirGap {
		u.facts.Maker, u.facts.Model, u.facts.Serial = m.name, m.model(t, size), m.serial(b.dice)
		if b.chance(0.025) {
			u.facts.Serial, u.facts.SerialDoubt = damaged(b.dice, u.facts.Serial)
		}
	}
	if t.IsDetector() {
		small := events.DC
		if t == events.RPDA || t == events.RPDA2 {
			small = events.RP
		}
		u.facts.Bypass = &events.BypassFacts{Maker: m.name, Size: events.InchSize(0, 6), Model: m.model(small, 6), Serial: m.serial(b.dice)}
	}
	b.site.units = append(b.site.units, u)
	return u
}

// vault puts a unit underground.
func (b *builder) vault(p float64, u *unit) {
	if !b.chance(p) {
		return
	}
	u.facts.Vault = events.OpenVault
	u.facts.Place = "pit with a hinged cover"
	if b.chance(0.4) {
		u.facts.Vault, u.facts.Place = events.PermitVault, "deep vault, ladder, permit entry"
		b.site.facts.Caution = "Permit-required vault: air test, attendant outside who does nothing else, rescue arranged. Local code and the entry supervisor decide."
	}
	if b.site.facts.Position.IsSet() {
		u.facts.Position = offset(b.site.facts.Position, geo.Metres(b.between(-90, 90)), geo.Metres(b.between(-90, 90)))
	}
}

func (b *builder) fireLine() {
	f := b.feed("fire line", pick(b.dice, []string{"Mo-Fr 09:00-15:00", "Mo-Fr 08:00-16:00", "Mo-Th 09:30-14:30"}))
	f.facts.Fire = true
	t := pick(b.dice, []events.AssemblyType{events.DCDA, events.DCDA, events.DCDA2, events.DC, events.RPDA, events.RPDA2})
	h := events.NonHealth
	if t == events.RPDA || t == events.RPDA2 {
		h = events.Health // antifreeze
	}
	b.vault(0.3, b.add(f, t, b.size(32, 32, 48, 48, 64), events.Fire, h, "sprinkler riser room"))
}

var seasons = []string{"Apr-Oct", "Mar-Nov", "Apr-Sep", "May-Oct"}

func (b *builder) irrigation() {
	f := b.feed("irrigation", pick(b.dice, []string{"Mo-Fr 06:00-16:00", "Mo-Sa 06:00-14:00", "Mo-Fr 07:00-15:00"}))
	f.facts.Season = pick(b.dice, seasons)
	in := inSeason(f.facts.Season, b.o.Today)
	if live := in && !b.chance(0.07); !in || !live || b.chance(0.5) {
		f.facts.Pressurised = &live
	}
	t, size := pick(b.dice, []events.AssemblyType{events.PVB, events.PVB, events.RP, events.RP, events.DC, events.SVB}), b.size(6, 8, 8, 12, 16)
	if t == events.SVB {
		size = min(size, 8) // made up to 1 in
	}
	b.add(f, t, size, events.Irrigation, b.hazard(0.6), "green box by the road")
}

// inSeason reads the month ranges of seasons above.
func inSeason(season string, on events.Date) bool {
	first, last := map[string]int{"Mar": 3, "Apr": 4, "May": 5}[season[:3]], map[string]int{"Sep": 9, "Oct": 10, "Nov": 11}[season[4:]]
	_, month, _ := on.YMD()
	return int(month) >= first && int(month) <= last
}

// makeSites furnishes exactly the wanted number of sites with exactly the wanted number of assemblies: what is missing after
// the usual equipment is added inside, what is too much is taken away.
func makeSites(o Options, towns []Town) []*site {
	d := newDice(o.Seed, "sites")
	var sites []*site
	builders := map[*site]*builder{}
	counts := map[string]int{}
	total := 0
	for i := range o.Sites {
		s := &site{id: events.SiteID(fmt.Sprintf("s-%05d", i+1)), use: useOf(d, i)}
		s.locate(d, o, towns)
		b := &builder{d, o, s, counts[s.use.name]}
		counts[s.use.name]++
		s.use.layout(b)
		builders[s] = b
		sites = append(sites, s)
		total += len(s.units)
	}
	others := sites[min(1, len(sites)-1):] // the first is the story's and stays simple
	for ; total < o.Assemblies; total++ {
		extra(builders[pick(d, others)])
	}
	for total > o.Assemblies {
		if s := pick(d, others); len(s.units) > 1 {
			s.units = s.units[:len(s.units)-1]
			total--
		}
	}
	number(sites)
	return sites
}

// useOf draws a use; the first few sites make sure that the rare ones are there.
func useOf(d dice, i int) *use {
	switch i {
	case 0:
		return &storyUse
	case 3, 8:
		return useNamed("hospital")
	case 5:
		return useNamed("campus")
	}
	return &uses[weighted(d, len(uses), func(i int) int { return uses[i].weight })]
}

func (s *site) locate(d dice, o Options, towns []Town) {
	var at geo.Point
	s.town, at = place(d, o, towns)
	u := s.use
	s.hours = pick(d, u.hours)
	if u == &storyUse {
		s.town, at = 1, offset(towns[1].Position, 700, 400)
	}
	s.facts = events.SiteFacts{Use: u.name, Zone: o.Zone, AccessHours: s.hours.access, NoticeDays: pick(d, u.notice), Position: at,
		PositionSource: events.AddressPoint,
		Address:        fmt.Sprintf("%d %s %s, %s", d.between(2, 980), pick(d, streetNames), pick(d, streetKinds), towns[s.town].Name)}
	switch n := d.IntN(100); {
	case n < 12:
		s.facts.PositionSource = events.Surveyed
	case u == &storyUse:
	case n < 22:
		s.facts.PositionSource = events.StreetCentre
	case n < 27:
		s.facts.PositionSource = events.Approximate
	case n < 29 && u.name != "hospital" && u.name != "campus":
		s.facts.PositionSource, s.facts.Position = events.NoPosition, geo.Point{}
	}
	if d.chance(0.15) {
		s.facts.Access = pick(d, []string{"Report to the front desk.", "Use the gate on the service road.", "Ring the bell at the loading dock.", "Ask for the caretaker."})
	}
	if d.chance(0.1) {
		s.code = fmt.Sprintf("%04d", d.IntN(10_000))
		s.facts.Access = "Gate with a code; the code is kept with the site's contacts."
	}
}

// number gives ids, ties feeds in series to each other and drops feeds that feed nothing.
func number(sites []*site) {
	feeds, units := 0, 0
	for _, s := range sites {
		s.dropIdleFeeds()
		for _, f := range s.feeds { // upstream feeds come first
			feeds++
			f.id = events.FeedID(fmt.Sprintf("f-%06d", feeds))
			if f.up != nil {
				f.facts.FedFrom = f.up.id
			}
		}
		for _, u := range s.units {
			units++
			u.id = events.AssemblyID(fmt.Sprintf("a-%06d", units))
			u.facts.Feed = u.feed.id
		}
	}
}

func (s *site) dropIdleFeeds() {
	used, legs := map[*feed]bool{}, 0
	for _, u := range s.units {
		for f := u.feed; f != nil; f = f.up {
			used[f] = true
		}
	}
	s.feeds = slices.DeleteFunc(s.feeds, func(f *feed) bool { return !used[f] })
	for _, f := range s.feeds {
		if f.facts.Manifold != "" {
			legs++
		}
	}
	for _, f := range s.feeds {
		if legs == 1 {
			f.facts.Manifold = "" // one leg is no manifold
		}
	}
}

// assign gives every assembly to the purveyor of its town, with that purveyor's number.
func assign(o Options, sites []*site, towns []Town, purveyors []purveyor) {
	d := newDice(o.Seed, "numbers")
	count := make([]int, len(purveyors))
	for _, s := range sites {
		p := purveyors[towns[s.town].purveyor]
		for _, u := range s.units {
			u.facts.Purveyor = p.id
			count[towns[s.town].purveyor]++
			if !d.chance(0.01) {
				u.facts.PurveyorNumber = p.number(count[towns[s.town].purveyor])
			}
		}
	}
}
