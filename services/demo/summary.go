package demo

import (
	"fmt"
	"slices"
	"strings"

	"valveround/events"
)

// Summary says in some lines what the county holds.
func (f Fleet) Summary() string {
	assemblies, feeds, notOurs, asked, late, inVaults, drained := 0, 0, 0, 0, 0, 0, 0
	parts, stages := map[part]int{}, map[events.Stage]int{}
	for _, s := range f.sites {
		assemblies += len(s.units)
		for _, fd := range s.feeds {
			feeds++
			if fd.facts.Pressurised != nil && !*fd.facts.Pressurised {
				drained++
			}
		}
		for _, u := range s.units {
			if u.facts.Vault != events.NoVault {
				inVaults++
			}
			if u.role == nil {
				continue
			}
			parts[u.role.part]++
			stages[u.role.slot.stage]++
			switch {
			case u.role.standing == events.NotOurs:
				notOurs++
			case u.role.standing == events.Ask:
				asked++
			case u.role.part == isDue && u.role.due.Before(f.Options.Today):
				late++
			}
		}
	}
	var names []string
	for _, p := range f.purveyors {
		names = append(names, p.facts.Name)
	}
	kinds := map[string]int{}
	for _, c := range f.Commands {
		if do, ok := c.Do.(events.LeaveFeed); ok && do.Left() {
			kinds[string(do.Service)]++
		}
	}
	var left []string
	for _, service := range []events.ServiceState{events.Shut, events.Impaired} {
		left = append(left, fmt.Sprintf("%d %s", kinds[string(service)], service))
	}
	places, booked := 0, 0
	for _, s := range f.sites {
		places += len(s.facts.Needs)
		for _, fd := range s.feeds {
			places += len(fd.facts.Needs)
		}
	}
	for _, c := range f.Commands {
		if do, ok := c.Do.(events.AskBooking); ok && do.Answer == events.AnswerBooked {
			booked += len(do.Places)
		}
	}
	lines := []string{
		fmt.Sprintf("%s, invented, seed %d, as of %s (%s): %d crews, %d sites in and round %d towns, %d feeds, %d assemblies.",
			countyName, f.Options.Seed, f.Options.Today, f.Options.Zone, f.Options.Crews, len(f.sites), len(f.Towns), feeds, assemblies),
		"Purveyors: " + strings.Join(names, "; ") + ".",
		fmt.Sprintf("Due and to be planned: %d, of which %d past their date, %d not ours, %d to be asked. Due soon and on no list yet: %d.",
			parts[isDue]+parts[isMissed], late, notOurs, asked, parts[isUnlisted]),
		fmt.Sprintf("Open failures: %d. No parts needed or yes awaited: %d; parts pending: %d; parts ready: %d.",
			parts[isFailed], stages[events.StageFailedRetest], stages[events.StagePartsPending], stages[events.StagePartsReady]),
		fmt.Sprintf("Stopped: %d. Passed, report owed: %d. Reported: %d. Returned: %d. Accepted: %d. Withdrawn: %d.",
			parts[isStopped], parts[isPassed], parts[isReported], parts[isReturned], parts[isAccepted]+parts[isRepaired], parts[isGone]),
		fmt.Sprintf("Feeds left: %s; drained: %d. In vaults: %d assemblies.", strings.Join(slices.Clip(left), ", "), drained, inVaults),
		fmt.Sprintf("Others must bring something at %d places; for %d of them they are booked.", places, booked),
		fmt.Sprintf("To follow from list to return visit: %s of %s, assembly %s, due %s.", f.Story.PurveyorNumber, f.Story.Purveyor, f.Story.Assembly, f.Story.Due),
	}
	return strings.Join(lines, "\n") + "\n"
}
