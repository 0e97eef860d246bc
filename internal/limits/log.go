package limits

import (
	"slices"

	"longspell/internal/domain"
)

// Innings is what an evaluation needs of everybody's overs of one innings; see domain.Innings.
type Innings = domain.Innings

// NewInnings returns an innings without a row.
func NewInnings() *Innings { return domain.NewInnings() }

// Over is one bowler's part of one over. Kind is what was bowled, the player's usual kind where nobody said; KindUnknown
// is not fast. OversASide and BowlerCap are of the match's format, 0 where there is none. In is shared by all bowlers of the
// innings and must hold this over too where its end was said.
type Over struct {
	Date       domain.Date
	Match      string
	Innings    int // from 1
	Over       int // from 1, in the innings
	Kind       domain.BowlingKind
	Balls      int // all that were delivered, wides and no-balls included
	Valid      int
	OversASide int // 0 = time cricket
	BowlerCap  int // 0 = none
	In         *Innings
}

// Outing is what a player bowled at an outing that was not logged over by over; it was held and the player was there.
type Outing struct {
	Ref        string
	Date       domain.Date
	OutingKind domain.OutingKind
	Kind       domain.BowlingKind
	Balls      int // above 0, else the outing does not count
	Overs      int // begun overs, where given
	OversGiven bool
}

// PlayerLog is everything that one player bowled, in order of play: by date, the matches of a date in the order in which they
// were played, innings, over; outings by date and, within a date, before the overs.
type PlayerLog struct {
	Player  string
	Born    domain.Date // zero = not known: the player is judged by the format's cap alone
	Overs   []Over
	Outings []Outing
}

// Options of an evaluation. AsOf is the last day that counts (zero: the last day of the log). Settings are those that
// differ from the set's defaults; names and values that the set does not know change nothing (ResolveSettings refuses them).
type Options struct {
	AsOf     domain.Date
	Settings map[string]string
}

// CountedOvers is the number of overs that the outing counts for: a begun over as one, none in the nets and at home.
func (o Outing) CountedOvers() int {
	return domain.CountedOvers(o.OutingKind, o.Balls, o.Overs, o.OversGiven)
}

// SortOvers puts overs into order of play: by date; the matches of a date in the order in which they first stand in the slice;
// innings; over.
func SortOvers(overs []Over) {
	first := map[string]int{}
	for i, o := range overs {
		if _, ok := first[o.Match]; !ok {
			first[o.Match] = i
		}
	}
	slices.SortStableFunc(overs, func(a, b Over) int { return compareOvers(&a, &b, first) })
}

func compareOvers(a, b *Over, first map[string]int) int {
	if c := a.Date.Compare(b.Date); c != 0 {
		return c
	}
	if a.Match != b.Match {
		return first[a.Match] - first[b.Match]
	}
	if a.Innings != b.Innings {
		return a.Innings - b.Innings
	}
	return a.Over - b.Over
}

// inOrder reports whether overs can be taken as they come: dates do not run back, and within a date every innings stands
// together with its overs in order.
func inOrder(overs []Over) bool {
	start := 0 // first over of the date
	for i := 1; i < len(overs); i++ {
		p, o := &overs[i-1], &overs[i]
		if c := p.Date.Compare(o.Date); c > 0 {
			return false
		} else if c < 0 {
			start = i
			continue
		}
		if p.Match == o.Match {
			if p.Innings > o.Innings || (p.Innings == o.Innings && p.Over > o.Over) {
				return false
			}
			continue
		}
		for _, q := range overs[start : i-1] {
			if q.Match == o.Match {
				return false
			}
		}
	}
	return true
}
