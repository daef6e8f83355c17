package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"
)

// asking is how a command asks a server that is running.
type asking struct {
	Server    string `help:"Address of the running server, as https://office.example.com:8080." xor:"source" required:"" placeholder:"URL"`
	Authority string `help:"Certificate of the server's own authority: a copy of authority.pem in the folder tls of its log. Not needed where this machine trusts it." type:"existingfile" placeholder:"FILE"`
	As        string `help:"Name to sign in with; that person must be an administrator. Not needed for a demo without sign-in." placeholder:"LOGIN"`
	Password  string `name:"password-file" help:"File whose first line is the password." type:"existingfile" placeholder:"FILE"`
}

// client trusts the authority that was named, besides those that this machine knows.
func (a asking) client() (*http.Client, error) {
	if a.Authority == "" {
		return &http.Client{}, nil
	}
	text, err := os.ReadFile(a.Authority)
	if err != nil {
		return nil, fmt.Errorf("--authority: %w", err)
	}
	roots, err := x509.SystemCertPool()
	if err != nil {
		roots = x509.NewCertPool()
	}
	if !roots.AppendCertsFromPEM(text) {
		return nil, fmt.Errorf("--authority: %s holds no certificate", a.Authority)
	}
	return &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots, MinVersion: tls.VersionTLS12}, ForceAttemptHTTP2: true}}, nil
}

// get writes what the server answers, as the person who was named; the session ends with it.
func (a asking) get(ctx context.Context, path string, to io.Writer) error {
	client, err := a.client()
	if err != nil {
		return err
	}
	defer client.CloseIdleConnections()
	var session *http.Cookie
	if a.As != "" {
		if session, err = a.signIn(ctx, client); err != nil {
			return err
		}
	}
	err = a.ask(ctx, client, http.MethodGet, path, session, nil, func(r *http.Response) error {
		_, err := io.Copy(to, r.Body)
		return err
	})
	if session != nil {
		err = errors.Join(err, a.ask(ctx, client, http.MethodPost, "/api/sign-out", session, nil, nil))
	}
	return err
}

func (a asking) signIn(ctx context.Context, client *http.Client) (*http.Cookie, error) {
	if strings.HasPrefix(a.Server, "http:") {
		return nil, errors.New("--as sends a password: the server's address must begin with https")
	}
	password, err := a.password()
	if err != nil {
		return nil, err
	}
	body, err := json.Marshal(map[string]string{"login": a.As, "password": password})
	if err != nil {
		return nil, err
	}
	var session *http.Cookie
	err = a.ask(ctx, client, http.MethodPost, "/api/sign-in", nil, body, func(r *http.Response) error {
		for _, c := range r.Cookies() {
			session = c
		}
		return nil
	})
	if err == nil && session == nil {
		err = errors.New("the server signed nobody in")
	}
	return session, err
}

func (a asking) password() (string, error) {
	if a.Password == "" {
		return "", errors.New("--as needs --password-file: a file whose first line is the password")
	}
	text, err := os.ReadFile(a.Password)
	if err != nil {
		return "", fmt.Errorf("--password-file: %w", err)
	}
	line, _, _ := strings.Cut(string(text), "\n")
	return strings.TrimSuffix(line, "\r"), nil
}

// ask asks for one thing and hands on a good answer; a bad one is said in the server's words.
func (a asking) ask(ctx context.Context, client *http.Client, method, path string, session *http.Cookie, body []byte, read func(*http.Response) error) error {
	request, err := http.NewRequestWithContext(ctx, method, strings.TrimSuffix(a.Server, "/")+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	request.Header.Set("X-Valveround", "1")
	if body != nil {
		request.Header.Set("Content-Type", "application/json")
	}
	if session != nil {
		request.AddCookie(&http.Cookie{Name: session.Name, Value: session.Value})
	}
	response, err := client.Do(request)
	var unknown x509.UnknownAuthorityError
	switch {
	case errors.As(err, &unknown):
		return fmt.Errorf("this machine does not trust the server's certificate; name its authority with --authority: %w", err)
	case err != nil:
		return fmt.Errorf("asking the server: %w", err)
	case response.StatusCode != http.StatusOK:
		err = fmt.Errorf("the server answered %s: %s", response.Status, saidBy(response.Body))
	case read != nil:
		err = read(response)
	}
	return errors.Join(err, response.Body.Close())
}

// saidBy is the sentence of a problem (RFC 9457), or whatever it is that was answered.
func saidBy(body io.Reader) string {
	text, _ := io.ReadAll(io.LimitReader(body, 4096)) // whatever it says helps
	var problem struct {
		Detail string `json:"detail"`
	}
	if json.Unmarshal(text, &problem) == nil && problem.Detail != "" {
		return problem.Detail
	}
	return string(text)
}
