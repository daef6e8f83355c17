package calls

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// say is what the caller reads out: who calls, about what, how long the water is off, what is to be asked and until when.
func (l *lister) say(c Customer) string {
	parts := []string{l.opening(c)}
	if text := longestDry(c); text != "" {
		parts = append(parts, text)
	}
	if c.OnHold != "" {
		parts = append(parts, "Nothing is done for them now: "+c.OnHold+".")
	}
	for _, ask := range c.Asks {
		text := "Ask " + ask.Words
		if ask.Jobs < c.Jobs {
			text += " (" + words.Count(ask.Jobs, "job", "jobs") + ")"
		}
		parts = append(parts, text+".")
	}
	if text := suggestion(c, l.Tomorrow); text != "" {
		parts = append(parts, text)
	}
	return strings.Join(parts, " ")
}

func (l *lister) opening(c Customer) string {
	where := "at " + c.Sites[0].Site.Name
	if len(c.Sites) > 1 {
		where = fmt.Sprintf("at %d sites, first of all %s", len(c.Sites), c.Sites[0].Site.Name)
	}
	text := fmt.Sprintf("%s about %s %s", l.caller(), words.Count(c.Jobs, "backflow assembly", "backflow assemblies"), where)
	failed, due := 0, events.Date{}
	for _, s := range c.Sites {
		for _, f := range s.Feeds {
			for _, j := range f.Jobs {
				if j.RetestBy != nil {
					failed++
				} else if !j.Due.IsZero() && (due.IsZero() || j.Due.Before(due)) {
					due = j.Due
				}
			}
		}
	}
	var what []string
	if tests := c.Jobs - failed; tests > 0 {
		what = append(what, words.Count(tests, "test", "tests")+words.After(", the first due by ", dueWords(due)))
	}
	if failed > 0 {
		what = append(what, words.Count(failed, "return visit after a failure", "return visits after failures"))
	}
	return text + ": " + strings.Join(what, "; ") + "."
}

func (l *lister) caller() string {
	if l.Firm == "" {
		return "We call"
	}
	return "This is " + l.Firm
}

func dueWords(d events.Date) string {
	if d.IsZero() {
		return ""
	}
	return words.Day(d)
}

func longestDry(c Customer) string {
	longest := 0
	for _, s := range c.Sites {
		for _, f := range s.Feeds {
			longest = max(longest, f.Dry)
		}
	}
	if longest == 0 {
		return ""
	}
	return "The water goes off for up to " + words.Duration(time.Duration(longest)*time.Minute) + " at a time."
}

// suggestion offers the first open days, and says until when notice can be given.
func suggestion(c Customer, tomorrow events.Date) string {
	if !slices.ContainsFunc(c.Asks, func(a Ask) bool {
		return a.Rule == askNotice || a.Rule == askWindow || a.Rule == askFire || a.Rule == askYes
	}) {
		return ""
	}
	if len(c.Sites) > 1 {
		return ""
	}
	s := c.Sites[0]
	text := ""
	if days := firstOpen(s, tomorrow); len(days) > 0 {
		text = "Hours on record: " + strings.Join(days, "; ") + "."
	}
	switch {
	case s.NoticeLate:
		text += " It is too late for notice before the deadline, so a time must be agreed."
	case !s.NoticeUntil.IsZero():
		text += " Notice is possible until " + dayName(s.NoticeUntil) + "."
	}
	return strings.TrimSpace(text)
}

// firstOpen are the next days to offer: from tomorrow on, and those that notice still reaches where there are any.
func firstOpen(s Site, tomorrow events.Date) []string {
	for _, f := range s.Feeds {
		var all, inTime []string
		for _, d := range f.Open {
			if d.Date.Before(tomorrow) {
				continue
			}
			all = append(all, d.Name+" "+d.Hours)
			if !d.TooSoon && (s.Deadline.IsZero() || !s.Deadline.Before(d.Date)) {
				inTime = append(inTime, d.Name+" "+d.Hours)
			}
		}
		if len(inTime) > 0 {
			all = inTime
		}
		if len(all) > 0 {
			return all[:min(3, len(all))]
		}
	}
	return nil
}
