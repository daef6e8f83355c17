package words

import (
	"time"

	"valveround/events"
)

// Break is a crew's break on its way.
type Break struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	At   string    `json:"at" doc:"the name of the site"`
}

// BreakOf is the break of a route; nil when it has none on its way.
func BreakOf(b *events.Book, rest *events.DayBreak) *Break {
	if rest == nil {
		return nil
	}
	return &Break{From: rest.From, To: rest.To, At: SiteOf(b, rest.Site).Name}
}
