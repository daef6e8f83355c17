package routing_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"valveround/planner/routing"
	"valveround/planner/routing/verify"
)

// One crew, two stops an hour of work each, half an hour's drive from home and
// from each other; reckoned by hand. Where the breaks go is in the text.
func TestBreaksReckonedByHand(t *testing.T) {
	lunch := func(open, shut string) routing.Break {
		return routing.Break{Windows: []routing.Window{{Open: at(open), Close: at(shut)}}, Length: 1800}
	}
	for _, c := range []struct {
		name    string
		opens   [2]string // of the two stops: no start before
		latest  string
		breaks  []routing.Break
		want    string
		isFault bool
	}{
		{"none", [2]string{"08:00", "09:30"}, "18:00", nil, "07:30 08:00 09:30 11:00", false},
		{"at home after the return", [2]string{"08:00", "09:30"}, "18:00", []routing.Break{lunch("10:00", "11:00")}, "07:30 08:00 09:30 11:00", false},
		{"at home before leaving", [2]string{"08:00", "09:30"}, "18:00", []routing.Break{lunch("07:00", "07:01")}, "07:30 08:00 09:30 11:00", false},
		{"between the stops, before the drive", [2]string{"08:00", "09:30"}, "18:00", []routing.Break{lunch("09:00", "09:05")}, "07:30 08:00 rest 09:00-09:30 10:00 11:30", false},
		{"while the door is still shut", [2]string{"08:00", "10:00"}, "18:00", []routing.Break{lunch("09:30", "09:40")}, "07:30 08:00 rest 09:30-10:00 10:00 11:30", false},
		{"one on the way and one at home", [2]string{"08:00", "09:30"}, "18:00", []routing.Break{lunch("08:30", "09:00"), lunch("11:30", "12:00")}, "07:30 08:00 rest 09:00-09:30 10:00 11:30", false},
		{"two, one after the other", [2]string{"08:00", "10:00"}, "18:00", []routing.Break{lunch("09:00", "09:00"), lunch("09:00", "10:00")}, "07:30 08:00 rest 09:00-09:30 rest 09:30-10:00 10:30 12:00", false},
		{"no room: the crew is at work", [2]string{"08:00", "10:30"}, "12:00", []routing.Break{lunch("08:10", "08:50")}, "", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec := routing.Spec{
				Places: 3,
				Travel: routing.MatrixTravel{Places: 3, Metres: make([]int32, 9), Seconds: []int32{0, 1800, 1800, 1800, 0, 1800, 1800, 1800, 0}},
				Routes: []routing.Route{{Earliest: at("06:00"), Latest: at(c.latest), CostPerSecond: 1, Breaks: c.breaks}},
			}
			for i, open := range c.opens {
				// The first starts on the minute: what is left to find is where the breaks go.
				shut := at(open)
				if i == 1 {
					shut = at("16:00")
				}
				spec.Visits = append(spec.Visits, routing.Visit{Place: routing.PlaceIndex(i + 1), Service: 3600, Required: true,
					Windows: []routing.Window{{Open: at(open), Close: shut}}})
			}
			p, err := routing.NewProblem(spec)
			if err != nil {
				t.Fatal(err)
			}
			e := routing.Evaluate(p, [][]routing.VisitIndex{{0, 1}})
			if c.isFault {
				if len(e.Faults) != 1 || e.Faults[0].Kind != routing.FaultBreak {
					t.Fatalf("faults %v, want one about the break", e.Faults)
				}
				return
			}
			if got := restText(e.Routes[0]); got != c.want || len(e.Faults) > 0 {
				t.Errorf("got  %s\nwant %s, faults %v", got, c.want, e.Faults)
			}
			s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Iterations: 100})
			if err != nil {
				t.Fatal(err)
			}
			if faults := verify.Check(p, s); len(faults) > 0 || s.Evaluation.Cost != e.Cost {
				t.Errorf("Solve: %v costs %v, want %v; %v", s.Routes, s.Evaluation.Cost, e.Cost, faults)
			}
		})
	}
}

// restText writes departure, starts and rests, and return.
func restText(s routing.RouteSchedule) string {
	words := []string{clockText(s.Depart)}
	rests := s.Rests
	for k := range len(s.Stops) + 1 {
		for len(rests) > 0 && rests[0].After == k {
			words = append(words, fmt.Sprintf("rest %s-%s", clockText(rests[0].Start), clockText(rests[0].End)))
			rests = rests[1:]
		}
		if k < len(s.Stops) {
			words = append(words, clockText(s.Stops[k].Start))
		}
	}
	return strings.Join(append(words, clockText(s.Return)), " ")
}
