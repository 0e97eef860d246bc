package domain

import "testing"

// inningsOf writes ends as letters from over 1 on; a point is an over without a row.
func inningsOf(ends string) *Innings {
	in := NewInnings()
	for i, c := range ends {
		if e, ok := ParseEnd(string(c)); ok {
			in.Add(i+1, e, 0)
		}
	}
	return in
}

func endsOf(in *Innings, n int) string {
	s := ""
	for over := 1; over <= n; over++ {
		s += in.EndOf(over).String()
	}
	return s
}

func TestEndsOfOversWithoutARow(t *testing.T) {
	t.Parallel()
	for rows, want := range map[string]string{
		"":       "ABABABAB",
		"AB":     "ABABABAB",
		"BB":     "BBABABAB",
		"..AA":   "ABAABABA",
		"A..A":   "ABAABABA",
		"AAA...": "AAABABAB",
		"...B":   "ABABABAB",
	} {
		if got := endsOf(inningsOf(rows), 8); got != want {
			t.Errorf("%q: %s, want %s", rows, got, want)
		}
	}
	var none *Innings
	if none.EndOf(2) != EndB || none.FirstFrom(EndA, 2) != 3 || none.Last() != 0 || none.LongestBreak(0, 99) != 0 {
		t.Error("no innings at all is an innings without a row")
	}
}

func TestRowsInAnyOrder(t *testing.T) {
	t.Parallel()
	in := NewInnings()
	for _, over := range []int{7, 1, 9, 3, 5} {
		in.Add(over, EndB, over)
	}
	in.Add(3, EndUnknown, 50) // a second bowler of over 3
	in.Add(2, EndUnknown, 0)
	if got := endsOf(in, 9); got != "BBBABABAB" {
		t.Errorf("ends %s", got)
	}
	if in.Last() != 9 || in.LongestBreak(1, 4) != 50 || in.LongestBreak(3, 8) != 7 || in.LongestBreak(9, 20) != 0 {
		t.Errorf("last %d, breaks %d %d %d", in.Last(), in.LongestBreak(1, 4), in.LongestBreak(3, 8), in.LongestBreak(9, 20))
	}
	copied := in.Clone()
	copied.Add(20, EndA, 90)
	if in.Last() != 9 || copied.Last() != 20 {
		t.Error("a clone is not a copy of its own")
	}
}

// TestRestIsRepaid: a spell of five that ended with over 9 is repaid with over 19, so that over 20 may be bowled; where all overs
// come from one end, a spell of two that ended with over 3 is repaid with over 5 (as many overs as the spell, from the same end: ECB
// Fast Bowling Directives as printed by Marches Cricket, marchescricket.co.uk/ecb-fast-bowling-directives/).
func TestRestIsRepaid(t *testing.T) {
	t.Parallel()
	if got := NewInnings().AfterOvers(5, EndA, 9); got != 20 {
		t.Errorf("after a spell of five to over 9: %d", got)
	}
	if got := inningsOf("AAAAAAAAAA").AfterOvers(2, EndA, 3); got != 6 {
		t.Errorf("all from one end: %d", got)
	}
	if got := inningsOf("AAABBB").AfterOvers(1, EndA, 3); got != 8 {
		t.Errorf("three from the other end first: %d", got)
	}
	if got := inningsOf("ABABAA").FirstFrom(EndB, 5); got != 7 {
		t.Errorf("first from B at or after 5: %d", got)
	}
}

func TestJoin(t *testing.T) {
	t.Parallel()
	in := inningsOf("ABABAB")
	in.Add(7, EndA, 40)
	cases := []struct {
		last, next int
		want       Joint
	}{
		{1, 2, SameSpell}, {1, 3, SameSpell}, {1, 4, SameSpell}, {1, 5, NewSpell}, {1, 6, NewSpell}, {5, 7, FreshStart}, {7, 9, SameSpell},
		{6, 12, FreshStart}, {5, 3, NewSpell}, {3, 3, NewSpell},
	}
	for _, c := range cases {
		if got := in.Join(c.last, c.next, LongBreakMin); got != c.want {
			t.Errorf("over %d after over %d: %v, want %v", c.next, c.last, got, c.want)
		}
	}
	if in.Join(5, 7, 60) != SameSpell {
		t.Error("forty minutes where sixty are asked for")
	}
}

func TestCountedOvers(t *testing.T) {
	t.Parallel()
	cases := []struct {
		at    OutingKind
		balls int
		overs int
		given bool
		want  int
	}{
		{OutingMatch, 22, 0, false, 4}, {OutingSchool, 24, 0, false, 4}, {OutingOther, 25, 0, false, 5}, {OutingMatch, 60, 3, true, 3},
		{OutingMatch, 60, 0, true, 0}, {OutingNets, 60, 10, true, 0}, {OutingHome, 60, 0, false, 0},
	}
	for _, c := range cases {
		if got := CountedOvers(c.at, c.balls, c.overs, c.given); got != c.want {
			t.Errorf("%s, %d balls, %d overs given %v: %d, want %d", c.at, c.balls, c.overs, c.given, got, c.want)
		}
	}
}
