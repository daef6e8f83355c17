package routing

// remembered is how many drives a search keeps at hand where they are worked out
// when asked for: a power of two, about those of a few rounds, that fit in the memory
// next to the processor. (Four and sixteen times as many were no faster.)
const remembered = 1 << 14

// recalled is a drive and the places it is between.
type recalled struct {
	from, to int32
	drive    drive
}

// leg is the drive between two nodes, best asked for one from and many to.
func (s *chains) leg(from, to int32) drive {
	if s.asked != nil {
		return s.recall(s.point[from], s.point[to])
	}
	k := s.row[from] + s.column[to]
	return drive{s.from[k], s.from[k+s.toSeconds]}
}

// legInto is leg, best asked for one to and many from.
func (s *chains) legInto(from, to int32) drive {
	if s.asked != nil {
		return s.recall(s.point[from], s.point[to])
	}
	k := s.row[to] + s.column[from]
	return drive{s.into[k], s.into[k+s.toSeconds]}
}

// recall is the drive between two places, as worked out lately if it was. A round
// asks for the same few drives again and again, and the next of the same worker about
// the same map for some of them.
func (s *chains) recall(from, to int32) drive {
	if from > to && s.symmetric {
		from, to = to, from
	}
	r := &s.lately[(uint32(from)*0x9e3779b1^uint32(to)*0x85ebca6b)>>18]
	if r.from != from || r.to != to {
		m, seconds := s.p.drives.between(PlaceIndex(from), PlaceIndex(to))
		*r = recalled{from, to, drive{int32(m), int32(min(seconds, most))}}
	}
	return r.drive
}

// newLately is a memory that knows only the drive from nowhere to nowhere.
func newLately() []recalled {
	lately := make([]recalled, remembered)
	for i := range lately {
		lately[i] = recalled{from: -1, to: -1}
	}
	return lately
}
