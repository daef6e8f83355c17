package intake

import (
	"cmp"
	"strings"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/words"
)

// siteDetails are whom to ask for at a new site, kept apart from the log.
type siteDetails struct {
	site events.SiteID
	words.Details
}

// notOnRecord registers what the row tells: a site without a position, a feed, the assembly, and its job, to be asked
// about unless the list says whose it is. Names of people stay out of the log: the site is named by its address.
func (p *proposing) notOnRecord(row duelist.Row, key string) RowAction {
	r := RowAction{Row: row, Action: Added, Assembly: p.assemblyID(key)}
	due, how := p.due(row, events.Date{})
	r.Due = due
	if row.Standing == events.NotOurs {
		r.Action, r.Words = NotOurs, "not on record and not ours"
		return r
	}
	site, address := p.site(&r, key)
	feed := events.FeedID(p.options.id("feed", key))
	p.register(&r, waveFeeds, "feed:"+string(feed), events.Put[events.FeedFacts]{ID: string(feed), Facts: events.FeedFacts{
		Site: site, Name: cmp.Or(row.Place, string(row.Service), row.Number, "feed"), Fire: row.Service == events.Fire}})
	p.register(&r, waveAssemblies, "assembly:"+string(r.Assembly), events.Put[events.AssemblyFacts]{ID: string(r.Assembly),
		Facts: p.facts(row, site, feed)})
	r.Words = "not on record: registered at " + address + ", position missing"
	if due.IsZero() {
		r.Words += "; no job is opened, for " + how
		return r
	}
	p.firstJob(&r, due)
	if how != "" {
		r.Words += "; " + how
	}
	return r
}

// firstJob opens the job of an assembly that is registered by the same list.
func (p *proposing) firstJob(r *RowAction, due events.Date) {
	row, standing := r.Row, cmp.Or(r.Row.Standing, events.Ask)
	do := p.listDue(row, r.Assembly, due, standing)
	r.steps = append(r.steps, step{waveJobs, "due:" + string(r.Assembly) + ":" + due.String(), do})
	if standing == events.Ask {
		r.Words += "; ask whose it is"
	}
	if row.NumberRepeated {
		ref := events.JobRef{Assembly: r.Assembly, Job: do.NewJob}
		r.steps = append(r.steps, questionStep(ref, "the list gives number "+row.Number+" to more than one assembly: ask the purveyor"))
		r.Words += "; the number is on several rows: ask the purveyor"
	}
}

// register adds a command once for the whole list.
func (p *proposing) register(r *RowAction, wave int, key string, do any) {
	if p.put[key] {
		return
	}
	p.put[key] = true
	r.steps = append(r.steps, step{wave, key, do})
}

// site is the one on record at the row's address, or a new one for it.
func (p *proposing) site(r *RowAction, rowKey string) (events.SiteID, string) {
	row := r.Row
	if s := p.registry.siteAt(row, p.options.Office); s != nil {
		return s.ID, cmp.Or(s.Name, s.Address)
	}
	address := strings.Join(nonEmpty(row.Address, row.City, row.PostCode), ", ")
	at := rowAddress(row)
	key := at.Key() + "\x1f" + at.Town
	if row.Address == "" {
		key = "of " + rowKey
	}
	id := p.options.id("site", key)
	p.register(r, waveFirst, "site:"+id, events.Put[events.SiteFacts]{ID: id, Facts: events.SiteFacts{
		Name: cmp.Or(row.Address, "address not known"), Address: address, Account: row.Account, PositionSource: events.NoPosition, Zone: p.purveyor.Zone}})
	if name := cmp.Or(row.Contact, row.Customer); name+row.Phone != "" {
		r.details = &siteDetails{events.SiteID(id), words.Details{Name: name, Phone: row.Phone}}
	}
	return events.SiteID(id), cmp.Or(address, "an address not known")
}

func (p *proposing) facts(row duelist.Row, site events.SiteID, feed events.FeedID) events.AssemblyFacts {
	facts := events.AssemblyFacts{Site: site, Feed: feed, Purveyor: p.options.Purveyor, PurveyorNumber: row.Number, Type: row.Type,
		Size: row.Main.Size, Service: row.Service, Hazard: row.Hazard, Maker: row.Main.Maker, Model: row.Main.Model,
		Serial: row.Main.Serial, SerialDoubt: row.Main.SerialDoubt, Place: row.Place, Installation: events.Installation{WaterMeter: row.Meter}}
	if row.Bypass != nil {
		facts.Bypass = &events.BypassFacts{Maker: row.Bypass.Maker, Model: row.Bypass.Model, Size: row.Bypass.Size, Serial: row.Bypass.Serial}
	}
	return facts
}

func nonEmpty(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if strings.TrimSpace(t) != "" {
			out = append(out, t)
		}
	}
	return out
}
