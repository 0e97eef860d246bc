package exchange

import (
	"slices"

	"longspell/internal/domain"
)

// seenOvers remembers of every over of a log who bowled in it, when and from which end, in a few bytes each.
type seenOvers struct {
	innings [][]seenOver // by innings, by over
	shared  []sharedOver // further bowlers of an over, linked
	many    map[sharedKey]struct{}
}

type seenOver struct {
	over, player int32
	date         domain.Date
	next         int32 // place in shared + 1, 0 = none
	end          domain.End
	bowlers      uint8
}

type sharedOver struct{ player, next int32 }

type sharedKey struct{ innings, over, player int32 }

// manyBowlers is from when on the bowlers of one over are looked up instead of walked through.
const manyBowlers = 16

// earlier is what the first row of an over said.
type earlier struct {
	date       domain.Date
	end        domain.End
	samePlayer bool
}

func (s *seenOvers) grow() { s.innings = append(s.innings, nil) }

// take notes a row. fresh is true where it is the first of its over.
func (s *seenOvers) take(innings, over, player int32, date domain.Date, end domain.End) (before earlier, fresh bool) {
	overs := s.innings[innings]
	at := len(overs)
	if at > 0 && overs[at-1].over >= over {
		at, _ = slices.BinarySearchFunc(overs, over, func(x seenOver, over int32) int { return int(x.over) - int(over) })
		if overs[at].over == over {
			return s.takeShared(innings, &overs[at], player), false
		}
	}
	row := seenOver{over: over, player: player, date: date, end: end, bowlers: 1}
	if at == len(overs) {
		s.innings[innings] = append(overs, row)
	} else {
		s.innings[innings] = slices.Insert(overs, at, row)
	}
	return earlier{}, true
}

func (s *seenOvers) takeShared(innings int32, o *seenOver, player int32) earlier {
	before := earlier{date: o.date, end: o.end, samePlayer: o.player == player}
	if before.samePlayer {
		return before
	}
	if o.bowlers < manyBowlers {
		for i := o.next; i != 0; i = s.shared[i-1].next {
			if s.shared[i-1].player == player {
				before.samePlayer = true
				return before
			}
		}
		s.shared = append(s.shared, sharedOver{player: player, next: o.next})
		o.next = int32(len(s.shared))
		o.bowlers++
		return before
	}
	key := sharedKey{innings, o.over, player}
	if s.many == nil {
		s.many = map[sharedKey]struct{}{}
	}
	_, again := s.many[key]
	for i := o.next; i != 0 && !again; i = s.shared[i-1].next {
		again = s.shared[i-1].player == player
	}
	s.many[key] = struct{}{}
	before.samePlayer = again
	return before
}
