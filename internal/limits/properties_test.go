package limits

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"longspell/internal/domain"
)

// drawLog invents a player's log: some matches over two weeks, with breaks, ends and outings.
func drawLog(t *rapid.T, kinds []domain.BowlingKind) PlayerLog {
	log := PlayerLog{Player: "p1"}
	if rapid.IntRange(0, 9).Draw(t, "known") > 0 {
		log.Born = domain.MustDate("2006-01-01").AddDays(rapid.IntRange(0, 4400).Draw(t, "born"))
	}
	kind := rapid.SampledFrom(kinds)
	for m := range rapid.IntRange(0, 4).Draw(t, "matches") {
		date := domain.MustDate(day1).AddDays(rapid.IntRange(0, 13).Draw(t, "day"))
		aSide := rapid.SampledFrom([]int{0, 20, 40}).Draw(t, "aSide")
		in := NewInnings()
		over := 0
		for range rapid.IntRange(0, 14).Draw(t, "overs") {
			over += rapid.SampledFrom([]int{1, 2, 2, 2, 2, 3, 4, 9}).Draw(t, "gap")
			in.Add(over, rapid.SampledFrom([]domain.End{domain.EndUnknown, domain.EndA, domain.EndB}).Draw(t, "end"),
				rapid.SampledFrom([]int{0, 0, 0, 0, 0, 30, 40}).Draw(t, "break"))
			balls := rapid.IntRange(1, 9).Draw(t, "balls")
			log.Overs = append(log.Overs, Over{Date: date, Match: string(rune('a' + m)), Innings: 1, Over: over, Kind: kind.Draw(t, "kind"),
				Balls: balls, Valid: min(balls, 6), OversASide: aSide, BowlerCap: aSide / 5, In: in})
		}
	}
	SortOvers(log.Overs)
	for range rapid.IntRange(0, 6).Draw(t, "outings") {
		log.Outings = append(log.Outings, Outing{Ref: "o", Date: domain.MustDate(day1).AddDays(rapid.IntRange(0, 13).Draw(t, "day")),
			OutingKind: rapid.SampledFrom([]domain.OutingKind{domain.OutingMatch, domain.OutingNets, domain.OutingHome, domain.OutingSchool}).Draw(t, "at"),
			Kind:       kind.Draw(t, "kind"), Balls: rapid.IntRange(1, 70).Draw(t, "balls")})
	}
	return ordered(log)
}

func drawSet(t *rapid.T) *Set {
	s, _ := Lookup(rapid.SampledFrom([]string{"ecb-2010", "ca-2019"}).Draw(t, "set"))
	return s
}

var byDate = cmp.Comparer(func(a, b domain.Date) bool { return a == b })

func TestSpinAloneBreaksOnlyTheFormat(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		log := drawLog(t, []domain.BowlingKind{domain.WristSpin, domain.FingerSpin})
		for _, f := range drawSet(t).Evaluate(log, Options{}).Findings {
			if f.Limit != BowlerCap {
				t.Fatalf("a log of spin has %s", short(f))
			}
		}
	})
}

func TestEveryOverStandsInOneSpellAndOneDay(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		log := drawLog(t, domain.BowlingKinds())
		res := drawSet(t).Evaluate(log, Options{})
		overs, balls, inSpells, ofDays, spells := 0, 0, 0, 0, 0
		for _, sp := range res.Spells {
			inSpells += sp.Overs
		}
		for _, d := range res.Days {
			overs += d.Overs
			ofDays += d.Balls
			spells += d.Spells
		}
		for _, o := range log.Overs {
			balls += o.Balls
		}
		counted := len(log.Overs)
		for _, o := range log.Outings {
			balls += o.Balls
			counted += o.CountedOvers()
		}
		if inSpells != len(log.Overs) || overs != counted || ofDays != balls || spells != len(res.Spells) {
			t.Fatalf("%d overs in spells of %d, %d of %d in days, %d of %d balls, %d of %d spells",
				inSpells, len(log.Overs), overs, counted, ofDays, balls, spells, len(res.Spells))
		}
	})
}

// TestOneMoreBallTakesNothingAway: neither load nor findings shrink when an over has a ball more.
func TestOneMoreBallTakesNothingAway(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		log, s := drawLog(t, domain.BowlingKinds()), drawSet(t)
		if len(log.Overs) == 0 {
			return
		}
		before := s.Evaluate(log, Options{})
		log.Overs[rapid.IntRange(0, len(log.Overs)-1).Draw(t, "which")].Balls++
		after := s.Evaluate(log, Options{})
		more := 0
		for i := range before.Days {
			if after.Days[i].Balls < before.Days[i].Balls {
				t.Fatalf("%s: %d balls became %d", before.Days[i].Date, before.Days[i].Balls, after.Days[i].Balls)
			}
			more += after.Days[i].Balls - before.Days[i].Balls
		}
		if more != 1 || cmp.Diff(before.Findings, after.Findings, byDate) != "" {
			t.Fatalf("%d balls more, findings %s", more, cmp.Diff(before.Findings, after.Findings, byDate))
		}
	})
}

// TestOrderOfHandingOver: overs of matches on different days may be handed over in any order.
func TestOrderOfHandingOver(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		log, s := drawLog(t, domain.BowlingKinds()), drawSet(t)
		seen := map[domain.Date]string{}
		for _, o := range log.Overs {
			if m, ok := seen[o.Date]; ok && m != o.Match {
				return // two matches of one day count in the order in which they stand
			}
			seen[o.Date] = o.Match
		}
		want := s.Evaluate(log, Options{})
		mixed := log
		mixed.Overs = rapid.Permutation(log.Overs).Draw(t, "order")
		if d := cmp.Diff(want, s.Evaluate(mixed, Options{}), byDate); d != "" {
			t.Fatal(d)
		}
	})
}

// TestEarliestIsEarliest: nobody who comes back at the earliest over of the last spell, or later, is too early because of that spell;
// coming back one over from that end before is.
func TestEarliestIsEarliest(t *testing.T) {
	t.Parallel()
	s, _ := Lookup("ecb-2010")
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "overs")
		first := rapid.IntRange(1, 9).Draw(t, "first")
		log := PlayerLog{Player: "p1", Born: domain.MustDate("2013-01-01")}
		in := NewInnings()
		add := func(over int) PlayerLog {
			l := log
			l.Overs = append(append([]Over{}, log.Overs...), Over{Date: domain.MustDate(day1), Match: "m", Innings: 1, Over: over,
				Kind: domain.SeamBack, Balls: 6, Valid: 6, In: in})
			return l
		}
		for i := range n {
			log = add(first + 2*i)
		}
		sp := s.Evaluate(log, Options{}).Spells[0]
		back := min(*sp.EarliestSameEnd, *sp.EarliestOtherEnd)
		later := back + rapid.IntRange(0, 20).Draw(t, "later")
		if got := shorts(s.Evaluate(add(later), Options{}).Findings); got != "" {
			t.Fatalf("back at %d, earliest %d: %s", later, back, got)
		}
		early := s.Evaluate(add(back-1), Options{})
		tooEarly := len(early.Spells) == 2
		if got := len(early.Findings) == 1; got != tooEarly {
			t.Fatalf("back at %d, earliest %d: %s", back-1, back, shorts(early.Findings))
		}
	})
}

// TestEvaluatorCarriesNothingOver: a player is judged alike whoever came before.
func TestEvaluatorCarriesNothingOver(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawSet(t)
		one, two := drawLog(t, domain.BowlingKinds()), drawLog(t, domain.BowlingKinds())
		opt := Options{AsOf: domain.MustDate("2026-05-20")}
		fresh, used := s.Evaluator(opt), s.Evaluator(opt)
		used.Run(&one)
		used.Run(&two)
		fresh.Run(&two)
		if !slices.Equal(fresh.Spells, used.Spells) || !slices.Equal(fresh.Days, used.Days) || !slices.Equal(fresh.Breaches, used.Breaches) ||
			fresh.Left != used.Left || fresh.Judged != used.Judged {
			t.Fatalf("the player before changed the answer: %+v and %+v", fresh.Breaches, used.Breaches)
		}
	})
}
