package console

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// TrustView is what somebody compares before trusting this office's certificate authority.
type TrustView struct {
	Own         bool       `json:"own" doc:"false: the certificate is from an authority that browsers know, or none is used"`
	Name        string     `json:"name,omitempty" doc:"under which a phone lists it"`
	Fingerprint string     `json:"fingerprint,omitempty" doc:"SHA-256 of the certificate"`
	Until       *time.Time `json:"until,omitempty"`
	Names       []string   `json:"names" doc:"that the server is asked under"`
}

func (s *Server) trustRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "trust", Security: anyone, Method: http.MethodGet, Path: "/api/trust", Summary: "The office's own certificate authority"},
		func(context.Context, *struct{}) (*reply[TrustView], error) {
			a := s.cfg.Trust
			if a == nil {
				return answer(TrustView{Names: []string{}}), nil
			}
			until := a.Until()
			return answer(TrustView{Own: true, Name: a.Name(), Fingerprint: a.Fingerprint(), Until: &until, Names: a.Names()}), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "trust-pem", Security: anyone, Method: http.MethodGet, Path: "/api/trust/authority.pem", Summary: "Its certificate as text"},
		func(context.Context, *struct{}) (*huma.StreamResponse, error) {
			return s.trusted(func() ([]byte, string) { return s.cfg.Trust.PEM(), "application/x-pem-file" })
		})
	huma.Register(s.api, huma.Operation{OperationID: "trust-der", Security: anyone, Method: http.MethodGet, Path: "/api/trust/authority.crt", Summary: "Its certificate as phones install it"},
		func(context.Context, *struct{}) (*huma.StreamResponse, error) {
			return s.trusted(func() ([]byte, string) { return s.cfg.Trust.DER(), "application/x-x509-ca-cert" })
		})
}

func (s *Server) trusted(give func() ([]byte, string)) (*huma.StreamResponse, error) {
	if s.cfg.Trust == nil {
		return nil, huma.Error404NotFound("This server has no certificate authority of its own.")
	}
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		data, kind := give()
		ctx.SetHeader("Content-Type", kind)
		_, _ = ctx.BodyWriter().Write(data) // whoever went away needs no answer
	}}, nil
}
