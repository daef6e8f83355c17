package demo

import (
	"reflect"

	"valveround/events"
)

// Batches bundles the commands, in order, so that each bundle may be decided on one book and stored at once: at most most
// commands (at least one), all of one sort, no two about one entity.
func (f Fleet) Batches(most int) [][]events.Command {
	var batches [][]events.Command
	var now []events.Command
	touched := map[string]bool{}
	flush := func() {
		if len(now) > 0 {
			batches = append(batches, now)
		}
		now, touched = nil, map[string]bool{}
	}
	for _, c := range f.Commands {
		about := entityOf(c.Do)
		if len(now) > 0 && (len(now) >= most || reflect.TypeOf(now[0].Do) != reflect.TypeOf(c.Do) || touched[about]) {
			flush()
		}
		now = append(now, c)
		touched[about] = true
	}
	flush()
	return batches
}

// entityOf names what a command changes, among commands of its own sort.
func entityOf(do any) string {
	switch do := do.(type) {
	case events.Put[events.AssemblyFacts]:
		return do.ID
	case events.Put[events.SiteFacts]:
		return do.ID
	case events.Put[events.FeedFacts]:
		return do.ID
	case events.Put[events.CrewFacts]:
		return do.ID
	case events.Put[events.GaugeFacts]:
		return do.ID
	case events.Put[events.KitFacts]:
		return do.ID
	case events.Put[events.PurveyorFacts]:
		return do.ID
	case events.Put[events.CustomerFacts]:
		return do.ID
	case events.Put[events.PersonFacts]:
		return do.ID
	case events.ListDue:
		return string(do.Assembly)
	case events.EchoDispatch:
		return string(do.Assembly)
	case events.FinishJob:
		return string(do.Assembly)
	case events.QuestionJob:
		return string(do.Assembly)
	case events.SayYesToRepair:
		return string(do.Assembly)
	case events.WantParts:
		return string(do.Assembly)
	case events.FileReport:
		return string(do.Assembly)
	case events.AcceptReport:
		return string(do.Assembly)
	case events.Withdraw:
		return string(do.Assembly)
	case events.GiveNotice:
		return string(do.Site)
	case events.LeaveFeed:
		return string(do.Feed)
	case events.ReceiveList:
		return string(do.Purveyor)
	}
	return "" // few and far between: one a bundle
}
