package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var noon = time.Date(2026, 5, 12, 12, 0, 0, 0, time.UTC)

func open(t *testing.T, dir string, at time.Time, names ...string) *Authority {
	t.Helper()
	a, err := Open(dir, names, func() time.Time { return at })
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func leaf(t *testing.T, a *Authority) *x509.Certificate {
	t.Helper()
	c, err := a.GetCertificate(&tls.ClientHelloInfo{})
	if err != nil {
		t.Fatal(err)
	}
	return c.Leaf
}

func (a *Authority) verify(c *x509.Certificate, name string, at time.Time) error {
	roots := x509.NewCertPool()
	roots.AppendCertsFromPEM(a.PEM())
	_, err := c.Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: at})
	return err
}

func TestVouchesForItsNames(t *testing.T) {
	a := open(t, t.TempDir(), noon, "Office.Example.COM.", "192.168.7.20", "depot.local", "2001:db8::5")
	for _, name := range []string{"office.example.com", "192.168.7.20", "depot.local", "2001:db8::5", "localhost", "127.0.0.1", "::1"} {
		if err := a.verify(leaf(t, a), name, noon); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range []string{"example.com", "bank.example.net", "10.0.0.1"} {
		if a.verify(leaf(t, a), name, noon) == nil {
			t.Errorf("the server's certificate is good for %s", name)
		}
	}
	// RFC 5280, sections 4.2.1.3 and 4.2.1.9, and the server's short life: platforms refuse more than 825 days (common practice).
	c := leaf(t, a)
	if c.IsCA || c.NotAfter.Sub(noon) > 825*24*time.Hour || len(c.ExtKeyUsage) != 1 || c.ExtKeyUsage[0] != x509.ExtKeyUsageServerAuth {
		t.Errorf("CA %v, until %v, for %v", c.IsCA, c.NotAfter, c.ExtKeyUsage)
	}
}

// Whoever has the authority's key still cannot speak for a name that the office does not have: RFC 5280, section 4.2.1.10.
func TestVouchesForNothingElse(t *testing.T) {
	a := open(t, t.TempDir(), noon, "office.example.com")
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		good bool
	}{{"office.example.com", true}, {"depot.local", true}, {"10.1.2.3", true}, {"bank.example.net", false}, {"example.com", false}, {"203.0.113.9", false}} {
		template := &x509.Certificate{SerialNumber: serial(), Subject: pkix.Name{CommonName: "forged"}, NotBefore: noon, NotAfter: noon.Add(time.Hour), ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
		if ip := net.ParseIP(c.name); ip != nil {
			template.IPAddresses = []net.IP{ip}
		} else {
			template.DNSNames = []string{c.name}
		}
		raw, err := x509.CreateCertificate(rand.Reader, template, a.certificate, &key.PublicKey, a.key)
		if err != nil {
			t.Fatal(err)
		}
		forged, err := x509.ParseCertificate(raw)
		if err != nil {
			t.Fatal(err)
		}
		if err := a.verify(forged, c.name, noon.Add(time.Minute)); (err == nil) != c.good {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestStaysTheSameAuthority(t *testing.T) {
	dir := t.TempDir()
	first := open(t, dir, noon, "office.example.com")
	again := open(t, dir, noon.Add(time.Hour), "office.example.com")
	if first.Fingerprint() != again.Fingerprint() || !leaf(t, first).Equal(leaf(t, again)) {
		t.Error("a new start made another one")
	}
	// Another private name: a new certificate for the server, of the same authority.
	more := open(t, dir, noon, "office.example.com", "depot.local")
	if more.Fingerprint() != first.Fingerprint() || more.verify(leaf(t, more), "depot.local", noon) != nil {
		t.Error("a private name that is new is not vouched for")
	}
	// A name of the open internet that it was not made for: refused in words.
	if _, err := Open(dir, []string{"elsewhere.example.net"}, func() time.Time { return noon }); err == nil || !strings.Contains(err.Error(), "other names") {
		t.Errorf("%v", err)
	}
}

// The server's certificate is renewed while the server runs, thirty days before its end; phones still trust it.
func TestRenewsItself(t *testing.T) {
	now := noon
	a, err := Open(t.TempDir(), []string{"depot.local"}, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	before := leaf(t, a)
	now = noon.Add(serverFor - renewBefore - time.Hour)
	if !leaf(t, a).Equal(before) {
		t.Error("renewed too early")
	}
	now = noon.Add(serverFor - renewBefore + time.Hour)
	if c := leaf(t, a); c.Equal(before) || a.verify(c, "depot.local", now.Add(80*24*time.Hour)) != nil {
		t.Error("not renewed, or not trusted")
	}
	now = noon.Add(authorityFor + time.Hour)
	if _, err := Open(a.dir, []string{"depot.local"}, func() time.Time { return now }); err == nil || !strings.Contains(err.Error(), "ran out") {
		t.Errorf("after the authority's own end: %v", err)
	}
}

func TestKeysAreTheOwnersAlone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tls")
	open(t, dir, noon)
	info, err := os.Stat(dir)
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the folder: %v %v", info.Mode(), err)
	}
	for _, name := range []string{authorityKeyFile, serverKeyFile} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v %v", name, info.Mode(), err)
		}
	}
	// Without its key it is damaged; it is not replaced by a stranger that no phone trusts.
	if err := os.Remove(filepath.Join(dir, authorityKeyFile)); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dir, nil, time.Now); err == nil {
		t.Error("a certificate without its key was taken, or replaced")
	}
}

// OpenSSL, which shares no code with us, reads and verifies what we made, and finds the fingerprint that we print.
func TestOpenSSLAgrees(t *testing.T) {
	tool, err := exec.LookPath("openssl")
	if err != nil {
		t.Fatalf("this test reads certificates with openssl: %v", err)
	}
	dir := t.TempDir()
	a := open(t, dir, time.Now(), "office.example.com", "192.168.7.20")
	ask := func(args ...string) string {
		t.Helper()
		out, err := exec.CommandContext(t.Context(), tool, args...).CombinedOutput()
		if err != nil {
			t.Fatalf("openssl %v: %v: %s", args, err, out)
		}
		return string(out)
	}
	ask("verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", filepath.Join(dir, authorityFile), "-verify_hostname", "office.example.com", filepath.Join(dir, serverFile))
	ask("verify", "-x509_strict", "-CAfile", filepath.Join(dir, authorityFile), "-verify_ip", "192.168.7.20", filepath.Join(dir, serverFile))
	if out := ask("x509", "-in", filepath.Join(dir, authorityFile), "-noout", "-fingerprint", "-sha256"); !strings.Contains(out, a.Fingerprint()) {
		t.Errorf("%s, we print %s", out, a.Fingerprint())
	}
	text := ask("x509", "-in", filepath.Join(dir, authorityFile), "-noout", "-text")
	for _, want := range []string{"X509v3 Name Constraints: critical", "CA:TRUE, pathlen:0", "prime256v1"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in:\n%s", want, text)
		}
	}
	if block, _ := pem.Decode(a.PEM()); block == nil || string(block.Bytes) != string(a.DER()) {
		t.Error("the two downloads differ")
	}
}
