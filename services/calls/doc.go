// Package calls is the call list: the next weeks' work by who must be asked, not by job. One customer is one call about all
// its sites; it says what is to be asked and by when, which hours are open on which days, and what was agreed last time.
// What people answer becomes a promise of the log (see events.NoteCall), and planning keeps promises.
//
//	list.go      jobs of the coming weeks, grouped by customer, site and feed, the most pressing first
//	ask.go       what has to be asked before a job can be done
//	open.go      on which days a feed may be dry while a crew works
//	say.go       one short paragraph to read out
//	people.go    whom to ask
//	parties.go   desks and firms to be booked: who brings what work waits for, and is not booked yet
//	tomorrow.go  which calls would let more in tomorrow, found by trying
//	view.go      what the page shows
package calls
