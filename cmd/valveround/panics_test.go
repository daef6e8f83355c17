package main

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest/observer"
)

// A fault of ours in answering is told as an error, with the address asked; an answer broken off on purpose is not.
func TestPanicsAreTold(t *testing.T) {
	core, told := observer.New(zap.InfoLevel)
	p := &program{log: zap.New(core)}
	server := httptest.NewServer(p.tellPanics(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, "off") {
			panic(http.ErrAbortHandler)
		}
		panic("out of range")
	})))
	defer server.Close()
	for _, path := range []string{"/broken-off", "/fault"} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, server.URL+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		if answer, err := http.DefaultClient.Do(r); err == nil {
			_ = answer.Body.Close()
			t.Errorf("%s was answered %d", path, answer.StatusCode)
		}
	}
	if told.Len() != 1 || told.All()[0].ContextMap()["path"] != "/fault" || told.All()[0].ContextMap()["fault"] != "out of range" {
		t.Errorf("told %v, want the one fault", told.All())
	}
}
