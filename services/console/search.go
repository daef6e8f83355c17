package console

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"valveround/services/search"
)

func (s *Server) searchRoutes() {
	finder := &search.Finder{Office: s.cfg.Office}
	huma.Register(s.api, huma.Operation{OperationID: "search", Security: readers, Method: http.MethodGet, Path: "/api/search",
		Summary: "Find anything by any part of an address, serial, name or number"},
		func(_ context.Context, in *struct {
			Query string `query:"q" maxLength:"200"`
			Limit int    `query:"limit" default:"20" minimum:"1" maximum:"200"`
		}) (*reply[search.Results], error) {
			return answer(finder.Find(s.cfg.Keeper.Book(), in.Query, in.Limit)), nil
		})
}
