package limits

import "testing"

// Before an over it is told what would be, after it what was; the figures are the same.
func TestWould(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ limit, was, would string }{
		{SpellOvers, "Over 13 was over number 7 of the spell; at most 6 are allowed.", "Over 13 would be over number 7 of the spell; at most 6 are allowed."},
		{BowlerCap, "Over 9 was the bowler's over number 5 of the innings.", "Over 9 would be the bowler's over number 5 of the innings."},
		{RestOvers, "Came back with fast bowling at over 17, while the rest owed for an earlier spell lasted until over 24; that is asked for.",
			"Would come back with fast bowling at over 17, while the rest owed for an earlier spell lasts until over 24; that is asked for."},
		{DayOvers, "11 overs that day; at most 10.", "Would make 11 overs that day; at most 10."},
		{RunOfDays, "3 bowling days in a row; at most 2.", "Would make 3 bowling days in a row; at most 2."},
		{NetBalls, "40 balls in one net session.", "40 balls in one net session."},
	} {
		if got := would(c.limit, c.was); got != c.would {
			t.Errorf("%s: %q, want %q", c.limit, got, c.would)
		}
	}
}
