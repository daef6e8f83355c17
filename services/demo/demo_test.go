package demo_test

import (
	"os"
	"testing"

	"valveround/events"
	"valveround/services/demo"
)

func on(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

func TestFolds(t *testing.T) {
	o := demo.Default()
	o.Today = on("2026-05-13")
	f := demo.Generate(o)
	if _, err := f.Fold(); err != nil {
		t.Fatal(err)
	}
	t.Log(f.Summary())
	if testing.Verbose() {
		if err := demo.WriteSampleList(os.Stdout, f, f.Story.Purveyor); err != nil {
			t.Fatal(err)
		}
	}
}
