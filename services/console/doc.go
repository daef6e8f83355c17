// Package console serves the office pages, the crew's phone page and the API behind them over HTTP, with live updates.
//
// Every operation names the roles that may use it as its Security; see roles.go. Without sign-in, for a demo, it answers on
// the loopback interface only.
package console
