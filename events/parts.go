package events

import "slices"

// PartStep is how far one repair kit that a job waits for has come.
type PartStep string

// Steps of a part, in order. Only a reserved one lets a return visit be planned: a promised day is no part.
const (
	PartNeeded   PartStep = "needed"
	PartOnOrder  PartStep = "ordered"
	PartIsDue    PartStep = "promised"
	PartArrived  PartStep = "received" // at hand, and not yet set aside for this job
	PartSetAside PartStep = "reserved"
)

// Step says how far the part has come.
func (p PartWanted) Step() PartStep {
	switch {
	case p.Item != "":
		return PartSetAside
	case p.Received != "":
		return PartArrived
	case !p.Promised.IsZero():
		return PartIsDue
	case !p.Ordered.IsZero():
		return PartOnOrder
	}
	return PartNeeded
}

// PartOfJob names one of the parts a job waits for: its place in the job's list, from 1, and its code, so that a list
// that changed meanwhile is noticed.
type PartOfJob struct {
	Job  JobID  `json:"job"`
	Nth  int    `json:"nth"`
	Code string `json:"code"`
}

// The events of one part of a job.
type (
	// PartOrdered: it was ordered from a supplier.
	PartOrdered struct {
		PartOfJob
		Supplier string `json:"supplier,omitempty"`
		Number   string `json:"number,omitempty"` // of the order
		On       Date   `json:"on"`
	}
	// PartPromised: the supplier named the day on which it comes.
	PartPromised struct {
		PartOfJob
		For Date `json:"for"`
	}
	// PartReceived: the very kit is at hand.
	PartReceived struct {
		PartOfJob
		Item  KitID  `json:"item"`
		Where string `json:"where,omitempty"`
	}
	// PartReserved: the kit is set aside for this job.
	PartReserved struct {
		PartOfJob
		Item  KitID  `json:"item"`
		Where string `json:"where,omitempty"`
	}
	// PartLoaded: the kit lies somewhere else now: in the shop, or on a crew's truck.
	PartLoaded struct {
		PartOfJob
		Item  KitID  `json:"item"`
		Where string `json:"where"`
	}
	// PartReleased: the kit is set aside for this job no more; the part is needed again.
	PartReleased struct {
		PartOfJob
		Item KitID  `json:"item"`
		Why  string `json:"why,omitempty"`
	}
	// PartWrong: the kit that came does not fit. It goes back, and the part is needed again.
	PartWrong struct {
		PartOfJob
		Item KitID  `json:"item"`
		Why  string `json:"why"`
	}
)

func (p PartOfJob) job() JobID { return p.Job }

func declareParts(v *vocabulary) {
	declare[PartOrdered](v, KindAssembly, "part-ordered")
	declare[PartPromised](v, KindAssembly, "part-promised")
	declare[PartReceived](v, KindAssembly, "part-received")
	declare[PartReserved](v, KindAssembly, "part-reserved")
	declare[PartLoaded](v, KindAssembly, "part-loaded")
	declare[PartReleased](v, KindAssembly, "part-released")
	declare[PartWrong](v, KindAssembly, "part-wrong")
}

// foldPart notes what became of one part; ok is false when the event is not about one.
func (j Job) foldPart(event any) (_ Job, ok bool) {
	switch e := event.(type) {
	case PartOrdered:
		return j.withPart(e.Nth, func(p *PartWanted) {
			p.Supplier, p.OrderNumber, p.Ordered, p.Promised, p.Received, p.Item, p.Where = e.Supplier, e.Number, e.On, Date{}, "", "", ""
		}), true
	case PartPromised:
		return j.withPart(e.Nth, func(p *PartWanted) { p.Promised = e.For }), true
	case PartReceived:
		return j.withPart(e.Nth, func(p *PartWanted) { p.Received, p.Where = e.Item, e.Where }), true
	case PartReserved:
		return j.withPart(e.Nth, func(p *PartWanted) { p.Item, p.Where = e.Item, e.Where }), true
	case PartLoaded:
		return j.withPart(e.Nth, func(p *PartWanted) { p.Where = e.Where }), true
	case PartReleased:
		return j.withPart(e.Nth, neededAgain), true
	case PartWrong:
		return j.withPart(e.Nth, neededAgain), true
	}
	return j, false
}

func neededAgain(p *PartWanted) { *p = PartWanted{Code: p.Code, Part: p.Part, Component: p.Component} }

// withPart changes one part, and the stage with it: parts are ready when each of them is reserved.
func (j Job) withPart(nth int, change func(*PartWanted)) Job {
	if nth < 1 || nth > len(j.Parts) {
		return j
	}
	j.Parts = slices.Clone(j.Parts)
	change(&j.Parts[nth-1])
	if j.NeedsRepair() {
		j.Stage = StagePartsPending
		if j.PartsReserved() {
			j.Stage = StagePartsReady
		}
	}
	return j
}

// PartsReserved reports whether every part that is wanted is set aside for this very job.
func (j *Job) PartsReserved() bool {
	return !slices.ContainsFunc(j.Parts, func(p PartWanted) bool { return p.Item == "" })
}
