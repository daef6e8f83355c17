// Package console serves the office pages, the crew's phone page and the API behind them over HTTP, with live updates.
//
// Until there is sign-in it answers on the loopback interface only.
package console
