package positions

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/positions/postal"
)

// Proposal is where a site may be, and why.
type Proposal struct {
	Site     events.SiteID
	Source   events.PositionSource // what the position would be marked as
	At       geo.Point             // unset: nothing was found
	Sure     postal.Sure
	Point    Point    // that matched
	Agrees   []string // what agrees between the two addresses
	Differs  []string
	Others   int    // further points that match as well and lie elsewhere
	Words    string // all that in a sentence
	AwayFrom geo.Metres
}

// sameDoorM is how far apart points of one address may lie and still be one place: doors and units of a building.
const sameDoorM = 60

// farM is from how far from every crew's home a match is doubted: another county has the same street.
const farM = 200_000

// wide is how far the pieces of a street may lie apart for their middle to be of use.
const wideM = 3_000

// Wanted reports whether a better position is wanted for a site than it has.
func Wanted(s *events.Site, offered events.PositionSource) bool {
	return rank(s.PositionSource, s.Position) > rank(offered, geo.MustPoint(1, 1))
}

// rank of a position, the best first.
func rank(source events.PositionSource, at geo.Point) int {
	if !at.IsSet() {
		return 9
	}
	switch source {
	case events.Surveyed:
		return 0
	case events.AddressPoint:
		return 1
	case events.PhonePosition:
		return 2
	case events.StreetCentre:
		return 3
	}
	return 4
}

// Propose finds a point for each site of the office that wants one, the surest first, those not found last.
func Propose(b *events.Book, office events.OfficeID, points Points) []Proposal {
	f := finder{points: points, byNumber: map[string][]int{}, bySuffix: map[string][]int{}, byCode: map[string][]int{}, homes: homesOf(b, office)}
	f.index()
	var list []Proposal
	for _, s := range b.Sites {
		if s.Office == office && Wanted(s, points.Source) {
			list = append(list, f.find(s))
		}
	}
	slices.SortFunc(list, func(x, y Proposal) int {
		return cmp.Or(cmp.Compare(order(x.Sure), order(y.Sure)), cmp.Compare(b.Sites[x.Site].Address, b.Sites[y.Site].Address), cmp.Compare(x.Site, y.Site))
	})
	return list
}

func order(s postal.Sure) int {
	return s.Order()
}

func homesOf(b *events.Book, office events.OfficeID) []geo.Point {
	var homes []geo.Point
	for _, c := range b.Crews {
		if c.Office == office && c.Home.IsSet() {
			homes = append(homes, c.Home)
		}
	}
	return homes
}

type finder struct {
	points                     Points
	byNumber, bySuffix, byCode map[string][]int
	homes                      []geo.Point
}

// index sorts the points by what must be equal for a match: digits of the house number,
// suffix of the street, postcode.
func (f *finder) index() {
	for i, p := range f.points.Rows {
		for _, key := range postal.Doors(p.Address.Number) {
			f.byNumber[key] = append(f.byNumber[key], i)
		}
		f.bySuffix[p.Address.Suffix] = append(f.bySuffix[p.Address.Suffix], i)
		f.byCode[p.Address.Code] = append(f.byCode[p.Address.Code], i)
	}
}

func (f *finder) find(s *events.Site) Proposal {
	p := Proposal{Site: s.ID, Source: f.points.Source, Sure: postal.No}
	a := postal.Parse(s.Address)
	switch {
	case strings.TrimSpace(s.Address) == "":
		p.Words = "no address is on record"
	case f.points.Source == events.AddressPoint:
		f.door(&p, a)
	case f.points.Source == events.StreetCentre:
		f.street(&p, a)
	default:
		f.code(&p, a)
	}
	f.doubtFar(&p)
	return p
}

// candidate is a point and how it compares.
type candidate struct {
	point Point
	match postal.Match
}

// best are the candidates with the highest score, and the next one's score.
func (f *finder) best(rows []int, a postal.Address) (top []candidate, next int) {
	var all []candidate
	for _, i := range rows {
		if m := postal.Compare(a, f.points.Rows[i].Address); m.Sure() != postal.No {
			all = append(all, candidate{f.points.Rows[i], m})
		}
	}
	slices.SortStableFunc(all, func(x, y candidate) int { return cmp.Compare(y.match.Score, x.match.Score) })
	for i, c := range all {
		if c.match.Score < all[0].match.Score {
			return all[:i], c.match.Score
		}
	}
	return all, 0
}

// door matches a house.
func (f *finder) door(p *Proposal, a postal.Address) {
	if a.Number == "" {
		p.Words = "the address has no house number"
		return
	}
	var rows []int
	for _, key := range postal.Doors(a.Number) {
		rows = append(rows, f.byNumber[key]...)
	}
	slices.Sort(rows)
	top, next := f.best(slices.Compact(rows), a)
	if len(top) == 0 {
		p.Words = "no point of the file has this address"
		return
	}
	f.take(p, top, sameDoorM)
	if next > 0 && top[0].match.Score-next < 10 && p.Sure == postal.Certain {
		p.Sure = postal.Likely
		p.Words += "; another point comes near"
	}
}

// take fills in what the best candidates say. They are one place when they lie close together; otherwise somebody must ask.
func (f *finder) take(p *Proposal, top []candidate, apart geo.Metres) {
	best := top[0]
	p.Point, p.At, p.Agrees, p.Differs, p.Sure = best.point, best.point.At, best.match.Agrees, best.match.Differs, best.match.Sure()
	for _, c := range top[1:] {
		if geo.Distance(best.point.At, c.point.At) > apart {
			p.Others++
		}
	}
	p.Words = fmt.Sprintf("row %d, %s: the same %s", best.point.Line, best.point.Text, strings.Join(p.Agrees, ", "))
	if len(p.Differs) > 0 {
		p.Words += "; not the same: " + strings.Join(p.Differs, ", ")
	}
	if p.Others > 0 {
		p.Sure = postal.Ask
		p.Words += fmt.Sprintf("; %d more match as well and lie elsewhere", p.Others)
	}
}

// street matches the street alone; of several pieces the middle is taken.
func (f *finder) street(p *Proposal, a postal.Address) {
	a.Number = ""
	rows := slices.Concat(f.bySuffix[a.Suffix], f.bySuffix[""])
	if a.Suffix == "" {
		rows = slices.Concat(slices.Collect(maps.Values(f.bySuffix))...)
	}
	slices.Sort(rows)
	top, _ := f.best(slices.Compact(rows), a)
	if len(top) == 0 {
		p.Words = "no street of the file has this name"
		return
	}
	f.take(p, top, wideM)
	if p.Others == 0 && len(top) > 1 {
		p.At = middle(top)
		p.Words += fmt.Sprintf("; the middle of %d pieces", len(top))
	}
}

// middle is the mean position of points that lie close together.
func middle(top []candidate) geo.Point {
	lat, lon := 0.0, 0.0
	for _, c := range top {
		lat += c.point.At.LatDeg() / float64(len(top))
		lon += c.point.At.LonDeg() / float64(len(top))
	}
	at, err := geo.NewPoint(lat, lon)
	if err != nil {
		return top[0].point.At
	}
	return at
}

// code matches the postcode alone.
func (f *finder) code(p *Proposal, a postal.Address) {
	rows := f.byCode[a.Code]
	if a.Code == "" || len(rows) == 0 {
		p.Words = "its postcode is not in the file"
		return
	}
	p.Point = f.points.Rows[rows[0]]
	p.At, p.Sure, p.Agrees = p.Point.At, postal.Likely, []string{"postcode"}
	p.Words = fmt.Sprintf("row %d: the middle of postcode %s", p.Point.Line, a.Code)
}

// doubtFar asks about a match that lies far from where the crews start.
func (f *finder) doubtFar(p *Proposal) {
	if !p.At.IsSet() || len(f.homes) == 0 {
		return
	}
	p.AwayFrom = geo.Distance(p.At, f.homes[0])
	for _, home := range f.homes[1:] {
		p.AwayFrom = min(p.AwayFrom, geo.Distance(p.At, home))
	}
	if p.AwayFrom > farM {
		p.Sure = postal.Ask
		p.Words += fmt.Sprintf("; %.0f km from every crew's home", float64(p.AwayFrom)/1000)
	}
}
