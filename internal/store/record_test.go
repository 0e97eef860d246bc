package store_test

import (
	"errors"
	"slices"
	"testing"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
)

// season is a small world of bowling by one child at two clubs and by another beside it. The figures that are expected of it
// were counted by hand.
type bowled struct {
	*realm
	child, other domain.ID
	match1       domain.Outing // of club one, days -2 and -1
	match2       domain.Outing // of club two, day -1
	nets         domain.Outing // of club two, day 0
	off          domain.Outing // called off, day -1
	far          domain.Outing // long ago
}

func newBowled(t *testing.T, s *store.Store) bowled {
	t.Helper()
	b := bowled{realm: newRealm(t, s, "A")}
	ctx, op := t.Context(), b.operator()
	b.in(t, op, func(tx *store.Tx) error {
		p := &puts{}
		player := func(name string, kind domain.BowlingKind) domain.ID {
			v := keep(tx.PutPlayer(ctx, op, domain.Player{ID: newID(), Name: name, Kind: kind}))(p)
			return v.ID
		}
		b.child, b.other = player("Kit Rook", domain.WristSpin), player("Lou Rook", domain.SeamBack)
		outing := func(club domain.ID, kind domain.OutingKind, state domain.OutingState, back int) domain.Outing {
			return keep(tx.PutOuting(ctx, op, domain.Outing{ID: newID(), ClubID: club, Kind: kind, State: state, Date: today.AddDays(-back)}))(p)
		}
		b.match1 = outing(b.One.Club.ID, domain.OutingMatch, domain.OutingHeld, 2)
		b.match2 = outing(b.Two.Club.ID, domain.OutingSchool, domain.OutingHeld, 1)
		b.nets = outing(b.Two.Club.ID, domain.OutingNets, domain.OutingHeld, 0)
		b.off = outing(b.One.Club.ID, domain.OutingMatch, domain.OutingCalledOff, 1)
		b.far = outing(b.One.Club.ID, domain.OutingMatch, domain.OutingHeld, 40)
		over := func(o domain.Outing, who domain.ID, back, no, seq int, kind domain.BowlingKind) {
			keep(tx.PutOver(ctx, op, domain.OverLog{ID: newID(), OutingID: o.ID, Date: today.AddDays(-back), Innings: 1, Over: no,
				PlayerID: who, Kind: kind, Balls: 6, Valid: 5, Seq: seq}))(p)
		}
		over(b.match1, b.child, 2, 1, 1, domain.KindUnknown)
		over(b.match1, b.other, 2, 2, 2, domain.KindUnknown)
		over(b.match1, b.child, 2, 3, 3, domain.SeamBack)
		over(b.match1, b.other, 1, 4, 4, domain.SeamBack) // the second day of it: the child does not bowl
		over(b.off, b.child, 1, 1, 1, domain.WristSpin)
		over(b.far, b.child, 40, 1, 1, domain.WristSpin)
		keep(tx.PutSpell(ctx, op, domain.QuickSpell{ID: newID(), OutingID: b.match2.ID, Date: today.AddDays(-1), Innings: 1,
			PlayerID: b.child, Overs: 4, Balls: 26, Valid: 24}))(p)
		practice := func(o domain.Outing, who domain.ID, kind domain.BowlingKind, balls, overs int) {
			keep(tx.PutPractice(ctx, op, domain.Practice{ID: newID(), OutingID: o.ID, PlayerID: who, Kind: kind, Balls: balls, Overs: overs,
				Hits: -1, Effort: -1}))(p)
		}
		practice(b.nets, b.child, domain.FingerSpin, 30, 5)
		practice(b.match2, b.child, domain.KindUnknown, 13, 0) // 3 begun overs
		practice(b.match2, b.child, domain.KindUnknown, 0, 2)  // 12 balls
		practice(b.nets, b.other, domain.SeamBack, 60, 0)
		p.note(tx.ReplaceAttendance(ctx, op, b.nets.ID, []domain.Attendance{{PlayerID: b.other, Present: domain.PresentExcused}}))
		return p.err
	})
	return b
}

func TestBowlingRecord(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		b := newBowled(t, s)
		ctx := t.Context()
		counting := access.CountingFor(b.lead(t, b.One), []domain.ID{b.child})
		b.read(t, counting, func(tx *store.Tx) error {
			rec, err := tx.BowlingRecord(ctx, counting, today.AddDays(-6), today)
			if err != nil {
				return err
			}
			var overs []int
			for _, o := range rec.Overs {
				if o.OutingID != b.match1.ID {
					t.Errorf("an over of %s", o.OutingID)
				}
				overs = append(overs, o.Over)
			}
			same(t, "overs of everybody in the match", overs, []int{1, 2, 3, 4})
			if len(rec.Spells) != 1 || rec.Spells[0].Balls != 26 {
				t.Errorf("spells %+v", rec.Spells)
			}
			if len(rec.Items) != 3 || rec.Items[2].Date != today || rec.Items[2].At != domain.OutingNets || rec.Items[0].At != domain.OutingSchool {
				t.Errorf("practice %+v", rec.Items)
			}
			same(t, "outings", sorted(rec.Outings), sorted(map[domain.ID]bool{b.match1.ID: true, b.match2.ID: true, b.nets.ID: true}))
			return nil
		})
		b.read(t, counting, func(tx *store.Tx) error { // up to the day before: nothing of today
			rec, err := tx.BowlingRecord(ctx, counting, today.AddDays(-6), today.AddDays(-2))
			if len(rec.Overs) != 3 || len(rec.Spells) != 0 || len(rec.Items) != 0 {
				t.Errorf("record of the first day: %+v", rec)
			}
			return err
		})
		night := access.CountingFor(b.overnight(), []domain.ID{b.other})
		b.read(t, night, func(tx *store.Tx) error {
			rec, err := tx.BowlingRecord(ctx, night, today.AddDays(-1), today)
			if len(rec.Overs) != 4 || len(rec.Items) != 0 { // excused from the nets; the match began the day before
				t.Errorf("the other's record: %+v", rec)
			}
			return err
		})
		b.read(t, b.overnight(), func(tx *store.Tx) error {
			rec, err := tx.BowlingRecord(ctx, b.overnight(), today.AddDays(-99), today)
			if len(rec.Overs) != 4+1+2 { // also the far match and both of the realm
				t.Errorf("everybody's overs: %d", len(rec.Overs))
			}
			return err
		})
		b.read(t, b.lead(t, b.One), func(tx *store.Tx) error {
			if _, err := tx.BowlingRecord(ctx, b.lead(t, b.One), today, today); !errors.Is(err, store.ErrReach) {
				t.Errorf("a lead's own scope counts across clubs: %v", err)
			}
			return nil
		})
	})
}

func (b bowled) loads(t *testing.T, s access.Scope) []domain.DayLoad {
	t.Helper()
	var out []domain.DayLoad
	b.read(t, s, func(tx *store.Tx) error {
		return tx.DayLoads(t.Context(), s, today.AddDays(-50), today, func(l domain.DayLoad) error { out = append(out, l); return nil })
	})
	return out
}

func (b bowled) days(who ...domain.ID) []domain.TouchedDay {
	var out []domain.TouchedDay
	for _, w := range who {
		for _, back := range []int{0, 1, 2, 40} {
			out = append(out, domain.TouchedDay{PlayerID: w, Day: today.AddDays(-back)})
		}
	}
	return out
}

func TestRollup(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		b := newBowled(t, s)
		ctx, op, lead := t.Context(), b.operator(), b.lead(t, b.One)
		counting := access.CountingFor(lead, []domain.ID{b.child})
		first := []domain.DayLoad{
			{PlayerID: b.child, Day: today.AddDays(-40), Kind: domain.WristSpin, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-2), Kind: domain.SeamBack, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-2), Kind: domain.WristSpin, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-1), Kind: domain.WristSpin, Balls: 26 + 13 + 12, Valid: 24 + 13 + 12, Overs: 4 + 3 + 2},
			{PlayerID: b.child, Day: today, Kind: domain.FingerSpin, Balls: 30, Valid: 30, Overs: 0},
		}
		for range 2 { // worked out twice it is the same
			b.in(t, lead, func(tx *store.Tx) error { return tx.RefreshRollup(ctx, lead, b.days(b.child, b.other)) })
			same(t, "the child's loads", b.loads(t, counting), first)
		}
		b.in(t, op, func(tx *store.Tx) error { // what was held is called off, and the usual kind is another
			o := b.match2
			o.State = domain.OutingCalledOff
			_, err := tx.PutOuting(ctx, op, o)
			p, err2 := tx.Player(ctx, op, b.child)
			p.Kind = domain.FingerSpin
			_, err3 := tx.PutPlayer(ctx, op, p)
			return errors.Join(err, err2, err3, tx.RefreshRollup(ctx, op, b.days(b.child)))
		})
		same(t, "after the change", b.loads(t, counting), []domain.DayLoad{
			{PlayerID: b.child, Day: today.AddDays(-40), Kind: domain.WristSpin, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-2), Kind: domain.FingerSpin, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-2), Kind: domain.SeamBack, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today, Kind: domain.FingerSpin, Balls: 30, Valid: 30, Overs: 0},
		})
		sum := 0
		for _, l := range b.loads(t, b.overnight()) {
			if l.PlayerID == b.other {
				sum += l.Balls
			}
		}
		if sum != 12 {
			t.Errorf("the other's balls: %d", sum)
		}
	})
}

func TestDayLoadsWantACountingScope(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		r := newRealm(t, s, "A")
		ctx, op, lead := t.Context(), r.operator(), r.lead(t, r.One)
		stop := errors.New("enough")
		for want, sc := range map[error]access.Scope{store.ErrReach: lead, stop: op} { // the reader's own error comes back
			err := s.ReadRegion(ctx, sc, func(tx *store.Tx) error {
				return tx.DayLoads(ctx, sc, today.AddDays(-50), today, func(domain.DayLoad) error { return stop })
			})
			if !errors.Is(err, want) {
				t.Errorf("%v, want %v", err, want)
			}
		}
	})
}

// A player whose usual kind becomes known has all days refreshed on which nobody said what was bowled, whoever asks.
func TestUsualKindRefreshesUnsaidDays(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		b := newBowled(t, s)
		ctx, op := t.Context(), b.operator()
		b.in(t, op, func(tx *store.Tx) error {
			p, err := tx.Player(ctx, op, b.child)
			p.Kind = domain.SeamUp
			_, err2 := tx.PutPlayer(ctx, op, p)
			return errors.Join(err, err2)
		})
		got := b.loads(t, access.CountingFor(op, []domain.ID{b.child}))
		same(t, "refreshed days", got, []domain.DayLoad{
			{PlayerID: b.child, Day: today.AddDays(-2), Kind: domain.SeamBack, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-2), Kind: domain.SeamUp, Balls: 6, Valid: 5, Overs: 1},
			{PlayerID: b.child, Day: today.AddDays(-1), Kind: domain.SeamUp, Balls: 51, Valid: 49, Overs: 9},
		})
	})
}

func TestTouchedDays(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, s *store.Store) {
		b := newBowled(t, s)
		ctx, night := t.Context(), b.overnight()
		touched := func(after domain.ID, limit int) (out []domain.TouchedDay) {
			t.Helper()
			b.read(t, night, func(tx *store.Tx) (err error) {
				out, err = tx.TouchedPlayers(ctx, night, today, after, limit)
				return err
			})
			return out
		}
		b.in(t, night, func(tx *store.Tx) error { // what the realm touched
			return tx.ClearTouched(ctx, night, []domain.ID{b.One.Player.ID, b.Two.Player.ID}, today)
		})
		if left := touched("", 10); len(left) != 0 {
			t.Fatalf("left: %v", left)
		}
		b.in(t, b.operator(), func(tx *store.Tx) error {
			return tx.RefreshRollup(ctx, b.operator(), append(b.days(b.child), domain.TouchedDay{PlayerID: b.other, Day: today},
				domain.TouchedDay{PlayerID: b.other, Day: today.AddDays(1)}))
		})
		all := []domain.TouchedDay{{PlayerID: b.child, Day: today.AddDays(-40)}, {PlayerID: b.other, Day: today}}
		if b.other < b.child {
			slices.Reverse(all)
		}
		same(t, "with the first day, in order of id", touched("", 10), all)
		same(t, "the first", touched("", 1), all[:1])
		same(t, "after the first", touched(all[0].PlayerID, 10), all[1:])
		b.in(t, night, func(tx *store.Tx) error { return tx.ClearTouched(ctx, night, []domain.ID{b.child, b.other}, today) })
		same(t, "cleared", touched("", 10), []domain.TouchedDay(nil))
		b.read(t, night, func(tx *store.Tx) error {
			out, err := tx.TouchedPlayers(ctx, night, today.AddDays(1), "", 10)
			same(t, "what is to come stays", out, []domain.TouchedDay{{PlayerID: b.other, Day: today.AddDays(1)}})
			return err
		})
	})
}
