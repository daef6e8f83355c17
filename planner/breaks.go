package planner

import (
	"time"

	"valveround/events"
	"valveround/planner/hours"
	"valveround/planner/routing"
)

// Breaks. A crew rests for so many minutes within a span of its wall clock, in which it neither drives nor serves: where it is, or
// at home in its own time when it leaves late or is back early enough. When and how long a crew must rest is for law and agreement to
// say (common practice: half an hour about noon); the crew's record says it.

// breakSpan is when a crew that works in a span rests: the first span of its break that has not passed when it begins. Not ok when
// it has no break, or its day is over before.
func breakSpan(crew *events.Crew, working hours.Span) (span hours.Span, ok bool) {
	length := minutes(crew.BreakMinutes)
	if length <= 0 {
		return span, false
	}
	h, err := hours.Parse(crew.BreakFrom + "-" + crew.BreakTo)
	if err != nil {
		return span, false
	}
	for _, s := range h.Spans(working.Open.Location(), working.Open.Add(-24*time.Hour), working.Close.Add(24*time.Hour)) {
		if s.Close.After(working.Open) && s.Close.Sub(s.Open) >= length {
			return s, s.Open.Before(working.Close)
		}
	}
	return span, false
}

// breaks are the breaks that a team has ahead of it, for the engine.
func (w *work) breaks(t team) []routing.Break {
	span, ok := breakSpan(t.Crew, t.span)
	if !ok {
		return nil
	}
	length := minutes(t.BreakMinutes)
	first, last := span.Open, span.Close.Add(-length)
	if w.hasBegun(t.ID) {
		g := w.by.under.of[t.ID]
		if w.tookBreak(t.ID) != nil {
			return nil
		}
		if first.Before(g.Free) {
			first = g.Free
		}
		home := time.Duration(w.r.Settings.Travel.Travel(w.at(g, t.Home), t.Home).Seconds) * time.Second
		if first.After(last) || g.Free.Add(home).After(last) && first.Add(length+home).After(t.span.Close.Add(minutes(t.OvertimeMinutes))) {
			return nil // it has passed, or there is no time left but to go home
		}
	}
	return []routing.Break{{Windows: []routing.Window{{Open: seconds(first), Close: seconds(last)}}, Length: routing.Seconds(length / time.Second)}}
}

func (w *work) hasBegun(crew events.CrewID) bool {
	_, begun := w.leftHome(crew)
	return begun
}

// tookBreak is the break that a crew which has begun has taken, as far as can be told: it has begun what came after it, or is free and
// the break is over. Nil when it is still ahead, or was not on its route.
func (w *work) tookBreak(crew events.CrewID) *events.DayBreak {
	sent, g := w.by.under.routes[crew].Break, w.by.under.of[crew]
	if sent == nil {
		return nil
	}
	for _, v := range g.Visits {
		if !v.Arrive.Before(sent.To) {
			return sent
		}
	}
	if !g.Free.After(w.r.Now) && !sent.To.After(w.r.Now) {
		return sent
	}
	return nil
}

// breakOf is a route's break: the one taken, or where the engine puts it.
func (w *work) breakOf(t team, s routing.RouteSchedule) *events.DayBreak {
	if w.hasBegun(t.ID) {
		if took := w.tookBreak(t.ID); took != nil {
			return took
		}
	}
	if len(s.Rests) == 0 || len(s.Stops) == 0 {
		return nil
	}
	rest := s.Rests[0]
	next := rest.After
	if next == len(s.Stops) || rest.Start < s.Stops[next].Arrive {
		next--
	}
	zone := t.span.Open.Location()
	return &events.DayBreak{From: time.Unix(int64(rest.Start), 0).In(zone), To: time.Unix(int64(rest.End), 0).In(zone), Site: w.stops[s.Stops[max(0, next)].Visit].site.ID}
}
