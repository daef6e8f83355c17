package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// How long certificates are valid. The server's is short and renews itself; platforms refuse one of more than 825 days even
// from an authority of one's own (common practice).
const (
	authorityFor = 10 * 365 * 24 * time.Hour
	serverFor    = 90 * 24 * time.Hour
	renewBefore  = 30 * 24 * time.Hour
	skew         = 24 * time.Hour // clocks of phones are wrong
)

// The files of an authority.
const (
	authorityFile    = "authority.pem"
	authorityKeyFile = "authority.key"
	serverFile       = "server.pem"
	serverKeyFile    = "server.key"
)

// Authority vouches for the server. It is safe for concurrent use.
type Authority struct {
	dir   string
	names []string
	now   func() time.Time

	certificate *x509.Certificate
	key         *ecdsa.PrivateKey

	mu     sync.Mutex
	server *tls.Certificate
}

// Open reads the authority of a folder and makes it if there is none. names are the host names and addresses that the server
// is asked under; this machine's loopback names are always among them.
func Open(dir string, names []string, now func() time.Time) (*Authority, error) {
	a := &Authority{dir: dir, now: now, names: withLoopback(names)}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("the certificate authority's folder: %w", err)
	}
	_, err := os.Stat(a.file(authorityFile))
	if errors.Is(err, os.ErrNotExist) {
		err = a.make()
	} else if err == nil {
		err = a.read() // a certificate without its key is an error, for phones trust it and a new one would be a stranger
	}
	if err != nil {
		return nil, fmt.Errorf("the certificate authority in %s: %w", dir, err)
	}
	if _, err := a.current(); err != nil {
		return nil, err
	}
	return a, nil
}

func withLoopback(names []string) []string {
	list := []string{}
	for _, n := range append(slices.Clone(names), "localhost", "127.0.0.1", "::1") {
		if n = strings.ToLower(strings.TrimSuffix(n, ".")); !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	return list
}

// Names are those that the server's certificate holds.
func (a *Authority) Names() []string { return slices.Clone(a.names) }

// PEM is the authority's certificate, for whoever is to trust it.
func (a *Authority) PEM() []byte {
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.certificate.Raw})
}

// DER is the same in the form that phones install.
func (a *Authority) DER() []byte { return slices.Clone(a.certificate.Raw) }

// Name is what the certificate is listed under on a phone.
func (a *Authority) Name() string { return a.certificate.Subject.CommonName }

// Until is when it runs out.
func (a *Authority) Until() time.Time { return a.certificate.NotAfter }

// Fingerprint is SHA-256 of the certificate, as platforms show it: pairs of digits parted by colons.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.certificate.Raw)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}

// GetCertificate gives the server's certificate, renewed in time.
func (a *Authority) GetCertificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	return a.current()
}

func (a *Authority) current() (*tls.Certificate, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.server == nil {
		a.server = a.readServer()
	}
	if a.server != nil && a.now().Add(renewBefore).Before(a.server.Leaf.NotAfter) && a.now().After(a.server.Leaf.NotBefore) {
		return a.server, nil
	}
	server, err := a.makeServer()
	if err != nil {
		return nil, fmt.Errorf("the server's certificate: %w", err)
	}
	a.server = server
	return server, nil
}

func (a *Authority) file(name string) string { return filepath.Join(a.dir, name) }

func (a *Authority) read() error {
	pair, err := tls.LoadX509KeyPair(a.file(authorityFile), a.file(authorityKeyFile))
	if err != nil {
		return err
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok || !pair.Leaf.IsCA {
		return errors.New("it is not the certificate authority that this program made")
	}
	if !a.now().Before(pair.Leaf.NotAfter) {
		return fmt.Errorf("it ran out on %s: move the folder away, and a new one is made that every phone and browser must be told to trust", pair.Leaf.NotAfter.Format("2006-01-02"))
	}
	a.certificate, a.key = pair.Leaf, key
	return nil
}

// privateNets are the addresses that nobody on the open internet has: RFC 1918, RFC 4193, RFC 3927, and loopback.
var privateNets = []string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"}

// privateNames are the domains that nobody on the open internet has: RFC 6761, RFC 6762, RFC 8375.
var privateNames = []string{"localhost", "local", "home.arpa", "internal"}

func (a *Authority) make() error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	now := a.now()
	template := &x509.Certificate{
		SerialNumber: serial(), Subject: pkix.Name{CommonName: "Valveround office authority " + now.UTC().Format("2006-01-02"), Organization: []string{"Valveround"}}, //nolint:misspell // the field's own name
		NotBefore: now.Add(-skew), NotAfter: now.Add(authorityFor),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true, KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: slices.Clone(privateNames),
	}
	for _, text := range privateNets {
		_, block, err := net.ParseCIDR(text)
		if err != nil {
			return err
		}
		template.PermittedIPRanges = append(template.PermittedIPRanges, block)
	}
	for _, name := range a.names {
		if ip := net.ParseIP(name); ip == nil {
			template.PermittedDNSDomains = append(template.PermittedDNSDomains, name)
		} else if !private(ip) {
			template.PermittedIPRanges = append(template.PermittedIPRanges, one(ip))
		}
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return err
	}
	if err := a.write(authorityFile, authorityKeyFile, raw, key); err != nil {
		return err
	}
	return a.read()
}

func private(ip net.IP) bool {
	return slices.ContainsFunc(privateNets, func(text string) bool {
		_, block, err := net.ParseCIDR(text)
		return err == nil && block.Contains(ip)
	})
}

func one(ip net.IP) *net.IPNet {
	if v4 := ip.To4(); v4 != nil {
		return &net.IPNet{IP: v4, Mask: net.CIDRMask(32, 32)}
	}
	return &net.IPNet{IP: ip, Mask: net.CIDRMask(128, 128)}
}

// serial is random, as RFC 5280, section 4.1.2.2, allows: positive, at most 20 octets.
func serial() *big.Int {
	b := make([]byte, 16)
	_, _ = rand.Read(b) // never fails
	b[0] &= 0x7f
	return new(big.Int).SetBytes(b)
}

// readServer is the kept certificate of the server, nil when there is none or it is for other names or of another authority.
func (a *Authority) readServer() *tls.Certificate {
	pair, err := tls.LoadX509KeyPair(a.file(serverFile), a.file(serverKeyFile))
	if err != nil || pair.Leaf.CheckSignatureFrom(a.certificate) != nil {
		return nil
	}
	for _, name := range a.names {
		if pair.Leaf.VerifyHostname(name) != nil {
			return nil
		}
	}
	return &pair
}

func (a *Authority) makeServer() (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	now := a.now()
	until := now.Add(serverFor)
	if until.After(a.certificate.NotAfter) {
		until = a.certificate.NotAfter
	}
	template := &x509.Certificate{SerialNumber: serial(), Subject: pkix.Name{CommonName: a.names[0]}, NotBefore: now.Add(-skew), NotAfter: until,
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
	for _, name := range a.names {
		if ip := net.ParseIP(name); ip != nil {
			template.IPAddresses = append(template.IPAddresses, ip)
		} else {
			template.DNSNames = append(template.DNSNames, name)
		}
	}
	raw, err := x509.CreateCertificate(rand.Reader, template, a.certificate, &key.PublicKey, a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(raw)
	if err != nil {
		return nil, err
	}
	roots := x509.NewCertPool()
	roots.AddCert(a.certificate)
	if _, err := leaf.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: now}); err != nil {
		return nil, fmt.Errorf("the authority was made for other names than %s; move %s away, and a new one is made that every phone and browser must be told to trust: %w",
			strings.Join(a.names, ", "), a.dir, err)
	}
	if err := a.write(serverFile, serverKeyFile, raw, key); err != nil {
		return nil, err
	}
	return a.readServer(), nil
}

// write writes the key first: a certificate without its key would be taken for damage.
func (a *Authority) write(file, keyFile string, raw []byte, key *ecdsa.PrivateKey) error {
	text, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	if err := replace(a.file(keyFile), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: text})); err != nil {
		return err
	}
	return replace(a.file(file), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw}))
}

func replace(path string, text []byte) error {
	f, err := os.OpenFile(path+".new", os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(path+".new", path)
}
