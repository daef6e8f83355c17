package crew

import (
	"fmt"
	"slices"
	"strings"

	"valveround/events"
	"valveround/planner"
)

// cautions are short and say who decides. They are common practice unless a source is named; local code and the certified
// procedure come first.
func cautions(b *events.Book, v events.DayVisit) []string {
	var list []string
	add := func(text string) {
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	add("Close and reopen slowly, counting turns; bleed the air before the valve is full open.")
	for _, dj := range v.Jobs {
		a := b.Assemblies[dj.Assembly]
		if a == nil {
			continue
		}
		if f := b.Feeds[a.Feed]; f != nil && f.Fire {
			add("Fire protection goes out of service (NFPA 25: an impairment): the impairment coordinator says yes first; alarm company and fire department are told; tags on. Local fire code decides.")
		}
		add(careOfSite(b.Sites[a.Site]))
		if dj.Work == string(planner.RepairWork) {
			add("Springs are under load: both shut-offs shut and locked or tagged, cocks open and dry, before a cover comes off.")
		}
		add(careOfVault(a.Vault))
		add(turnsToClose(a))
		if a.Type.HasRelief() {
			add("An RP can dump much water: check the drain first. Never plug the relief port. Water from the port is no proof of a failure.")
		}
	}
	for _, off := range v.WaterOff {
		for _, other := range b.HangingWith(off.Feed) {
			if f := b.Feeds[off.Feed]; f.Manifold != "" && other.Manifold == f.Manifold {
				add("Prove " + other.Name + " open and flowing before " + f.Name + " is shut. The site's responsible person decides.")
			}
		}
	}
	return list
}

func careOfVault(v events.Vault) string {
	switch v {
	case events.PermitVault:
		return "Permit-required confined space (OSHA, 29 CFR 1910.146): air tested, attendant outside who does nothing else, rescue arranged. The entry supervisor decides; without the permit nobody goes in."
	case events.OpenVault:
		return "Vault or pit: check air, water and ladder before going in. If in doubt it is a confined space (29 CFR 1910.146)."
	}
	return ""
}

func careOfSite(s *events.Site) string {
	if s == nil {
		return ""
	}
	use := strings.ToLower(s.Use)
	if strings.Contains(use, "hospital") || strings.Contains(use, "dialysis") || strings.Contains(use, "clinic") {
		return "Patients may depend on this water: the site's engineer is present and says yes before anything is shut; dialysis and sterile supply are told."
	}
	return ""
}

// turnsToClose helps to know when an old gate valve is shut: 3 turns an inch of size, plus 2 or 3 to seat (a tester's
// published article on RP tests, whose example is 27 turns for 8 in).
func turnsToClose(a *events.Assembly) string {
	if eighths := int(a.Size); eighths >= 20 { // 2-1/2 in and over: flanged, with gate valves (common practice)
		turns := (3*eighths + 7) / 8
		return fmt.Sprintf("An old gate valve of %s takes about %d to %d turns to close; fewer, and it is not shut.", a.Size, turns+2, turns+3)
	}
	return ""
}
