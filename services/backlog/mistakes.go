package backlog

import (
	"valveround/events"
	"valveround/services/words"
)

// mistake is what an entry says about an earlier one.
type mistake struct {
	about events.EventID
	whole bool // about every event of the same command: a result
	words string
}

// mistakeOf says which earlier entry an event speaks of; nil when of none.
func mistakeOf(event any) *mistake {
	switch e := event.(type) {
	case events.AssemblyEntryCorrected:
		return &mistake{e.About, false, e.Words}
	case events.SiteEntryCorrected:
		return &mistake{e.About, false, e.Words}
	case events.FeedEntryCorrected:
		return &mistake{e.About, false, e.Words}
	case events.ReadingsCorrected:
		return &mistake{e.About, false, "readings corrected by the tester" + words.After(": ", e.Why)}
	case events.ResultVoided:
		return &mistake{e.About, true, "does not count" + words.After(": ", e.Why)}
	}
	return nil
}

// markMistakes puts beside each entry what a later one that counts says is wrong with it.
func markMistakes(entries []HistoryEntry) {
	for i, later := range entries {
		if later.about == nil || later.Void {
			continue
		}
		for k := range entries[:i] {
			e := &entries[k]
			if e.Event == later.about.about || later.about.whole && e.Event.CommandKey() == later.about.about.CommandKey() {
				e.Mistake = later.about.words
			}
		}
	}
}
