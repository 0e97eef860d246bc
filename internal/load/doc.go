// Package load counts what a player bowled: balls, valid balls and overs by day and window, days since the last bowling, the
// usual week, and the spells of the over log.
//
// Balls are what was delivered, wides and no-balls included; an over that was only begun counts as one. Both counters stand side
// by side because balls are load and overs are what directives count. No ratio of one window to another is formed: this week
// is shown beside the child's own usual week, in balls.
package load
