// Package routing plans the routes of crews over days: which visits are served,
// by which crew on which day, in which order.
package routing
