// Package papers makes what leaves the screen: route sheets, test reports, the filing list, what is about to run out, a
// file for invoices, and calendars. A document is a plain value built from the book and, where the book does not
// remember, from histories of the log; drawing it is a step of its own.
//
// No paper carries a gate code or a telephone number. A test report, a calendar and the invoicing file leave the firm; a
// route sheet stays in it, but is left on dashboards. Codes and numbers are read on the screen of whoever is signed
// in and nowhere else, so no builder here copies them, and free text is cleared of those on record. Files:
//
//	secrets.go     free text without the codes and numbers on record
//	histories.go   what the log tells of entities, read at the edge
//	jobstory.go    one job's tests, repairs and filings out of its assembly's history
//	routesheet.go  one crew's day as a document
//	routemap.go    where things lie on the map of a route sheet
//	report.go      the test report of one job
//	reportfields.go the sections of its form
//	reporttest.go  a test as columns and rows of the report
//	filing.go      reports owed, filed, returned and accepted, by each purveyor's clock
//	expiries.go    certificates, registrations, licences and gauges that end, and the visits they would stop
//	invoicing.go   done work as rows of a CSV file
//	calendar.go    sent-out visits and agreed times as iCalendar
//	hourscalendar.go access hours and shutdown windows as iCalendar, with recurrence rules
//	page.go        fonts, line breaking and boxes on a PDF page
//	routepdf.go    a route sheet drawn
//	reportpdf.go   a test report drawn
package papers
