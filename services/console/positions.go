package console

import (
	"cmp"
	"context"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/positions"
	"valveround/services/words"
)

// UnplacedView are the sites that want a surer position.
type UnplacedView struct {
	Sites   []words.Site `json:"sites" doc:"those without one first"`
	Missing int          `json:"missing" doc:"without any: they are not planned"`
	Unsure  int          `json:"unsure" doc:"street or approximate: planned with a margin"`
}

// PositionsView is a file of positions that was read and not taken.
type PositionsView struct {
	File      string            `json:"file"`
	Source    string            `json:"source" enum:"address-point,street,approximate" doc:"what its rows are"`
	Columns   map[string]string `json:"columns" doc:"what was read → the header it stood under"`
	Rows      int               `json:"rows"`
	Faulty    int               `json:"faulty"`
	Faults    []FaultView       `json:"faults" doc:"the first of them"`
	Counts    map[string]int    `json:"counts" doc:"of proposals: sure, likely, ask, no"`
	Proposals []ProposalView    `json:"proposals" doc:"the surest first"`
}

// ProposalView is where a site may be, and why.
type ProposalView struct {
	Site    words.Site `json:"site"`
	At      geo.Point  `json:"at" doc:"null: nothing was found"`
	Sure    string     `json:"sure" enum:"sure,likely,ask,no"`
	Source  string     `json:"source"`
	Row     int        `json:"row,omitempty"`
	Text    string     `json:"text,omitempty" doc:"the address that matched, as the file has it"`
	Agrees  []string   `json:"agrees"`
	Differs []string   `json:"differs"`
	Others  int        `json:"others,omitempty" doc:"further rows that match as well and lie elsewhere"`
	Words   string     `json:"words"`
}

// CoordinatesRequest is a position as somebody pasted it.
type CoordinatesRequest struct {
	Text string `json:"text"`
}

// CoordinatesView is how it was read.
type CoordinatesView struct {
	At           geo.Point `json:"at"`
	ReadAs       string    `json:"read_as"`
	UncertaintyM float64   `json:"uncertainty_m,omitempty"`
}

// PlacesRequest takes positions: proposals, pasted ones, clicks on the map.
type PlacesRequest struct {
	CommandID string         `json:"command_id"`
	Places    []PlaceRequest `json:"places" minItems:"1" maxItems:"20000"`
}

// PlaceRequest is one of them.
type PlaceRequest struct {
	Site   string  `json:"site"`
	Lat    float64 `json:"lat"`
	Lon    float64 `json:"lon"`
	Source string  `json:"source" enum:"surveyed,address-point,street,approximate" doc:"how sure it is"`
	Words  string  `json:"words,omitempty" doc:"what it was matched by"`
}

// PlacesTaken says what became of them.
type PlacesTaken struct {
	Taken     int           `json:"taken"`
	Unchanged int           `json:"unchanged" doc:"they were so on record already"`
	Refused   []RefusedView `json:"refused"`
	Position  uint64        `json:"position"`
}

// RefusedView is one that was not taken.
type RefusedView struct {
	Site  string `json:"site"`
	Words string `json:"words"`
}

func (s *Server) positionRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "unplaced", Security: readers, Method: http.MethodGet, Path: "/api/positions", Summary: "Sites that want a surer position"},
		func(context.Context, *struct{}) (*reply[UnplacedView], error) { return answer(s.unplaced()), nil })

	huma.Register(s.api, huma.Operation{OperationID: "read-positions", Security: recorders, Method: http.MethodPost, Path: "/api/positions", MaxBodyBytes: maxBody,
		Summary: "Match a file of address points, street or postcode centres with the sites; nothing is taken yet"},
		func(_ context.Context, in *struct {
			File    string `query:"file" required:"true" doc:"name of the file"`
			RawBody []byte `contentType:"application/octet-stream"`
		}) (*reply[PositionsView], error) {
			points, err := positions.ReadPoints(in.File, in.RawBody)
			if err != nil {
				return nil, s.fail(&badRequest{err})
			}
			return answer(s.proposed(points)), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "read-coordinates", Security: recorders, Method: http.MethodPost, Path: "/api/positions/read", Summary: "Read a pasted position"},
		func(_ context.Context, in *struct{ Body CoordinatesRequest }) (*reply[CoordinatesView], error) {
			c, err := positions.ParseCoordinates(in.Body.Text)
			if err != nil {
				return nil, s.fail(&badRequest{err})
			}
			return answer(CoordinatesView{c.At, c.ReadAs, c.UncertaintyM}), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "take-positions", Security: recorders, Method: http.MethodPost, Path: "/api/positions/take", Summary: "Take positions for sites; a surer one on record is kept"},
		func(ctx context.Context, in *struct{ Body PlacesRequest }) (*reply[PlacesTaken], error) {
			taken, err := s.takePlaces(ctx, in.Body)
			if err != nil {
				return nil, err
			}
			return answer(taken), nil
		})
}

func (s *Server) unplaced() UnplacedView {
	b := s.cfg.Keeper.Book()
	v := UnplacedView{Sites: []words.Site{}}
	for _, site := range b.Sites {
		if site.Office != s.cfg.Office || !positions.Wanted(site, events.AddressPoint) {
			continue
		}
		if site.Position.IsSet() {
			v.Unsure++
		} else {
			v.Missing++
		}
		v.Sites = append(v.Sites, words.SiteOf(b, site.ID))
	}
	slices.SortFunc(v.Sites, func(x, y words.Site) int {
		if x.Position.IsSet() != y.Position.IsSet() {
			if y.Position.IsSet() {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID))
	})
	return v
}

func (s *Server) proposed(points positions.Points) PositionsView {
	b := s.cfg.Keeper.Book()
	v := PositionsView{File: points.File, Source: string(points.Source), Columns: points.Columns, Rows: len(points.Rows), Faulty: points.Faulty,
		Faults: faultViews(points.Faults), Counts: map[string]int{}, Proposals: []ProposalView{}}
	for _, p := range positions.Propose(b, s.cfg.Office, points) {
		v.Counts[string(p.Sure)]++
		shown := ProposalView{Site: words.SiteOf(b, p.Site), At: p.At, Sure: string(p.Sure), Source: string(p.Source), Row: p.Point.Line, Text: p.Point.Text,
			Agrees: p.Agrees, Differs: p.Differs, Others: p.Others, Words: p.Words}
		if shown.Agrees == nil {
			shown.Agrees = []string{}
		}
		if shown.Differs == nil {
			shown.Differs = []string{}
		}
		v.Proposals = append(v.Proposals, shown)
	}
	return v
}

func (s *Server) takePlaces(ctx context.Context, r PlacesRequest) (PlacesTaken, error) {
	c, err := s.deskCommand(r.CommandID)
	if err != nil {
		return PlacesTaken{}, err
	}
	taken := PlacesTaken{Refused: []RefusedView{}}
	b := s.cfg.Keeper.Book()
	var places []positions.Place
	for _, p := range r.Places {
		at, err := geo.NewPoint(p.Lat, p.Lon)
		if err != nil {
			taken.Refused = append(taken.Refused, RefusedView{p.Site, err.Error()})
			continue
		}
		places = append(places, positions.Place{Site: events.SiteID(p.Site), At: at, Source: events.PositionSource(p.Source), Words: p.Words})
	}
	commands, refused := positions.Commands(b, s.cfg.Office, c.ID, c.Actor, c.Happened, places)
	for _, x := range refused {
		taken.Refused = append(taken.Refused, RefusedView{string(x.Site), x.Words})
	}
	results, err := s.cfg.Keeper.Import(ctx, commands, nil)
	if err != nil {
		return taken, s.fail(err)
	}
	for i, x := range results {
		switch {
		case x.Err != nil:
			taken.Refused = append(taken.Refused, RefusedView{commands[i].Do.(events.Put[events.SiteFacts]).ID, x.Err.Error()})
		case len(x.Receipt.EventIDs) == 0:
			taken.Unchanged++
		default:
			taken.Taken++
		}
		taken.Position = max(taken.Position, x.Receipt.Position)
	}
	return taken, nil
}
