package positions

import (
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/positions/postal"
)

// Place is a position that somebody takes for a site: a proposal, pasted coordinates, a click on the map.
type Place struct {
	Site   events.SiteID
	At     geo.Point
	Source events.PositionSource
	Words  string // what it was matched by
}

// SureEnough are the proposals at least so sure, as places to take: the sure ones, or the likely ones too. Anything else
// takes none; what somebody must look at is never taken unseen.
func SureEnough(list []Proposal, least postal.Sure) []Place {
	var places []Place
	for _, p := range list {
		if (least == postal.Certain || least == postal.Likely) && p.Sure.AtLeast(least) {
			places = append(places, Place{Site: p.Site, At: p.At, Source: p.Source, Words: p.Words})
		}
	}
	return places
}

// Refused is a place that was not taken, and why.
type Refused struct {
	Site  events.SiteID
	Words string
}

// Commands turns places into corrections of the sites' records as they are now; each has an id of its own that follows
// from the given one, so that sending them again changes nothing. A position that is surer than the one offered is kept.
func Commands(b *events.Book, office events.OfficeID, id events.CommandID, actor events.PersonID, now time.Time, places []Place) ([]events.Command, []Refused) {
	var commands []events.Command
	var refused []Refused
	seen := map[events.SiteID]bool{}
	for _, p := range places {
		if words := fault(b, office, p, seen[p.Site]); words != "" {
			refused = append(refused, Refused{p.Site, words})
			continue
		}
		seen[p.Site] = true
		facts := b.Sites[p.Site].SiteFacts
		facts.Position, facts.PositionSource = p.At, p.Source
		commands = append(commands, events.Command{ID: events.DeriveCommandID(id, "position:"+string(p.Site)), Actor: actor, Office: office, Happened: now,
			Do: events.Put[events.SiteFacts]{ID: string(p.Site), Facts: facts, Why: why(p)}})
	}
	return commands, refused
}

// sources a position may be marked with.
var sources = []events.PositionSource{events.Surveyed, events.AddressPoint, events.StreetCentre, events.Approximate}

func fault(b *events.Book, office events.OfficeID, p Place, again bool) string {
	site := b.Sites[p.Site]
	switch {
	case site == nil || site.Office != office:
		return fmt.Sprintf("there is no site %s", p.Site)
	case again:
		return site.Name + " is placed twice; the first place is taken"
	case !p.At.IsSet():
		return site.Name + ": no position is given"
	case !slices.Contains(sources, p.Source):
		return fmt.Sprintf("%s: %q does not say how sure the position is", site.Name, p.Source)
	case rank(site.PositionSource, site.Position) < rank(p.Source, p.At):
		return fmt.Sprintf("%s: its position on record is surer (%s)", site.Name, site.PositionSource)
	}
	return ""
}

func why(p Place) string {
	text := "placed by " + map[events.PositionSource]string{events.Surveyed: "hand", events.AddressPoint: "an address point", events.StreetCentre: "the centre of its street",
		events.Approximate: "an approximate position"}[p.Source]
	if p.Words != "" {
		text += ": " + p.Words
	}
	return text
}
