package events

// KitFacts is one repair kit: what it fits and what it is.
type KitFacts struct {
	Code      string `json:"code"`
	Maker     string `json:"maker,omitempty"`
	Model     string `json:"model,omitempty"`
	Size      Size   `json:"size,omitzero"`
	Component string `json:"component,omitempty"`
	Where     string `json:"where,omitempty"` // shop, or a crew's truck
	Promised  Date   `json:"promised,omitzero"`
}

// Kit is the folded state of one repair kit.
type Kit struct {
	Office OfficeID `json:"office"`
	ID     KitID    `json:"id"`
	KitFacts
	For      *JobRef `json:"for,omitempty"`   // reserved for this job
	Wrong    string  `json:"wrong,omitempty"` // what is wrong with it: it fits no job and goes back
	SentBack Date    `json:"sent_back,omitzero"`
}

// Free reports whether the kit can be set aside for a job.
func (k *Kit) Free() bool { return k.For == nil && k.Wrong == "" && k.SentBack.IsZero() }

// fits refuses a kit that cannot be the part a job waits for.
func (k *Kit) fits(ref JobRef, p PartWanted) error {
	switch {
	case !k.SentBack.IsZero():
		return refuse("repair kit %s went back on %s", k.ID, k.SentBack)
	case k.Wrong != "":
		return refuse("repair kit %s is the wrong one: %s", k.ID, k.Wrong)
	case k.For != nil && *k.For != ref:
		return refuse("repair kit %s is reserved for job %s", k.ID, k.For.Job)
	case k.Code != p.Code:
		return refuse("repair kit %s is a %s, and a %s is wanted", k.ID, k.Code, p.Code)
	}
	return nil
}

// The events of a repair kit besides its registry facts.
type (
	// KitReceived: it came.
	KitReceived struct {
		Where string `json:"where"`
	}
	// KitReserved: the kit is for one job and no other.
	KitReserved struct {
		JobRef
		Where string `json:"where,omitempty"`
	}
	// KitLoaded: it lies somewhere else now.
	KitLoaded struct {
		Where string `json:"where"`
	}
	// KitReleased: any job may have it again.
	KitReleased struct {
		Why string `json:"why,omitempty"`
	}
	// KitWrong: it is not what was wanted, or is damaged; no job may have it.
	KitWrong struct {
		Why string `json:"why"`
	}
	// KitSentBack: it went back to the supplier.
	KitSentBack struct {
		On    Date   `json:"on"`
		Words string `json:"words,omitempty"`
	}
)

func declareKit(v *vocabulary) {
	declare[KitReceived](v, KindKit, "received")
	declare[KitReserved](v, KindKit, "reserved")
	declare[KitLoaded](v, KindKit, "loaded")
	declare[KitReleased](v, KindKit, "released")
	declare[KitWrong](v, KindKit, "wrong")
	declare[KitSentBack](v, KindKit, "sent-back")
}

func (k Kit) fold(at stamp, event any) (Kit, error) {
	switch e := event.(type) {
	case Registered[KitFacts]:
		k.Office, k.ID, k.KitFacts = at.Entity.Office, KitID(at.Entity.ID), e.Facts
	case Corrected[KitFacts]:
		k.Office, k.ID, k.KitFacts = at.Entity.Office, KitID(at.Entity.ID), e.Facts
	case KitReserved:
		k.For = &e.JobRef
		if e.Where != "" {
			k.Where = e.Where
		}
	case KitReceived:
		k.Where, k.Promised = e.Where, Date{}
	case KitLoaded:
		k.Where = e.Where
	case KitReleased:
		k.For = nil
	case KitWrong:
		k.For, k.Wrong = nil, e.Why
	case KitSentBack:
		k.SentBack = e.On
	default:
		return k, errNotMine(at, event)
	}
	return k, nil
}

func (k *Kit) entity() Entity { return Entity{k.Office, KindKit, string(k.ID)} }
