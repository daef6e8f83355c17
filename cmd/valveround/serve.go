package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zapcore"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/planner"
	"valveround/services/console"
	"valveround/services/console/web"
	"valveround/services/demo"
	"valveround/services/dispatch"
	"valveround/services/intake"
	"valveround/services/signin"
	"valveround/services/words"
)

type serveCommand struct {
	Dir        string   `help:"Folder of the log. With --demo a new log is made there if it is empty; without a folder the demo's log is thrown away at the end." type:"path"`
	Demo       bool     `help:"Serve the invented demo county."`
	Crews      int      `help:"Crews of the demo." default:"8"`
	Sites      int      `help:"Sites of the demo." default:"600"`
	Seed       uint64   `help:"Another seed is another county." default:"1"`
	Port       int      `help:"Port; 0: any free one." env:"PORT" default:"8080"`
	SignIn     bool     `help:"With --demo: people sign in, over TLS. For anything but a demo they always do."`
	Listen     string   `help:"Address to listen on; 0.0.0.0 or :: for every one of this machine. Other than loopback only with sign-in." default:"127.0.0.1" placeholder:"ADDRESS"`
	Host       []string `help:"Names and addresses that browsers and phones reach this server under. Default: this machine's." placeholder:"NAME"`
	TLSCert    string   `name:"tls-cert" help:"Certificate file (PEM) from an authority that browsers know. Without one the server makes an authority of its own in the folder, which browsers and phones are told to trust once." type:"existingfile" placeholder:"FILE"`
	TLSKey     string   `name:"tls-key" help:"Its key." type:"existingfile" placeholder:"FILE"`
	At         string   `help:"With --demo: pretend that it is this moment in the county, as 2026-05-12T15:00, and let the clock run on from there." placeholder:"MOMENT"`
	Seconds    float64  `help:"How long a plan is searched for." default:"3"`
	Iterations int      `help:"Search every plan for so many rounds in place of a time: the same log then gives the same plan on any machine." placeholder:"ROUNDS"`
	Office     string   `help:"Office that is served." default:"main"`
	Zone       string   `help:"Time zone of the office. Default: that of the demo, or of this machine."`
	Verbose    bool     `help:"Log more."`
}

func (c *serveCommand) Run(ctx context.Context, io streams) error {
	log, err := newLogger(c.Verbose)
	if err != nil {
		return err
	}
	defer func() { _ = log.Sync() }() // stderr cannot be synced everywhere
	c.SignIn = c.SignIn || !c.Demo
	if c.Dir == "" {
		if !c.Demo {
			return errors.New("say in which folder the log lies: --dir DIR, or try --demo")
		}
		if c.Dir, err = os.MkdirTemp("", "valveround-demo-"); err != nil {
			return err
		}
		defer func() { _ = os.RemoveAll(c.Dir) }()
	}
	now, err := c.clock()
	if err != nil {
		return err
	}
	p := &program{config: *c, log: log, now: now}
	if err := p.open(ctx); err != nil {
		return errors.Join(err, p.close())
	}
	fmt.Fprint(io.out, p.summary, p.welcome())
	return errors.Join(p.serve(ctx), p.close())
}

// clock is the machine's, or for the demo one that was set to a moment.
func (c *serveCommand) clock() (func() time.Time, error) {
	if c.At == "" {
		return time.Now, nil
	}
	if !c.Demo {
		return nil, errors.New("--at is for the demo only: a real log keeps real time")
	}
	zone, err := time.LoadLocation(demo.Default().Zone)
	if err != nil {
		return nil, err
	}
	at, err := time.ParseInLocation("2006-01-02T15:04", c.At, zone)
	if err != nil {
		return nil, fmt.Errorf("--at %q: want a moment like 2026-05-12T15:00", c.At)
	}
	began := time.Now()
	return func() time.Time { return at.Add(time.Since(began)) }, nil
}

func newLogger(verbose bool) (*zap.Logger, error) {
	cfg := zap.NewProductionConfig()
	cfg.Encoding, cfg.DisableStacktrace = "console", true
	cfg.EncoderConfig.EncodeTime = func(t time.Time, enc zapcore.PrimitiveArrayEncoder) { enc.AppendString(t.Format("15:04:05")) }
	cfg.Level.SetLevel(zap.InfoLevel)
	if verbose {
		cfg.Level.SetLevel(zap.DebugLevel)
	}
	return cfg.Build()
}

// program is everything that runs: the log, the book, the services, the listener. End-to-end tests build the same
// value with another clock.
type program struct {
	config serveCommand
	log    *zap.Logger
	now    func() time.Time
	rates  console.Rates // zero: the default

	summary  string // of a demo that was just made
	store    *natslog.Store
	keeper   *keeper.Keeper
	people   *words.People
	dispatch *dispatch.Desk
	edge     edge
	door     *signin.Door // nil: nobody signs in
	listener net.Listener
	server   *http.Server
}

func (p *program) open(ctx context.Context) (err error) {
	if p.store, err = natslog.Open(ctx, natslog.Config{Dir: p.config.Dir, Logger: p.log.Named("log")}); err != nil {
		return err
	}
	p.keeper, err = keeper.Open(ctx, keeper.Config{Log: p.store, Now: p.now, Logger: p.log.Named("book")})
	if err != nil {
		return err
	}
	if p.people, err = words.LoadPeople(ctx, p.store); err != nil {
		return err
	}
	office, name, zone, err := p.furnish(ctx)
	if err != nil {
		return err
	}
	now := func() time.Time { return p.now().In(zone) }
	p.dispatch, err = dispatch.New(dispatch.Config{Keeper: p.keeper, Office: office, Settings: planner.DefaultSettings(), Seconds: p.config.Seconds,
		Iterations: p.config.Iterations, Now: now, Logger: p.log.Named("dispatch")})
	if err != nil {
		return err
	}
	if err := p.dispatch.Recover(ctx); err != nil {
		return fmt.Errorf("completing what was under way: %w", err)
	}
	if p.edge, err = openEdge(p.config); err != nil {
		return err
	}
	notice := "Demo: nobody signs in, so this server answers only on this machine."
	if p.config.SignIn {
		notice = ""
		p.door, err = signin.Open(ctx, signin.Config{Office: office, Store: p.store.SignIn(), Keeper: p.keeper, Name: p.name, Now: p.now, Logger: p.log.Named("sign-in")})
		if err != nil {
			return err
		}
	}
	pages, err := web.Pages()
	if err != nil {
		return err
	}
	handler, err := console.New(console.Config{Office: office, Name: name, Zone: zone, Log: p.store, Keeper: p.keeper, Dispatch: p.dispatch,
		Intake: p.intake(office, name, now), People: p.people, Details: p.store, Blobs: p.store, Now: now,
		Notice: notice, SignIn: p.door, Rates: p.rates, Hosts: p.edge.hosts, Trust: p.edge.authority, Pages: pages, Logger: p.log.Named("console")})
	if err != nil {
		return err
	}
	return p.listen(ctx, handler)
}

func (p *program) intake(office events.OfficeID, name string, now func() time.Time) *intake.Desk {
	return intake.NewDesk(intake.Config{Doer: p.keeper, Office: office, Now: now, OurNames: []string{name},
		KeepDetails: func(ctx context.Context, site events.SiteID, d words.Details) error {
			return p.people.Put(ctx, p.store, string(site), d)
		}})
}

// furnish says which office is served, and fills an empty log with the demo if asked to.
func (p *program) furnish(ctx context.Context) (office events.OfficeID, name string, zone *time.Location, err error) {
	zoneName := p.config.Zone
	office, name = events.OfficeID(p.config.Office), "Valveround"
	if p.config.Demo {
		o := demo.Default()
		if zoneName == "" {
			zoneName = o.Zone
		}
		office, name = demo.Office, "Demo county"
		if p.keeper.Position() == 0 {
			o.Crews, o.Sites, o.Assemblies, o.Seed = p.config.Crews, p.config.Sites, p.config.Sites*5/2, p.config.Seed
			if err := p.importDemo(ctx, o); err != nil {
				return "", "", nil, err
			}
		}
	}
	if zoneName == "" {
		zoneName = "Local"
	}
	if err := events.CheckID(string(office)); err != nil {
		return "", "", nil, fmt.Errorf("--office: %w", err)
	}
	if zone, err = time.LoadLocation(zoneName); err != nil {
		return "", "", nil, fmt.Errorf("--zone: %w", err)
	}
	return office, name, zone, nil
}

// importDemo puts the county into the log, and its people beside it.
func (p *program) importDemo(ctx context.Context, o demo.Options) error {
	zone, err := time.LoadLocation(o.Zone)
	if err != nil {
		return err
	}
	o.Today = events.DateIn(p.now(), zone)
	if err := o.Validate(); err != nil {
		return fmt.Errorf("the demo: %w", err)
	}
	fleet := demo.Generate(o)
	p.summary = fleet.Summary()
	results, err := p.keeper.Import(ctx, fleet.Commands, nil)
	if err != nil {
		return fmt.Errorf("putting the demo into the log: %w", err)
	}
	for i, r := range results {
		if r.Err != nil {
			return fmt.Errorf("demo command %d, %T: %w", i+1, fleet.Commands[i].Do, r.Err)
		}
	}
	for id, d := range fleet.People {
		if err := p.people.Put(ctx, p.store, string(id), words.Details{Name: d.Name, Phone: d.Phone}); err != nil {
			return err
		}
	}
	for id, secret := range fleet.Secrets {
		if err := p.people.Put(ctx, p.store, string(id), words.Details{Code: secret.GateCode}); err != nil {
			return err
		}
	}
	return nil
}

func (p *program) address() string { return p.listener.Addr().String() }

// serve answers until the context ends, then gives requests under way a moment.
func (p *program) serve(ctx context.Context) error {
	done := make(chan error, 1)
	go func() {
		if p.server.TLSConfig == nil {
			done <- p.server.Serve(p.listener)
		} else {
			done <- p.server.ServeTLS(p.listener, "", "")
		}
	}()
	select {
	case err := <-done:
		return err
	case <-p.keeper.Done():
		return p.keeper.Err()
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 3*time.Second)
	defer cancel()
	if err := p.server.Shutdown(grace); err != nil {
		return p.server.Close()
	}
	return nil
}

func (p *program) close() error {
	var errs []error
	if p.dispatch != nil {
		p.dispatch.Close()
	}
	if p.listener != nil {
		if err := p.listener.Close(); err != nil && !errors.Is(err, net.ErrClosed) {
			errs = append(errs, err)
		}
	}
	if p.keeper != nil {
		errs = append(errs, p.keeper.Close())
	}
	if p.store != nil {
		errs = append(errs, p.store.Close())
	}
	return errors.Join(errs...)
}
