package planner_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
)

// fullDay is a crew with work from morning to evening: so many sites, each with a unit that takes about an hour.
func fullDay(t *testing.T, sites int, access string) *county {
	c := newCounty(t)
	for i := range sites {
		id := fmt.Sprint("s", i)
		c.site(events.SiteID(id), 40.02+float64(i)/50, access)
		c.feed(events.SiteID(id), events.FeedID("f-"+id), access)
		c.assembly(events.AssemblyID("x-"+id), events.FeedID("f-"+id), events.RP, 4)
	}
	return c
}

func TestBreaks(t *testing.T) {
	for _, c := range []struct {
		name          string
		sites         int
		access, hours string
		minutes       int
		from, to      string
		want          bool
		open, close   string // of the span, on the clock of the Tuesday
	}{
		{"no break on record", 9, "Mo-Fr 06:00-17:00", "Mo-Fr 06:00-16:00", 0, "", "", false, "", ""},
		{"about noon", 9, "Mo-Fr 06:00-17:00", "Mo-Fr 06:00-16:00", 30, "11:30", "13:30", true, "11:30", "13:30"},
		{"home long before", 1, "Mo-Fr 06:00-09:00", "Mo-Fr 06:00-16:00", 30, "11:30", "13:30", false, "", ""},
		{"leaves after it", 1, "Mo-Fr 14:00-16:00", "Mo-Fr 06:00-16:00", 30, "11:30", "13:30", false, "", ""},
		{"after midnight", 9, "24/7", "Mo-Fr 20:00-06:00", 45, "00:30", "02:00", true, "+00:30", "+02:00"},
		{"over midnight", 9, "24/7", "Mo-Fr 20:00-06:00", 45, "23:30", "00:45", true, "23:30", "+00:45"},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := fullDay(t, c.sites, c.access)
			crew := county.book.Crews["a"]
			crew.Hours, crew.BreakMinutes, crew.BreakFrom, crew.BreakTo = c.hours, c.minutes, c.from, c.to
			plan := county.plan()
			route := plan.Routes[0]
			if len(route.Visits) == 0 {
				t.Fatal("no visits")
			}
			rest := route.Break
			if (rest != nil) != c.want {
				t.Fatalf("break %v, want one: %v", rest, c.want)
			}
			if rest == nil {
				return
			}
			if rest.To.Sub(rest.From) != time.Duration(c.minutes)*time.Minute || rest.From.Before(clock(c.open)) || rest.To.After(clock(c.close)) {
				t.Errorf("rests %s to %s", rest.From, rest.To)
			}
			for _, v := range route.Visits {
				if rest.From.Before(v.Leave) && v.Arrive.Before(rest.To) {
					t.Errorf("rests at %s while at %s", rest.From, v.Site)
				}
			}
			line := fmt.Sprintf("break %d min, from %s, at %s", c.minutes, rest.From.Format("15:04"), county.book.Sites[rest.Site].Name)
			if text := plan.InWords(county.book); !strings.Contains(text, line) {
				t.Errorf("no line %q in\n%s", line, text)
			}
			if day := plan.Day(); day.Routes[0].Break == nil || *day.Routes[0].Break != *rest {
				t.Error("the day that is sent out has another break")
			}
		})
	}
}

// On a day that is out a break that is over stays as it was; one that is ahead is planned with what is ahead.
func TestBreakOnADayThatIsOut(t *testing.T) {
	for _, c := range []struct {
		name string
		over bool
	}{{"over", true}, {"ahead", false}} {
		t.Run(c.name, func(t *testing.T) {
			county := fullDay(t, 9, "Mo-Fr 06:00-17:00")
			crew := county.book.Crews["a"]
			crew.BreakMinutes, crew.BreakFrom, crew.BreakTo = 30, "11:30", "13:30"
			sent := sendOut(county.book, county.plan()).Routes[0]
			r := county.request()
			r.Now = sent.Visits[0].Leave
			if c.over {
				r.Now = sent.Break.To.Add(time.Minute)
			}
			for i, v := range sent.Visits {
				if v.Leave.After(r.Now) || i > 0 && !c.over {
					break
				}
				done(r.Book, "a", v, tuesday, v.Leave)
			}
			_, rest, err := planner.Rest(context.Background(), r)
			if err != nil {
				t.Fatal(err)
			}
			restPasses(t, r, rest)
			got := rest.Routes[0].Break
			switch {
			case got == nil:
				t.Error("no break")
			case c.over && *got != *sent.Break:
				t.Errorf("the break was %v and became %v", sent.Break, got)
			case !c.over && got.From.Before(r.Now):
				t.Errorf("rests at %s, before %s", got.From, r.Now)
			}
		})
	}
}
