package console

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"reflect"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"
	"github.com/go-chi/chi/v5"
	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/geo"
	"valveround/services/authority"
	"valveround/services/dispatch"
	"valveround/services/intake"
	"valveround/services/signin"
	"valveround/services/words"
)

// Config says what the console serves.
type Config struct {
	Office   events.OfficeID
	Name     string // of the firm, for the head of each page
	Zone     *time.Location
	Log      events.Log
	Keeper   *keeper.Keeper
	Dispatch *dispatch.Desk
	Intake   *intake.Desk
	People   *words.People
	Details  events.PeopleStore // where People are kept, for the backup
	Blobs    events.BlobStore   // attachments
	Now      func() time.Time
	Notice   string
	SignIn   *signin.Door         // nil: nobody signs in, for a demo on this machine
	Rates    Rates                // with sign-in; zero: the default
	Hosts    []string             // names and addresses that the server is asked under, besides loopback
	Trust    *authority.Authority // nil: the certificate is somebody else's
	Pages    fs.FS                // the built pages
	Logger   *zap.Logger
}

func (c Config) validate() error {
	var errs []error
	for name, missing := range map[string]bool{"office": c.Office == "", "zone": c.Zone == nil, "log": c.Log == nil, "keeper": c.Keeper == nil,
		"dispatch": c.Dispatch == nil, "intake": c.Intake == nil, "people": c.People == nil, "details": c.Details == nil, "attachments": c.Blobs == nil, "pages": c.Pages == nil} {
		if missing {
			errs = append(errs, fmt.Errorf("console: no %s given", name))
		}
	}
	return errors.Join(errs...)
}

// Server answers the pages and the API.
type Server struct {
	cfg Config
	log *zap.Logger
	api huma.API
}

// New makes the HTTP handler of an office.
func New(cfg Config) (http.Handler, error) {
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Logger == nil {
		cfg.Logger = zap.NewNop()
	}
	if cfg.Rates == (Rates{}) {
		cfg.Rates = defaultRates()
	}
	if err := cfg.validate(); err != nil {
		return nil, err
	}
	s := &Server{cfg: cfg, log: cfg.Logger}
	router := chi.NewMux()
	router.Use(safeHeaders, s.ourName, limitBody, limitTime, s.fromOurPages, s.identify, s.limitRate, s.setUpFirst)
	api := huma.DefaultConfig("Valveround", "1")
	api.DocsPath, api.CreateHooks = "", nil
	api.OnAddOperation = append(api.OnAddOperation, timeToSend)
	api.Components.Schemas = huma.NewMapRegistry("#/components/schemas/", schemaName)
	api.Components.SecuritySchemes = map[string]*huma.SecurityScheme{signedIn: {Type: "apiKey", In: "cookie", Name: sessionCookie,
		Description: "A session of the office, or the key of an enrolled phone in the cookie " + phoneCookie + ". The roles named suffice one by one."}}
	s.api = humachi.New(router, api)
	s.api.UseMiddleware(s.guard)
	s.api.OpenAPI().Components.Schemas.RegisterTypeAlias(reflect.TypeFor[geo.Point](), reflect.TypeFor[pointShape]())
	s.officeRoutes()
	s.dayRoutes()
	s.crewRoutes()
	s.backlogRoutes()
	s.fillRoutes()
	s.bulkRoutes()
	s.intakeRoutes()
	s.registryRoutes()
	s.settingsRoutes()
	s.jobRoutes()
	s.callRoutes()
	s.searchRoutes()
	s.positionRoutes()
	s.papersRoutes()
	s.mendingRoutes()
	s.fieldRoutes()
	s.liveRoutes()
	s.backupRoute()
	s.signInRoutes()
	s.accountRoutes()
	s.phoneRoutes()
	s.trustRoutes()
	router.Handle("/api/*", http.HandlerFunc(nothingThere))
	router.Handle("/*", pages(cfg.Pages))
	return router, rolesMissing(s.api.OpenAPI())
}

// timeToSend gives a phone at the edge of its signal longer to send what it has to say than huma's five seconds.
func timeToSend(_ *huma.OpenAPI, op *huma.Operation) {
	op.BodyReadTimeout = 30 * time.Second
	if op.MaxBodyBytes > 1<<20 {
		op.BodyReadTimeout = answerWithin
	}
}

// schemaName puts the package before a type's name, since several services have a View.
func schemaName(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	parts := strings.Split(t.PkgPath(), "/")
	last := parts[len(parts)-1]
	if t.Name() == "" || parts[0] != "valveround" || last == "console" {
		return name
	}
	return strings.ToUpper(last[:1]) + last[1:] + name
}

// pointShape is how a position is written: degrees, or null.
type pointShape struct{}

// Schema implements huma.SchemaProvider.
func (pointShape) Schema(huma.Registry) *huma.Schema {
	number := func(limit float64) *huma.Schema {
		low, high := -limit, limit
		return &huma.Schema{Type: huma.TypeNumber, Minimum: &low, Maximum: &high}
	}
	s := &huma.Schema{Type: huma.TypeObject, Nullable: true, Description: "degrees north and east; null when it is not known",
		Properties: map[string]*huma.Schema{"lat": number(90), "lon": number(180)}, Required: []string{"lat", "lon"}, AdditionalProperties: false}
	s.PrecomputeMessages()
	for _, p := range s.Properties {
		p.PrecomputeMessages()
	}
	return s
}

// pages serves the built pages: hashed assets are cached for long, the rest is asked for each time.
func pages(files fs.FS) http.Handler {
	server := http.FileServerFS(files)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, "/assets/") {
			w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		} else {
			w.Header().Set("Cache-Control", "no-cache")
		}
		if _, err := fs.Stat(files, "index.html"); err != nil && r.URL.Path == "/" {
			http.Error(w, "The pages are not built into this program. Run: make build", http.StatusNotFound)
			return
		}
		server.ServeHTTP(w, r)
	})
}

func nothingThere(w http.ResponseWriter, _ *http.Request) {
	problem(w, http.StatusNotFound, "There is no such address here.")
}

// fail maps our errors to HTTP in one place. A refusal is final (422); what was seen is no longer so is 409; anything else
// may pass when it is sent again.
func (s *Server) fail(err error) error {
	var refusal *events.Refusal
	var refused *dispatch.RefusedError
	var bad *badRequest
	switch {
	case err == nil:
		return nil
	case errors.As(err, &refused):
		details := make([]error, len(refused.Violations))
		for i, v := range refused.Violations {
			details[i] = &huma.ErrorDetail{Message: v.Words, Location: string(v.Rule)}
		}
		return huma.Error422UnprocessableEntity("The check refuses this plan.", details...)
	case errors.As(err, &refusal):
		return huma.Error422UnprocessableEntity(refusal.Words)
	case errors.As(err, &bad):
		return huma.Error422UnprocessableEntity(bad.Error())
	case errors.Is(err, events.ErrTooLarge), errors.Is(err, events.ErrBatchSize): // it would be so again
		return huma.Error422UnprocessableEntity(sentence(err))
	case cannot(err) != "":
		return huma.Error422UnprocessableEntity(cannot(err))
	case errors.Is(err, dispatch.ErrBusy), errors.Is(err, dispatch.ErrNotWhatYouSaw), errors.Is(err, dispatch.ErrNoPlan):
		return huma.Error409Conflict(sentence(err))
	case errors.Is(err, context.Canceled):
		return huma.Error503ServiceUnavailable("The request was broken off; send it again.")
	}
	s.log.Error("request failed", zap.Error(err))
	return huma.Error503ServiceUnavailable("It could not be recorded just now; send it again. " + err.Error())
}

func sentence(err error) string {
	text := err.Error()
	return strings.ToUpper(text[:1]) + text[1:] + "."
}

// badRequest is a request that says something it cannot mean.
type badRequest struct{ err error }

func (b *badRequest) Error() string { return b.err.Error() }

// reply is what every handler answers with.
type reply[T any] struct{ Body T }

func answer[T any](v T) *reply[T] { return &reply[T]{v} }
