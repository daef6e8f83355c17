package events

import (
	"cmp"
	"slices"
)

// WhichPart names one part of a job in a command: its place in the job's list, from 1, or 0 for the first of that code
// that the command can mean.
type WhichPart struct {
	JobRef
	Nth  int
	Code string
}

// Commands about one part of a job.
type (
	// OrderPart records an order.
	OrderPart struct {
		WhichPart
		Supplier string
		Number   string // of the order
		On       Date
	}
	// PromisePart records the day that the supplier promised.
	PromisePart struct {
		WhichPart
		For Date
	}
	// ReceivePart records that the kit came. Item is its id: a kit that is registered keeps its record, any other is
	// registered with what the job knows of it.
	ReceivePart struct {
		WhichPart
		Item  KitID
		Where string // empty: the shop
	}
	// ReservePart sets a kit aside for the job. Without Item it is the one that came for it.
	ReservePart struct {
		WhichPart
		Item  KitID
		Where string // empty: where it lies
	}
	// LoadPart records where the kit set aside for the job lies now: InTheShop, or a crew's id.
	LoadPart struct {
		WhichPart
		Where string
	}
	// ReleasePart frees a kit that was set aside; the part is needed again.
	ReleasePart struct {
		WhichPart
		Why string
	}
	// WrongPart records that the kit that came does not fit; the part is needed again.
	WrongPart struct {
		WhichPart
		Why string
	}
	// SendBackKit records that a kit went back to its supplier.
	SendBackKit struct {
		Kit   KitID
		On    Date
		Words string
	}
)

// InTheShop is where a kit lies that is on no truck.
const InTheShop = "shop"

func decidePart(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case OrderPart:
		return decideOrder(b, do)
	case PromisePart:
		return decidePromise(b, do)
	case ReceivePart:
		return decideReceive(b, do)
	case ReservePart:
		return decideReserve(b, do)
	case LoadPart:
		return decideLoad(b, do)
	case ReleasePart:
		return decideRelease(b, do)
	case WrongPart:
		return decideWrong(b, do)
	case SendBackKit:
		return decideSendBack(b, do)
	}
	return nil, errUnknownCommand(c)
}

// partFound is the part of a job that a command means.
type partFound struct {
	PartWanted
	a    *Assembly
	ref  JobRef
	name PartOfJob
}

// findPart finds the part a command means; where it gives no place, the first of its code in the first of these steps
// that any is in, else the first of its code.
func findPart(b *Book, which WhichPart, steps ...PartStep) (partFound, error) {
	a, job, err := findJob(b, which.JobRef)
	if err != nil {
		return partFound{}, err
	}
	if job.Failure == nil || !job.NeedsVisit() {
		return partFound{}, refuse("job %s waits for no repair (it is %s)", job.ID, job.Stage)
	}
	at := which.Nth - 1
	if which.Nth == 0 {
		ofCode := func(step PartStep) func(PartWanted) bool {
			return func(p PartWanted) bool { return p.Code == which.Code && (step == "" || p.Step() == step) }
		}
		at = -1
		for _, step := range append(steps, "") {
			if at = slices.IndexFunc(job.Parts, ofCode(step)); at >= 0 {
				break
			}
		}
	}
	if at < 0 || at >= len(job.Parts) || which.Code != "" && job.Parts[at].Code != which.Code {
		return partFound{}, refuse("job %s waits for no %s: look at its parts again", job.ID, cmp.Or(which.Code, "such part"))
	}
	part := job.Parts[at]
	return partFound{part, a, which.JobRef, PartOfJob{job.ID, at + 1, part.Code}}, nil
}

// and drafts an event on the job, and one on the kit if it is on record.
func (p partFound) and(b *Book, onJob, onKit any) []Draft {
	drafts := []Draft{{p.a.entity(), onJob}}
	if kit := b.Kits[cmp.Or(p.Item, p.Received)]; kit != nil {
		drafts = append(drafts, Draft{kit.entity(), onKit})
	}
	return drafts
}

// notYet refuses what only makes sense for a part that has not come yet.
func (p partFound) notYet() error {
	if p.Item != "" || p.Received != "" {
		return refuse("%s is at hand already; if it does not fit, say so first", p.Code)
	}
	return nil
}

func decideOrder(b *Book, do OrderPart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartNeeded)
	switch {
	case err != nil:
		return nil, err
	case do.On.IsZero():
		return nil, refuse("say on which day the part was ordered")
	case p.Ordered == do.On && p.Supplier == do.Supplier && p.OrderNumber == do.Number:
		return nil, nil
	}
	if err := p.notYet(); err != nil {
		return nil, err
	}
	return []Draft{{p.a.entity(), PartOrdered{p.name, do.Supplier, do.Number, do.On}}}, nil
}

func decidePromise(b *Book, do PromisePart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartOnOrder, PartNeeded, PartIsDue)
	switch {
	case err != nil:
		return nil, err
	case do.For.IsZero():
		return nil, refuse("say for which day the part is promised")
	case p.Promised == do.For:
		return nil, nil
	}
	if err := p.notYet(); err != nil {
		return nil, err
	}
	return []Draft{{p.a.entity(), PartPromised{p.name, do.For}}}, nil
}

func decideReceive(b *Book, do ReceivePart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartIsDue, PartOnOrder, PartNeeded)
	if err != nil {
		return nil, err
	}
	if p.Received == do.Item && do.Item != "" {
		return nil, nil
	}
	if err := p.notYet(); err != nil {
		return nil, err
	}
	if CheckID(string(do.Item)) != nil {
		return nil, refuse("the repair kit that came has no id")
	}
	where := cmp.Or(do.Where, InTheShop)
	drafts := []Draft{{p.a.entity(), PartReceived{p.name, do.Item, where}}}
	kit := b.Kits[do.Item]
	if kit == nil {
		facts := KitFacts{Code: p.Code, Maker: p.a.Maker, Model: p.a.Model, Size: p.a.Size, Component: string(p.Component), Where: where}
		return append(drafts, Draft{Entity{p.a.Office, KindKit, string(do.Item)}, Registered[KitFacts]{facts}}), nil
	}
	if err := kit.fits(p.ref, p.PartWanted); err != nil {
		return nil, err
	}
	return append(drafts, Draft{kit.entity(), KitReceived{where}}), nil
}

func decideReserve(b *Book, do ReservePart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartArrived, PartIsDue, PartOnOrder, PartNeeded)
	if err != nil {
		return nil, err
	}
	item := cmp.Or(do.Item, p.Item, p.Received)
	kit := b.Kits[item]
	switch {
	case item == "":
		return nil, refuse("%s has not come yet: say which repair kit is set aside for this job", p.Code)
	case kit == nil:
		return nil, refuse("no repair kit %q", item)
	case p.Item == item && (do.Where == "" || do.Where == p.Where):
		return nil, nil
	case p.Item == item:
		return nil, refuse("%s is set aside already; say where it is loaded", p.Code)
	case p.Item != "":
		return nil, refuse("repair kit %s is set aside for this part; free it first", p.Item)
	}
	if err := kit.fits(p.ref, p.PartWanted); err != nil {
		return nil, err
	}
	where := cmp.Or(do.Where, kit.Where, InTheShop)
	return []Draft{{p.a.entity(), PartReserved{p.name, item, where}}, {kit.entity(), KitReserved{p.ref, where}}}, nil
}

func decideLoad(b *Book, do LoadPart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartSetAside, PartArrived)
	switch {
	case err != nil:
		return nil, err
	case p.Item == "" && p.Received == "":
		return nil, refuse("%s has not come yet, so it is on no truck", p.Code)
	case do.Where == "":
		return nil, refuse("say where the repair kit is: in the shop, or on which crew's truck")
	case p.Where == do.Where:
		return nil, nil
	case do.Where != InTheShop && b.Crews[CrewID(do.Where)] == nil:
		return nil, refuse("no crew %q", do.Where)
	}
	return p.and(b, PartLoaded{p.name, cmp.Or(p.Item, p.Received), do.Where}, KitLoaded{do.Where}), nil
}

func decideRelease(b *Book, do ReleasePart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartSetAside)
	switch {
	case err != nil:
		return nil, err
	case p.Item == "":
		return nil, refuse("no kit is set aside for %s", p.Code)
	}
	return p.and(b, PartReleased{p.name, p.Item, do.Why}, KitReleased{do.Why}), nil
}

func decideWrong(b *Book, do WrongPart) ([]Draft, error) {
	p, err := findPart(b, do.WhichPart, PartSetAside, PartArrived)
	switch {
	case err != nil:
		return nil, err
	case p.Item == "" && p.Received == "":
		return nil, refuse("%s has not come yet, so nothing can be wrong with it", p.Code)
	case do.Why == "":
		return nil, refuse("say what is wrong with the part")
	}
	return p.and(b, PartWrong{p.name, cmp.Or(p.Item, p.Received), do.Why}, KitWrong{do.Why}), nil
}

func decideSendBack(b *Book, do SendBackKit) ([]Draft, error) {
	kit := b.Kits[do.Kit]
	switch {
	case kit == nil:
		return nil, refuse("no repair kit %q", do.Kit)
	case do.On.IsZero():
		return nil, refuse("say on which day the repair kit went back")
	case kit.SentBack == do.On:
		return nil, nil
	case !kit.SentBack.IsZero():
		return nil, refuse("repair kit %s went back on %s", kit.ID, kit.SentBack)
	case kit.For != nil:
		return nil, refuse("repair kit %s is set aside for job %s: free it first", kit.ID, kit.For.Job)
	}
	return []Draft{{kit.entity(), KitSentBack{do.On, do.Words}}}, nil
}
