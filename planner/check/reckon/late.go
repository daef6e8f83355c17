package reckon

import (
	"math"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
)

// Behind is by how many whole minutes a crew is behind its plan, and with what chance. The last entry is all that is more.
type Behind []float64

// mostBehind is how many minutes are told apart.
const mostBehind = 12 * 60

// OnTime is a crew that is not behind.
func OnTime() Behind { return append(Behind{1}, make(Behind, mostBehind)...) }

// Waited is the crew after a wait that its plan holds, in whole minutes.
func (b Behind) Waited(wait time.Duration) Behind {
	n := min(int(wait/time.Minute), mostBehind)
	if n <= 0 {
		return b
	}
	after := append(slices.Clone(b[n:]), make(Behind, n)...)
	for _, p := range b[:n] {
		after[0] += p
	}
	return after
}

// TooLate is in how many of 1,000 days the crew is behind by more than there is room for, in whole minutes. Where there is none, for
// the crew is too late as it is, any delay counts.
func (b Behind) TooLate(room time.Duration) int {
	enough := 0.0
	room = max(0, room)
	for by, p := range b {
		if time.Duration(by)*time.Minute <= room {
			enough += p
		}
	}
	return int(math.Floor((1-enough)*1000 + 0.5 + 1e-6))
}

// After is the crew after a test that may have failed, with a chance, and been put right at once. What it is behind by then is gathered from all
// that it could have been behind by before, with running sums.
func (b Behind) After(a *events.Assembly, percent float64, s planner.Settings) Behind {
	shortest, longest := bySize(s.CleanFrom, a.Size), bySize(s.CleanTo, a.Size)
	sums := make([]float64, len(b)+1) // of all entries before
	for by, p := range b {
		sums[by+1] = sums[by] + p
	}
	upTo := func(by int) float64 { return sums[max(0, min(by, len(b)-1)+1)] }
	after, total := make(Behind, len(b)), 0.0
	for by := range mostBehind {
		after[by] = b[by]*(1-percent/100) + (upTo(by-shortest)-upTo(by-longest-1))*percent/100/float64(longest-shortest+1)
		total += after[by]
	}
	after[mostBehind] = max(0, 1-total)
	return after
}

// PutRight reports whether a unit that fails its test on a visit would be cleaned and tested again at once: someone has said
// yes, the crew may and can, and the water need not be back before.
func PutRight(b *events.Book, crew *events.Crew, v planner.Visit, t Task, j *events.Job, on events.Date, s planner.Settings) bool {
	if crew == nil || t.Work != planner.TestWork || slices.ContainsFunc(v.WaterOff, func(o events.WaterOff) bool { return o.Feed == t.Assembly.Feed && o.TestOnly }) {
		return false
	}
	yes := j.Yes != nil
	if site := b.Sites[t.Assembly.Site]; site != nil && b.Customers[site.Customer] != nil {
		yes = yes || b.Customers[site.Customer].Repair == "yes"
	}
	need := 1
	if size := t.Assembly.Size; size.IsZero() || int(size) >= s.TwoPeopleFromEighths {
		need++
	}
	if t.Assembly.Vault == events.PermitVault {
		need++
	}
	licensed := slices.ContainsFunc(crew.People, func(id events.PersonID) bool {
		return b.People[id] != nil && b.People[id].Holds(events.RepairLicence, on)
	})
	return yes && licensed && len(crew.People) >= need
}
