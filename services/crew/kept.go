package crew

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// Past is one thing in the history of an assembly that helps whoever stands before it.
type Past struct {
	On    events.Date `json:"on"`
	Words string      `json:"words"`
}

// KitAtHand is repair kits of one code that fit the assembly, by where they lie.
type KitAtHand struct {
	Code  string `json:"code"`
	Where string `json:"where"`
	Count int    `json:"count"`
	Mine  bool   `json:"mine,omitempty" doc:"reserved for this very job"`
}

// pastKept is how many entries a phone keeps of each assembly.
const pastKept = 8

// past tells tests, failures and visits of all jobs of an assembly, the newest first.
func past(b *events.Book, people *words.People, a *events.Assembly) []Past {
	list := []Past{}
	zone := words.Zone(b, a.Site)
	for i := range a.Jobs {
		j := &a.Jobs[i]
		tested := map[events.Date]bool{}
		for _, t := range j.Tests {
			on := events.DateIn(t.At, zone)
			tested[on] = true
			list = append(list, Past{on, words.SentenceIn(b, people, events.Tested{Job: j.ID, Crew: t.Crew, Test: t.Test}, zone)})
		}
		for _, x := range j.Attempts {
			if !tested[x.On] {
				list = append(list, Past{x.On, words.Plain(string(x.Outcome))})
			}
		}
	}
	if !a.LastPassed.IsZero() {
		list = append(list, Past{a.LastPassed, "passed, as the record says"})
	}
	slices.SortStableFunc(list, func(x, y Past) int { return strings.Compare(y.On.String(), x.On.String()) })
	return list[:min(len(list), pastKept)]
}

// kitsAtHand are the free repair kits that fit an assembly, and those reserved for this job.
func kitsAtHand(b *events.Book, a *events.Assembly, job events.JobID) []KitAtHand {
	codes := words.KitCodes(b, a)
	counts := map[KitAtHand]int{}
	for _, k := range b.Kits {
		mine := k.For != nil && *k.For == events.JobRef{Assembly: a.ID, Job: job}
		if slices.Contains(codes, k.Code) && (k.Free() || mine) && k.Promised.IsZero() {
			counts[KitAtHand{Code: k.Code, Where: whereWords(b, k.Where), Mine: mine}]++
		}
	}
	list := []KitAtHand{}
	for kit, n := range counts {
		kit.Count = n
		list = append(list, kit)
	}
	slices.SortFunc(list, func(x, y KitAtHand) int {
		if x.Mine != y.Mine {
			if x.Mine {
				return -1
			}
			return 1
		}
		return cmp.Or(strings.Compare(x.Code, y.Code), strings.Compare(x.Where, y.Where))
	})
	return list
}

func whereWords(b *events.Book, where string) string {
	if c := b.Crews[events.CrewID(where)]; c != nil {
		return "truck of " + c.Name
	}
	return cmp.Or(where, "where is not on record")
}

// nextDay is the crew's next working day, which its phone keeps as well; the day after when it works on none within two
// weeks.
func nextDay(c *events.Crew, date events.Date) events.Date {
	for ahead := 1; ahead <= 14; ahead++ {
		day := date.AddDays(ahead)
		if _, works, err := planner.WorkingSpan(c, day); err == nil && works && c.OffOn(day) == "" {
			return day
		}
	}
	return date.AddDays(1)
}

// leftAt is when the crew left the site on the day; nil when it did not, or is back there.
func leftAt(b *events.Book, site *events.Site, crew events.CrewID, date events.Date) *time.Time {
	left := site.LeftBy(crew)
	if left == nil || events.DateIn(left.Since, words.Zone(b, site.ID)) != date {
		return nil
	}
	return &left.Since
}
