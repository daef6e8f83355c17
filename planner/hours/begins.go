package hours

import (
	"slices"
	"strings"
	"time"
)

// window is one opening by the calendar day it begins on.
type window struct {
	date  int // counted from the first of a list of days
	clock clocked
}

// clocked is what windows that a calendar may repeat have in common.
type clocked struct {
	stretch        // minutes after the midnight of the day it begins on; to may lie in the next day
	note    string // of the rules that open it
}

// begins lists the windows that begin on each of n days, from the date on (midnight UTC). A stretch up to midnight and one
// from it are one window over midnight, unless one of them is the whole day.
func (h Hours) begins(date time.Time, n int) []window {
	var list []window
	var reaches *window // over midnight into the day at hand
	for i := -1; i <= n; i++ {
		on := date.AddDate(0, 0, i)
		open := h.day(on, nil)
		if reaches != nil {
			if len(open) > 0 && open[0].from == 0 && open[0].to < dayMin {
				reaches.clock.to += open[0].to
				reaches.clock.note = joinNotes(reaches.clock.note, h.note(on, open[0]))
				open = open[1:]
			}
			if reaches.date >= 0 {
				list = append(list, *reaches)
			}
			reaches = nil
		}
		for _, s := range open {
			w := window{i, clocked{s, h.note(on, s)}}
			switch {
			case s.to == dayMin && s.from > 0 && i < n:
				reaches = &w
			case 0 <= i && i < n:
				list = append(list, w)
			}
		}
	}
	return list
}

// note joins the notes of the rules that open some of the stretch of the day.
func (h Hours) note(date time.Time, s stretch) string {
	type said struct {
		stretch
		note string
	}
	var all []said
	for _, r := range h.rules {
		today, overnight := h.matches(r, date), h.matches(r, date.AddDate(0, 0, -1))
		if today && !r.Adds && !r.Closed {
			all = all[:0]
		}
		if r.Closed || r.Comment == "" {
			continue
		}
		if today && len(r.Times) == 0 {
			all = append(all, said{stretch{0, dayMin}, r.Comment})
		}
		for _, t := range r.Times {
			if today {
				all = append(all, said{stretch{t.OpenMin, min(t.CloseMin, dayMin)}, r.Comment})
			}
			if overnight && t.CloseMin > dayMin {
				all = append(all, said{stretch{0, t.CloseMin - dayMin}, r.Comment})
			}
		}
	}
	var note string
	for _, x := range all {
		if x.from < s.to && s.from < x.to {
			note = joinNotes(note, x.note)
		}
	}
	return note
}

// joinNotes puts each note once.
func joinNotes(a, b string) string {
	notes := strings.Split(a, "\n")
	for n := range strings.SplitSeq(b, "\n") {
		if n != "" && !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	return strings.Trim(strings.Join(notes, "\n"), "\n")
}
