package demo_test

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"longspell/internal/demo"
	"longspell/internal/domain"
)

var oneDay = domain.MustDate("2026-07-15")

func TestSameSeedAndDayGiveTheSameRegion(t *testing.T) {
	t.Parallel()
	sameDate := cmp.Comparer(func(a, b domain.Date) bool { return a == b })
	a, b := demo.Build(7, oneDay, created), demo.Build(7, oneDay, created.Add(time.Hour))
	if d := cmp.Diff(a, b, sameDate, cmpopts.IgnoreFields(domain.Region{}, "CreatedAt")); d != "" {
		t.Error(d)
	}
	if !a.Region.CreatedAt.Equal(created) || !b.Region.CreatedAt.Equal(created.Add(time.Hour)) || !a.Region.Demo {
		t.Errorf("region: %+v", a.Region)
	}
	if c := demo.Build(8, oneDay, created); c.Region.ID == a.Region.ID || c.Players[0].Name == a.Players[0].Name && c.Players[1].Name == a.Players[1].Name {
		t.Error("another seed gave the same region")
	}
	if c := demo.Build(7, oneDay.AddDays(1), created); c.Outings[0].ID == a.Outings[0].ID {
		t.Error("another day gave the same ids")
	}
}

// TestIDsFollowTheDate reads the time out of the ids: RFC 9562, 5.7, the first 48 bits are milliseconds since 1970.
func TestIDsFollowTheDate(t *testing.T) {
	t.Parallel()
	w := demo.Build(7, oneDay, created)
	check := func(id domain.ID, d domain.Date) {
		ms, err := strconv.ParseInt(strings.ReplaceAll(string(id[:13]), "-", ""), 16, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := domain.DateOf(time.UnixMilli(ms), time.UTC); got != d {
			t.Fatalf("%s says %s, it belongs to %s", id, got, d)
		}
	}
	for _, o := range w.Outings {
		check(o.ID, o.Date)
		for _, v := range o.Overs {
			check(v.ID, o.Date)
		}
		for _, v := range o.Practice {
			check(v.ID, o.Date)
		}
	}
	for i, p := range w.Players {
		if i > 0 && p.ID <= w.Players[i-1].ID {
			t.Fatal("players are not in order of id")
		}
	}
}

// TestNamesAreNobodys looks for surnames that well-known cricketers have borne, and for grounds and counties that are real.
// The lists are from memory and short; surnames alone are listed, so that no person is named here.
func TestNamesAreNobodys(t *testing.T) {
	t.Parallel()
	w := demo.Build(7, oneDay, created)
	borne := map[string]bool{}
	for _, s := range strings.Fields(`anderson archer boycott bradman broad botham cook cummins dravid ecclestone edwards flintoff gower
		grace hadlee hammond hobbs imran jayasuriya kallis khan kohli kumar lamb lara laxman lee lillee malik marshall mcgrath mendis
		muralitharan patel perry ponting raj rashid richards root sangakkara sharma singh smith sobers sciver starc steyn stokes
		swann taylor tendulkar trueman verity warne waugh williamson willis yadav younis`) {
		borne[s] = true
	}
	seen, refs := map[string]bool{}, map[string]bool{}
	for _, p := range w.Players {
		first, last, ok := strings.Cut(p.Name, " ")
		if !ok || first == "" || borne[strings.ToLower(last)] {
			t.Errorf("%q is no name for the demo", p.Name)
		}
		if seen[p.Name] || refs[p.Reference] || p.Reference == "" {
			t.Errorf("%q, %q stands twice", p.Name, p.Reference)
		}
		seen[p.Name], refs[p.Reference] = true, true
	}
	places := map[string]bool{}
	for _, c := range w.Clubs {
		places[c.ShortName] = true
		if !strings.HasPrefix(c.Name, c.ShortName+" ") {
			t.Errorf("club %q is short %q", c.Name, c.ShortName)
		}
	}
	for _, real := range []string{"Lord's", "Oval", "Headingley", "Trent", "Edgbaston", "Hambledon", "Essex", "Kent", "Surrey", "Sussex", "Yorkshire", "Durham"} {
		if places[real] {
			t.Errorf("%s is a real place of cricket", real)
		}
	}
	if len(places) != 12 {
		t.Errorf("%d places, want 12", len(places))
	}
}

// TestAgesAndSquads holds everybody who plays now against the age of the squad.
func TestAgesAndSquads(t *testing.T) {
	t.Parallel()
	for _, today := range []domain.Date{oneDay, domain.MustDate("2027-04-07")} {
		w := demo.Build(3, today, created)
		x := newIndex(t, w)
		under := map[string]int{"U11": 11, "U13": 13, "U15": 15, "U17": 17}
		ages, girls, sexes, left := map[int]int{}, 0, map[domain.Sex]int{}, 0
		for _, m := range w.SquadPlayers {
			s, p := x.squads[m.SquadID], x.players[m.PlayerID]
			year, _, _ := x.seasons[s.SeasonID].FirstDay.YMD()
			august, _ := domain.NewDate(year-1, 8, 31)
			if age := domain.AgeOn(p.Born, august); age >= under[s.AgeGroup] {
				t.Fatalf("%s, born %s, plays %s in %d", p.Name, p.Born, s.Name, year)
			}
			if strings.HasPrefix(s.Name, "Girls") {
				girls++
				if p.Sex != domain.Female {
					t.Fatalf("%s is in %s", p.Name, s.Name)
				}
			}
			if s.SeasonID == w.Seasons[2].ID {
				ages[domain.AgeOn(p.Born, today)]++
			}
		}
		for _, p := range w.Players {
			sexes[p.Sex]++
			if p.Arm == domain.ArmLeft {
				left++
			}
		}
		for age := 10; age <= 16; age++ {
			if ages[age] == 0 {
				t.Errorf("%s: nobody is %d", today, age)
			}
		}
		for age := range ages {
			if age < 9 || age > 18 {
				t.Errorf("%s: somebody is %d", today, age)
			}
		}
		if girls == 0 || left == 0 || sexes[domain.Female] < 100 || sexes[domain.Male] < 300 {
			t.Errorf("%s: %d in girls' squads, %v, %d bowl left arm", today, girls, sexes, left)
		}
	}
}
