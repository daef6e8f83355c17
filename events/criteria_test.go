package events

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

var updateCriteria = flag.Bool("update-criteria", false, "rewrite testdata/criteria/profiles.json")

const criteriaFolder = "../testdata/criteria"

// criteriaCase is one row of cases.json, which the phone's judge reads too. Each names its published source.
type criteriaCase struct {
	Name     string       `json:"name"`
	Source   string       `json:"source"`
	Mark     Mark         `json:"mark"`
	Type     AssemblyType `json:"type"`
	Profiles []ProfileID  `json:"profiles"`
	Test
	Expect struct {
		Opinion      Opinion  `json:"opinion"`
		Complete     bool     `json:"complete"`
		Fails        []string `json:"fails"`
		Missing      []string `json:"missing"`
		Buffer       *string  `json:"buffer"`
		BypassBuffer *string  `json:"bypass_buffer"`
	} `json:"expect"`
}

func readCases(t *testing.T) []criteriaCase {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(criteriaFolder, "cases.json"))
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []criteriaCase }
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) == 0 {
		t.Fatal("no cases")
	}
	return file.Cases
}

func TestPublishedCases(t *testing.T) {
	for _, c := range readCases(t) {
		if c.Source == "" || c.Mark == "" || len(c.Profiles) == 0 {
			t.Errorf("%s: names no source, mark or profile", c.Name)
		}
		for _, id := range c.Profiles {
			t.Run(c.Name+"/"+string(id), func(t *testing.T) {
				profile, err := ProfileByID(id)
				if err != nil {
					t.Fatal(err)
				}
				checkCase(t, c, c.Test.Judge(profile, c.Type))
			})
		}
	}
}

func checkCase(t *testing.T, c criteriaCase, v Verdict) {
	t.Helper()
	if v.Opinion() != c.Expect.Opinion || v.Complete != c.Expect.Complete {
		t.Errorf("%s, complete %v; want %s, %v\n%+v", v.Opinion(), v.Complete, c.Expect.Opinion, c.Expect.Complete, v.Findings)
	}
	if got := findingsAt(v, StatusFail); !slices.Equal(got, c.Expect.Fails) {
		t.Errorf("fails %v, want %v\n%+v", got, c.Expect.Fails, v.Findings)
	}
	if got := findingsAt(v, StatusMissing); !slices.Equal(got, c.Expect.Missing) {
		t.Errorf("missing %v, want %v\n%+v", got, c.Expect.Missing, v.Findings)
	}
	checkBuffer(t, "buffer", v.Buffer, c.Expect.Buffer)
	checkBuffer(t, "bypass buffer", v.BypassBuffer, c.Expect.BypassBuffer)
}

func checkBuffer(t *testing.T, what string, got *Decimal, want *string) {
	t.Helper()
	switch {
	case got == nil && want == nil:
	case got == nil || want == nil:
		t.Errorf("%s = %v, want %v", what, got, want)
	case got.Cmp(MustDecimal(*want)) != 0:
		t.Errorf("%s = %s, want %s", what, got, *want)
	}
}

// findingsAt lists "part component" with the status, each once.
func findingsAt(v Verdict, status Status) []string {
	var at []string
	for _, f := range v.Findings {
		if place := string(f.Part) + " " + string(f.Component); f.Status == status && !slices.Contains(at, place) {
			at = append(at, place)
		}
	}
	return at
}

// The exported criteria are kept in testdata for the phone's tests; -update-criteria rewrites them.
func TestProfilesFile(t *testing.T) {
	raw, err := CriteriaJSON()
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if err := json.Indent(&want, raw, "", " "); err != nil {
		t.Fatal(err)
	}
	want.WriteByte('\n')
	path := filepath.Join(criteriaFolder, "profiles.json")
	if *updateCriteria {
		if err := os.WriteFile(path, want.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want.Bytes()) {
		t.Error("testdata/criteria/profiles.json is not what CriteriaJSON gives; run go test ./events -update-criteria and read the difference")
	}
}

// Judged by the exported data, the verdicts are the same: the phone needs nothing that is not in it.
func TestExportedProfilesJudgeAlike(t *testing.T) {
	raw, err := CriteriaJSON()
	if err != nil {
		t.Fatal(err)
	}
	var exported struct {
		Default  ProfileID
		Types    map[AssemblyType][]Place
		Profiles []Profile
	}
	if err := json.Unmarshal(raw, &exported); err != nil {
		t.Fatal(err)
	}
	if exported.Default != Strictest || len(exported.Types) != len(AssemblyTypes()) {
		t.Errorf("default %q, %d types", exported.Default, len(exported.Types))
	}
	for _, c := range readCases(t) {
		for _, p := range exported.Profiles {
			if slices.Contains(c.Profiles, p.ID) {
				checkCase(t, c, c.Test.Judge(p, c.Type))
			}
		}
	}
}

func TestEveryProfileCoversEveryComponent(t *testing.T) {
	for _, p := range Profiles() {
		for _, kind := range AssemblyTypes() {
			for _, place := range kind.Components() {
				required := slices.ContainsFunc(p.Criteria, func(c Criterion) bool {
					return c.Family == place.Family && c.Component == place.Component && !c.IfGiven
				})
				if !required {
					t.Errorf("%s has nothing that %s %s must meet", p.ID, kind, place.Component)
				}
			}
		}
		for _, c := range p.Criteria {
			if c.Text == "" || c.Source == "" || c.Mark == "" {
				t.Errorf("%s, %s %s: without text, source or mark: %+v", p.ID, c.Family, c.Component, c)
			}
		}
	}
}

func TestProfileByID(t *testing.T) {
	if p, err := ProfileByID(""); err != nil || p.ID != Strictest {
		t.Errorf("the profile of none = %s, %v; want the strictest", p.ID, err)
	}
	if _, err := ProfileByID("usc-11"); err == nil {
		t.Error("an unknown profile was found")
	}
}

// anyReadings draws a reading, seldom none, of every component of a type: numbers about the lines, few bad words.
func anyReadings(t *rapid.T, kind AssemblyType) []Reading {
	numbers := []string{"", "0", "0.96", "1.0", "1.4", "1.9", "2.0", "2.1", "2.6", "3.2", "4.9", "5.0", "5.2", "6.0", "7"}
	var readings []Reading
	for _, place := range kind.Components() {
		if rapid.IntRange(0, 19).Draw(t, "skip") == 7 {
			continue
		}
		r := Reading{Part: place.Part, Component: place.Component, Phase: Initial, Unit: PSID}
		if text := rapid.SampledFrom(numbers).Draw(t, "number"); text != "" {
			n := MustDecimal(text)
			r.Number = &n
		}
		r.Result = rapid.SampledFrom([]Result{Held, Held, Held, Held, "", Opened, Leaked, DidNotOpen}).Draw(t, "result")
		if fully := rapid.SampledFrom([]string{"yes", "yes", "no", ""}).Draw(t, "fully open"); fully != "" {
			open := fully == "yes"
			r.FullyOpen = &open
		}
		readings = append(readings, r)
	}
	return readings
}

func TestStrictestIsStrictest(t *testing.T) {
	strictest, _ := ProfileByID(Strictest)
	var passes int
	compare := func(kind AssemblyType, readings []Reading) {
		if !Judge(strictest, kind, readings).Pass {
			return
		}
		passes++
		for _, p := range Profiles() {
			if v := Judge(p, kind, readings); !v.Pass {
				t.Fatalf("passes by the strictest, not by %s: %v\n%+v", p.ID, v.Why(), readings)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(AssemblyTypes()).Draw(t, "type")
		compare(kind, anyReadings(t, kind))
	})
	for relief := int64(15); relief < 50; relief++ {
		for check1 := int64(45); check1 < 90; check1++ {
			for _, check2 := range []int64{9, 10} {
				compare(RP, []Reading{
					{Part: MainPart, Component: Relief, Unit: PSID, Number: &Decimal{relief, 1}},
					{Part: MainPart, Component: Check1, Unit: PSID, Number: &Decimal{check1, 1}},
					{Part: MainPart, Component: Check2, Unit: PSID, Number: &Decimal{check2, 1}, Result: Held},
				})
			}
		}
	}
	if passes < 500 {
		t.Errorf("only %d sets of readings passed: the comparison says little", passes)
	}
}

func TestVerdictsHoldTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(AssemblyTypes()).Draw(t, "type")
		p := rapid.SampledFrom(Profiles()).Draw(t, "profile")
		readings := anyReadings(t, kind)
		v := Judge(p, kind, readings)
		if v.Pass && (v.Fail || !v.Complete) {
			t.Fatalf("pass with fail %v, complete %v", v.Fail, v.Complete)
		}
		if v.Pass && len(readings) < len(kind.Components()) {
			t.Fatal("passes though a component was not read")
		}
		if (len(v.Why()) == 0) != (v.Pass || kind == AVB) {
			t.Fatalf("pass %v, and why not: %v", v.Pass, v.Why())
		}
		slices.Reverse(readings)
		if again := Judge(p, kind, readings); again.Opinion() != v.Opinion() {
			t.Fatal("the order of the readings changes the verdict")
		}
	})
}

func TestDisagreement(t *testing.T) {
	test := Test{Says: OpinionPass, Computed: &Verdict{Fail: true}}
	if !test.Disagrees() {
		t.Error("tester pass, computed fail: no disagreement")
	}
	test.Says = OpinionFail
	if test.Disagrees() {
		t.Error("both fail: disagreement")
	}
	if (Test{Says: OpinionPass}).Disagrees() {
		t.Error("nothing computed: disagreement")
	}
}

// A number that was not read is absent, never 0.
func TestReadingKeepsWhatWasRead(t *testing.T) {
	for _, text := range []string{
		`{"part":"main","component":"relief","phase":"initial","result":"did-not-open"}`,
		`{"part":"main","component":"check-1","phase":"final","number":"0.960","unit":"psid","result":"held","procedure":"as certified"}`,
		`{"part":"main","component":"air-inlet","phase":"initial","number":"1.1","unit":"psid","fully_open":false}`,
	} {
		var r Reading
		if err := json.Unmarshal([]byte(text), &r); err != nil {
			t.Fatal(err)
		}
		if got, err := json.Marshal(r); err != nil || string(got) != text {
			t.Errorf("%s came back as %s (%v)", text, got, err)
		}
	}
}
