package events

import (
	"cmp"
	"strings"
)

// SerialDiffers: the unit bears another serial than the record says, or the record has none. The record stays until the
// office takes the proposal; an assembly's identity is not its serial.
type SerialDiffers struct {
	Part   Part   `json:"part"` // main, or the bypass of a detector assembly
	Record string `json:"record,omitempty"`
	Seen   string `json:"seen"`
	Job    JobID  `json:"job,omitempty"`
	Crew   CrewID `json:"crew,omitempty"`
	On     Date   `json:"on,omitzero"`
	Words  string `json:"words,omitempty"`
}

// SerialKept: the office looked at the serial that was seen and keeps the one on record.
type SerialKept struct {
	Part Part   `json:"part"`
	Seen string `json:"seen"`
	Why  string `json:"why"`
}

func declareSerials(v *vocabulary) {
	declare[SerialDiffers](v, KindAssembly, "serial-differs")
	declare[SerialKept](v, KindAssembly, "serial-kept")
}

// SerialOf is the serial on record of a part.
func (f AssemblyFacts) SerialOf(part Part) string {
	if part != BypassPart {
		return f.Serial
	}
	if f.Bypass == nil {
		return ""
	}
	return f.Bypass.Serial
}

// withSerial is the facts with the serial of a part changed; a doubt about it is gone.
func (f AssemblyFacts) withSerial(part Part, serial string) AssemblyFacts {
	if part != BypassPart {
		f.Serial, f.SerialDoubt = serial, ""
		return f
	}
	var bypass BypassFacts
	if f.Bypass != nil {
		bypass = *f.Bypass
	}
	bypass.Serial = serial
	f.Bypass = &bypass
	return f
}

// openSerials are the proposals that the facts do not follow.
func openSerials(seen []SerialDiffers, facts AssemblyFacts) []SerialDiffers {
	var open []SerialDiffers
	for _, s := range seen {
		if facts.SerialOf(s.Part) != s.Seen {
			open = append(open, s)
		}
	}
	return open
}

// proposes puts a newer proposal of a part in the place of the older one.
func (a Assembly) proposes(e SerialDiffers) []SerialDiffers {
	return append(a.withoutProposal(e.Part), e)
}

func (a Assembly) withoutProposal(part Part) []SerialDiffers {
	var rest []SerialDiffers
	for _, s := range a.SerialsSeen {
		if s.Part != part {
			rest = append(rest, s)
		}
	}
	return rest
}

// Commands about serials.
type (
	// SeeSerial records the serial that the unit bears.
	SeeSerial struct {
		Assembly AssemblyID
		SerialDiffers
	}
	// SettleSerial takes the serial that was seen into the record, or keeps the record.
	SettleSerial struct {
		Assembly AssemblyID
		Part     Part
		Seen     string
		Take     bool
		Why      string
	}
)

func decideSerial(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case SeeSerial:
		return decideSeen(b, do)
	case SettleSerial:
		return decideSettle(b, do)
	}
	return nil, errUnknownCommand(c)
}

func decideSeen(b *Book, do SeeSerial) ([]Draft, error) {
	a := b.Assemblies[do.Assembly]
	seen := do.SerialDiffers
	seen.Part, seen.Seen = cmp.Or(seen.Part, MainPart), strings.TrimSpace(seen.Seen)
	switch {
	case a == nil:
		return nil, refuse("no assembly %q", do.Assembly)
	case seen.Seen == "":
		return nil, refuse("say which serial the unit bears")
	}
	seen.Record = a.SerialOf(seen.Part)
	for _, known := range a.SerialsSeen {
		if known.Part == seen.Part && known.Seen == seen.Seen {
			return nil, nil
		}
	}
	if seen.Record == seen.Seen && a.SerialDoubt == "" {
		return nil, nil
	}
	return []Draft{{a.entity(), seen}}, nil
}

func decideSettle(b *Book, do SettleSerial) ([]Draft, error) {
	a := b.Assemblies[do.Assembly]
	part := cmp.Or(do.Part, MainPart)
	if a == nil {
		return nil, refuse("no assembly %q", do.Assembly)
	}
	open := false
	for _, s := range a.SerialsSeen {
		open = open || s.Part == part && s.Seen == do.Seen
	}
	switch {
	case !open && do.Take && a.SerialOf(part) == do.Seen:
		return nil, nil
	case !open:
		return nil, refuse("assembly %s: no crew's word about serial %q is open", a.ID, do.Seen)
	case do.Take:
		return []Draft{{a.entity(), Corrected[AssemblyFacts]{a.withSerial(part, do.Seen), cmp.Or(do.Why, "as read off the unit by the crew")}}}, nil
	case strings.TrimSpace(do.Why) == "":
		return nil, refuse("say why the serial on record is kept")
	}
	return []Draft{{a.entity(), SerialKept{part, do.Seen, do.Why}}}, nil
}
