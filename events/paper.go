package events

import (
	"encoding/hex"
	"reflect"
	"strings"
)

// PaperResult is where a result comes from that the office keyed in: a test report that the tester signed on paper.
type PaperResult struct {
	SHA256   string   `json:"sha256"` // of the attached copy, see BlobStore
	SignedOn Date     `json:"signed_on"`
	Tester   PersonID `json:"tester"`
	KeyedBy  PersonID `json:"keyed_by"`
}

// The events of results that came on paper, and of readings that were read or keyed wrongly.
type (
	// KeyedIn: the result that follows was keyed in by the office from a signed paper.
	KeyedIn struct {
		Job   JobID       `json:"job"`
		Paper PaperResult `json:"paper"`
	}
	// ReadingsCorrected: the tester says what was read in truth. The verdict stands, and so does the first entry in the log.
	ReadingsCorrected struct {
		Job   JobID   `json:"job"`
		About EventID `json:"about"` // the tested event
		Why   string  `json:"why"`
		Test  Test    `json:"test"`
	}
)

func declarePaper(v *vocabulary) {
	declare[KeyedIn](v, KindAssembly, "keyed-in")
	declare[ReadingsCorrected](v, KindAssembly, "readings-corrected")
}

// withReadings puts the corrected readings in the place of those of the test they are about.
func (j Job) withReadings(at stamp, e ReadingsCorrected) Job {
	tests := append([]TestTaken(nil), j.Tests...)
	for i := range tests {
		if tests[i].Event == e.About {
			tests[i].Test, tests[i].Corrected = e.Test, at.ID
		}
	}
	j.Tests = tests
	return j
}

// CorrectReadings says what was read in truth. Only the tester may: the command's actor must be the one who tested.
type CorrectReadings struct {
	JobRef
	About EventID // the tested event
	Why   string
	Test  Test // with the tester's verdict as it was
}

// check refuses a paper that does not say whose it is and since when.
func (p PaperResult) check() error {
	sum, err := hex.DecodeString(p.SHA256)
	switch {
	case err != nil || len(sum) != len(Hash{}) || strings.ToLower(p.SHA256) != p.SHA256:
		return refuse("attach the signed paper first: its SHA-256 is 64 hexadecimal digits")
	case p.SignedOn.IsZero():
		return refuse("say on which day the paper was signed")
	case p.Tester == "":
		return refuse("say who tested and signed the paper")
	}
	return nil
}

// fromPaper makes sure that the tests keyed in from a paper are those of the one who signed it, and notes who keyed it in.
func (do FinishJob) fromPaper(c Command) (FinishJob, error) {
	if err := do.Paper.check(); err != nil {
		return do, err
	}
	paper := *do.Paper
	if paper.KeyedBy == "" {
		paper.KeyedBy = c.Actor
	}
	do.Paper = &paper
	for _, test := range []**Test{&do.Initial, &do.Final} {
		if *test == nil {
			continue
		}
		signed := **test
		if signed.Tester == "" {
			signed.Tester = do.Paper.Tester
		}
		if signed.Tester != do.Paper.Tester {
			return do, refuse("the paper is signed by another than the tester of its readings")
		}
		*test = &signed
	}
	return do, nil
}

func decideReadings(b *Book, c Command, do CorrectReadings) ([]Draft, error) {
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	var taken *TestTaken
	for i := range job.Tests {
		if job.Tests[i].Event == do.About {
			taken = &job.Tests[i]
		}
	}
	switch {
	case taken == nil:
		return nil, refuse("job %s has no such test", job.ID)
	case taken.Tester == "" || c.Actor != taken.Tester:
		return nil, refuse("only the tester changes a reading: ask whoever made this test")
	case strings.TrimSpace(do.Why) == "":
		return nil, refuse("say why the readings are corrected")
	case do.Test.Says != taken.Says:
		return nil, refuse("with another verdict it is another result: take this one back and record it again")
	case len(do.Test.Readings) == 0:
		return nil, refuse("record the readings")
	}
	test := do.Test
	test.Tester, test.At = taken.Tester, taken.Test.At
	profile := ProfileFor(b.Purveyors[a.Purveyor])
	verdict := test.Judge(profile, a.Type)
	test.Profile, test.Computed = profile.ID, &verdict
	if reflect.DeepEqual(test, taken.Test) {
		return nil, nil
	}
	drafts := []Draft{{a.entity(), ReadingsCorrected{do.Job, do.About, do.Why, test}}}
	if test.Disagrees() {
		drafts = append(drafts, Draft{a.entity(), AssemblyAlarm{Alarm{eventID(c.ID, 0),
			"the tester says " + string(test.Says) + ", the criteria of the purveyor's profile say " + string(verdict.Opinion()) + " of the corrected readings: both are kept", AlarmVerdict}}})
	}
	return drafts, nil
}
