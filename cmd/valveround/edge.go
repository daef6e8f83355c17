package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/services/authority"
	"valveround/services/words"
)

// edge is how the server meets the network: its names and its certificate.
type edge struct {
	hosts     []string // besides loopback
	tls       *tls.Config
	authority *authority.Authority // nil with a certificate from elsewhere
}

// authorityFolder lies in the data folder.
const authorityFolder = "tls"

// openEdge refuses to be reached from elsewhere without sign-in, and finds or makes the certificate.
func openEdge(c serveCommand) (edge, error) {
	ip := net.ParseIP(c.Listen)
	if c.Listen == "" {
		ip = net.IPv4(127, 0, 0, 1)
	}
	switch {
	case ip == nil:
		return edge{}, fmt.Errorf("--listen %q: want an address, as 192.168.1.20 or 0.0.0.0", c.Listen)
	case !ip.IsLoopback() && !c.SignIn:
		return edge{}, errors.New("--listen beyond this machine needs sign-in: add --sign-in")
	case (c.TLSCert == "") != (c.TLSKey == ""):
		return edge{}, errors.New("--tls-cert and --tls-key go together")
	}
	e := edge{hosts: lower(c.Host)}
	if !c.SignIn && c.TLSCert == "" {
		return e, nil
	}
	e.tls = &tls.Config{MinVersion: tls.VersionTLS12}
	if c.TLSCert != "" {
		return e.withFiles(c.TLSCert, c.TLSKey)
	}
	if len(e.hosts) == 0 && !ip.IsLoopback() {
		e.hosts = thisMachine(ip)
	}
	var err error
	e.authority, err = authority.Open(filepath.Join(c.Dir, authorityFolder), e.hosts, time.Now)
	if err != nil {
		return e, err
	}
	e.tls.GetCertificate = e.authority.GetCertificate
	return e, nil
}

// withFiles serves a certificate from elsewhere. The files are read again when they have changed, so that whatever renews
// them need not restart the server.
func (e edge) withFiles(certFile, keyFile string) (edge, error) {
	pair, err := tls.LoadX509KeyPair(certFile, keyFile)
	if err != nil {
		return e, fmt.Errorf("--tls-cert, --tls-key: %w", err)
	}
	for _, name := range namesOf(pair.Leaf) {
		if !slices.Contains(e.hosts, name) {
			e.hosts = append(e.hosts, name)
		}
	}
	kept := &fileCertificate{cert: certFile, key: keyFile}
	e.tls.GetCertificate = kept.get
	return e, nil
}

func namesOf(leaf *x509.Certificate) []string {
	names := lower(leaf.DNSNames)
	for _, ip := range leaf.IPAddresses {
		names = append(names, ip.String())
	}
	return names
}

func lower(names []string) []string {
	list := make([]string, len(names))
	for i, n := range names {
		list[i] = strings.ToLower(strings.TrimSuffix(n, "."))
	}
	return list
}

// thisMachine is what this machine may be called in its own network: by name, and by the addresses that it listens on.
func thisMachine(listen net.IP) []string {
	var names []string
	if name, err := os.Hostname(); err == nil && name != "" && !strings.ContainsAny(name, " _") {
		names = append(names, strings.ToLower(name))
		if !strings.Contains(name, ".") {
			names = append(names, strings.ToLower(name)+".local")
		}
	}
	if !listen.IsUnspecified() {
		return append(names, listen.String())
	}
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		return names
	}
	for _, a := range addresses {
		if block, ok := a.(*net.IPNet); ok && !block.IP.IsLoopback() && !block.IP.IsLinkLocalUnicast() {
			names = append(names, block.IP.String())
		}
	}
	return names
}

// listen opens the port and says how the server treats connections.
func (p *program) listen(ctx context.Context, handler http.Handler) error {
	address := p.config.Listen
	if address == "" {
		address = "127.0.0.1"
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", net.JoinHostPort(address, strconv.Itoa(p.config.Port)))
	if err != nil {
		return fmt.Errorf("port %d on %s: %w (choose another with PORT or --port)", p.config.Port, address, err)
	}
	p.listener = listener
	quiet, err := zap.NewStdLogAt(p.log.Named("http"), zap.DebugLevel) // browsers that do not trust us yet break off a lot
	if err != nil {
		return err
	}
	// Live connections end with the program, not before. How long an answer may take is set with each request.
	p.server = &http.Server{Handler: p.tellPanics(handler), ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10, ErrorLog: quiet,
		TLSConfig: p.edge.tls, BaseContext: func(net.Listener) context.Context { return ctx }}
	return nil
}

// tellPanics says of a fault of ours what it was and where, and breaks the answer off as the server would.
func (p *program) tellPanics(handler http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			fault := recover()
			if fault == nil {
				return
			}
			if fault != http.ErrAbortHandler { //nolint:errorlint // a panic's value is compared as the server compares it
				p.log.Error("answering failed", zap.String("method", r.Method), zap.String("path", r.URL.Path), zap.Any("fault", fault), zap.Stack("at"))
			}
			panic(http.ErrAbortHandler)
		}()
		handler.ServeHTTP(w, r)
	})
}

// name keeps the name of a new person apart from the log.
func (p *program) name(ctx context.Context, person events.PersonID, name string) error {
	return p.people.Put(ctx, p.store, string(person), words.Details{Name: name})
}

// base is the address of the pages, under the first name that the server is asked under.
func (p *program) base() string {
	scheme, host := "http", p.address()
	if p.edge.tls != nil {
		scheme = "https"
	}
	if len(p.edge.hosts) > 0 {
		if _, port, err := net.SplitHostPort(host); err == nil {
			host = net.JoinHostPort(p.edge.hosts[0], port)
		}
	}
	return scheme + "://" + host
}

// welcome is what is printed once the server answers.
func (p *program) welcome() string {
	base := p.base()
	text := fmt.Sprintf("Valveround is at %s/ and the crews' pages at %s/crew.html\n", base, base)
	if p.edge.authority != nil {
		text += fmt.Sprintf("Its certificate is from an authority of its own, %s\nBrowsers and phones trust it once it is installed: %s/sign-in.html#/trust\nCompare its SHA-256 fingerprint first: %s\n",
			filepath.Join(p.config.Dir, authorityFolder, "authority.pem"), base, p.edge.authority.Fingerprint())
	}
	switch {
	case p.door == nil:
		text += "Demo: nobody signs in, so it answers only on this machine. Add --sign-in to try it with sign-in over TLS.\n"
	case p.door.NeedsSetUp():
		text += fmt.Sprintf("Nobody can sign in yet. Make the first administrator with this link; it works once, and nothing else answers before:\n%s/sign-in.html#/set-up/%s\n", base, p.door.SetUpToken())
	}
	return text + "Stop it with Ctrl-C.\n"
}
