package crew_test

import (
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/crew"
)

var received = time.Date(2026, time.May, 13, 15, 4, 0, 0, time.UTC)

// TestClock: what a phone says is kept as it says it; what it means on the server's clock is never later than it was
// received, and a clock that was set in between is said to be so.
func TestClock(t *testing.T) {
	ago := func(d time.Duration) time.Time { return received.Add(-d) }
	offset := func(d time.Duration) *int64 { ms := d.Milliseconds(); return &ms }
	at := func(t time.Time) *time.Time { return &t }
	five := 5 * time.Hour
	for _, row := range []struct {
		name     string
		happened time.Time
		learned  *int64
		sent     *time.Time
		want     time.Time // on the server's clock
		doubt    string
	}{
		{"a right clock, nothing learned", ago(time.Hour), nil, nil, ago(time.Hour), ""},
		{"a right clock", ago(time.Hour), offset(0), at(received), ago(time.Hour), ""},
		{"five hours ahead, learned before", ago(time.Hour).Add(five), offset(five), at(received.Add(five)), ago(time.Hour), ""},
		{"five hours ahead, seen when it was sent", ago(time.Hour).Add(five), nil, at(received.Add(five)), ago(time.Hour), ""},
		{"five hours behind, seen when it was sent", ago(time.Hour).Add(-five), nil, at(received.Add(-five)), ago(time.Hour), ""},
		{"five hours ahead and nothing known", ago(time.Hour).Add(five), nil, nil, received, "has yet to happen"},
		{"a minute ahead of what was received", received.Add(time.Minute), nil, nil, received, ""},
		{"five hours ahead, set right before sending", ago(time.Hour).Add(five), offset(five), at(received), ago(time.Hour), "was set between"},
		{"right when learned, then set five hours ahead", ago(time.Hour).Add(five), offset(0), at(received.Add(five)), ago(time.Hour), "was set between"},
		{"an offset of ages is not believed", ago(time.Hour), offset(200 * 365 * 24 * time.Hour), at(received), ago(time.Hour), ""},
		{"woke up in 1970", time.Unix(3600, 0), nil, at(time.Unix(7200, 0)), ago(time.Hour), ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := crew.Request{CommandID: strings.Repeat("a", 32), Happened: row.happened, ClockOffsetMS: row.learned, Sent: row.sent,
				Kind: "arrive", Crew: "c1", Day: events.NewDate(2026, time.May, 13), Site: "s1"}
			c, err := r.Command("main", received)
			if err != nil {
				t.Fatal(err)
			}
			if !c.Happened.Equal(row.happened) {
				t.Errorf("said %s, kept as %s", row.happened, c.Happened)
			}
			got := events.Envelope{Happened: c.Happened, ClockOffset: c.ClockOffset}.OnServerClock()
			if !got.Equal(row.want) {
				t.Errorf("on the server's clock it happened at %s, want %s", got, row.want)
			}
			if said := strings.Join(c.Doubts, "; "); (row.doubt == "") != (said == "") || !strings.Contains(said, row.doubt) {
				t.Errorf("doubts: %q, want %q", said, row.doubt)
			}
		})
	}
}
