package events

// Did is what was done to one component.
type Did string

// What is done to a component. DidCleaned and DidFitted are repairs; DidClosed is none.
const (
	DidCleaned Did = "cleaned"
	DidFitted  Did = "fitted" // new parts, rubber or hard
	DidClosed  Did = "closed" // opened, and closed again with what was in it
)

// ComponentRepair is what was done to one component and what was found in it.
type ComponentRepair struct {
	Part      Part      `json:"part"`
	Component Component `json:"component"`
	Did       Did       `json:"did"`
	Code      string    `json:"code,omitempty"`  // of the repair kit fitted
	Found     string    `json:"found,omitempty"` // sand or grit, worn rubber: see Causes
}

// Causes are what was found in a component that failed, as forms list them: the city report of Burnaby BC (2014), page 2,
// and common practice.
var Causes = []string{
	"sand or grit", "construction debris", "copper filings, solder or pipe dope", "nuts, bolts or washers", "paper or cardboard",
	"worn or swollen rubber", "damaged seat", "broken spring", "scale", "nothing found",
}

// KitTrouble is a repair kit that did not fit when the unit was open: the wrong serial range, a part missing.
type KitTrouble struct {
	Code string `json:"code"`
	Item KitID  `json:"item,omitempty"`
	Why  string `json:"why"`
}

// wrongKits notes on the job and on each kit that it does not fit. What the job does not wait for is noted in the words of
// an alarm, since a fact from the field is never refused.
func (f *finishing) wrongKits() {
	for _, trouble := range f.do.Wrong {
		nth := f.partFor(trouble)
		if nth == 0 {
			f.add(AssemblyAlarm{Alarm{eventID(f.c.ID, 0), "repair kit " + trouble.Code + ", which the job was not waiting for, did not fit: " + trouble.Why, AlarmKit}})
			continue
		}
		part := f.job.Parts[nth-1]
		item := part.at()
		f.add(PartWrong{PartOfJob{f.do.Job, nth, part.Code}, item, trouble.Why})
		if kit := f.b.Kits[item]; kit != nil {
			f.drafts = append(f.drafts, Draft{kit.entity(), KitWrong{trouble.Why}})
		}
		f.unfit = append(f.unfit, nth)
	}
}

// at is the very kit that is at hand for a part; empty when none is.
func (p PartWanted) at() KitID {
	if p.Item != "" {
		return p.Item
	}
	return p.Received
}

// partFor is the place, from 1, of the part that a kit came for; 0 when there is none, or another trouble took it.
func (f *finishing) partFor(trouble KitTrouble) int {
	for i, p := range f.job.Parts {
		taken := false
		for _, n := range f.unfit {
			taken = taken || n == i+1
		}
		if !taken && p.Code == trouble.Code && (trouble.Item == "" || p.at() == trouble.Item) {
			return i + 1
		}
	}
	return 0
}

// stillNeeded are the parts that a unit which failed waits for: what the crew asks for, and without its word every part
// whose kit did not go in. A kit that is set aside for this job and fits stays set aside.
func (f *finishing) stillNeeded() []PartWanted {
	spare := f.spare()
	if len(f.do.Parts) == 0 {
		var parts []PartWanted
		for i, p := range f.job.Parts {
			if f.isUnfit(i + 1) {
				neededAgain(&p)
				parts = append(parts, p)
			}
		}
		return append(parts, spare...)
	}
	parts := append([]PartWanted(nil), f.do.Parts...)
	for i := range parts {
		for k, kit := range spare {
			if kit.Code == parts[i].Code && parts[i].Item == "" {
				parts[i].Item, parts[i].Where = kit.Item, kit.Where
				spare = append(spare[:k:k], spare[k+1:]...)
				break
			}
		}
	}
	return parts
}

// spare are the kits set aside for the job that neither went in nor failed to fit.
func (f *finishing) spare() []PartWanted {
	in := f.fitted()
	var list []PartWanted
	for i, p := range f.job.Parts {
		used := false
		for _, x := range in {
			used = used || x.Item == p.Item
		}
		if p.Item != "" && !used && !f.isUnfit(i+1) {
			list = append(list, p)
		}
	}
	return list
}

func (f *finishing) isUnfit(nth int) bool {
	for _, n := range f.unfit {
		if n == nth {
			return true
		}
	}
	return false
}
