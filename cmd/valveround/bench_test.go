package main

import (
	"strings"
	"testing"
)

func TestBenchGeoAskedWrongly(t *testing.T) {
	code, out, errOut := valveround(t, "bench", "geo", "--dump=-3")
	if code != 1 || out != "" || !strings.Contains(errOut, "--dump -3") {
		t.Errorf("exit %d, %q, %q", code, out, errOut)
	}
}
