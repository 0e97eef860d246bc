package demo_test

import (
	"testing"

	"longspell/internal/demo"
	"longspell/internal/domain"
)

func checkReferences(t *testing.T, w demo.World, x index) {
	for _, s := range w.Squads {
		if x.clubs[s.ClubID].ID == "" || x.seasons[s.SeasonID].ID == "" {
			t.Fatalf("squad %s: no such club or season", s.Name)
		}
	}
	type once struct {
		player, club, season domain.ID
		from                 domain.Date
	}
	seen := map[once]bool{}
	for _, r := range w.Registrations {
		s := x.seasons[r.SeasonID]
		if x.players[r.PlayerID].ID == "" || x.clubs[r.ClubID].ID == "" || s.ID == "" {
			t.Fatalf("registration %s: no such player, club or season", r.ID)
		}
		if r.From.Before(s.FirstDay) || !r.To.IsZero() && (r.To.Before(r.From) || r.To.After(s.LastDay)) {
			t.Fatalf("registration %s runs from %s to %s, the season from %s to %s", r.ID, r.From, r.To, s.FirstDay, s.LastDay)
		}
		if k := (once{r.PlayerID, r.ClubID, r.SeasonID, r.From}); seen[k] {
			t.Fatalf("registration %s stands twice", r.ID)
		} else {
			seen[k] = true
		}
	}
	for _, m := range w.SquadPlayers {
		s := x.squads[m.SquadID]
		if s.ID == "" || x.players[m.PlayerID].ID == "" {
			t.Fatalf("squad player %+v: no such squad or player", m)
		}
		if !registered(x, m.PlayerID, s.ClubID, m.From) {
			t.Fatalf("%s is in %s from %s without a registration at the club", x.players[m.PlayerID].Name, s.Name, m.From)
		}
	}
	for _, o := range w.Outings {
		if s := x.squads[o.SquadID]; s.ID == "" || s.ClubID != o.ClubID || !covers(x.seasons[s.SeasonID], o.Date) {
			t.Fatalf("outing %s on %s: squad %q is not one of its club and season", o.Title, o.Date, s.Name)
		}
	}
	checkAccounts(t, w, x)
}

func covers(s domain.Season, d domain.Date) bool { return !d.Before(s.FirstDay) && !d.After(s.LastDay) }

func registered(x index, player, club domain.ID, d domain.Date) bool {
	for _, r := range x.regs[player] {
		if r.ClubID == club && !d.Before(r.From) && (r.To.IsZero() || !d.After(r.To)) {
			return true
		}
	}
	return false
}

// checkAccounts holds the appointments against what each account is there to show.
func checkAccounts(t *testing.T, w demo.World, x index) {
	roles := map[string]string{}
	by := map[string]demo.Account{}
	for _, a := range w.Accounts {
		by[a.Email] = a
		for _, ap := range a.Appointments {
			roles[a.Email] += string(ap.Role) + " "
			if ap.AccountID != a.ID || ap.RegionID != w.Region.ID || ap.From.IsZero() {
				t.Errorf("%s: appointment %+v does not belong to it", a.Email, ap)
			}
			if ap.SquadID != "" && (x.squads[ap.SquadID].ClubID != ap.ClubID || x.squads[ap.SquadID].SeasonID != w.Seasons[2].ID) {
				t.Errorf("%s: squad is not one of the club this season", a.Email)
			}
			if ap.Role == domain.Guardian && !registered(x, ap.PlayerID, ap.ClubID, w.Outings[len(w.Outings)-1].Date) {
				t.Errorf("%s: the child is not registered at the club", a.Email)
			}
		}
	}
	want := map[string]string{"officer@demo.invalid": "region_officer ", "clublead@demo.invalid": "club_lead ", "coach@demo.invalid": "coach coach ",
		"coach2@demo.invalid": "coach coach ", "guardian@demo.invalid": "guardian ", "both@demo.invalid": "coach coach guardian "}
	for email, r := range want {
		if roles[email] != r {
			t.Errorf("%s is %q, want %q", email, roles[email], r)
		}
	}
	if len(w.Accounts) != len(want) {
		t.Errorf("%d accounts, want %d", len(w.Accounts), len(want))
	}
	both := by["both@demo.invalid"].Appointments
	if both[0].ClubID == both[1].ClubID || both[0].ClubID == both[2].ClubID || both[1].ClubID == both[2].ClubID {
		t.Error("both@demo.invalid should be at three clubs")
	}
	if c := by["coach@demo.invalid"].Appointments; x.squads[c[0].SquadID].Name != "U13" || x.squads[c[1].SquadID].Name != "U15" || c[0].ClubID != w.Clubs[0].ID {
		t.Error("coach@demo.invalid should have club 1's U13 and U15")
	}
	shared := 0
	for p := range x.regs {
		last := w.Seasons[2].FirstDay.AddDays(30)
		if registered(x, p, w.Clubs[0].ID, last) && registered(x, p, by["coach2@demo.invalid"].Appointments[0].ClubID, last) {
			shared++
		}
	}
	if shared == 0 {
		t.Error("coach2@demo.invalid's club shares no player with club 1")
	}
}

// checkRegistered looks at everybody who was asked, came or bowled.
func checkRegistered(t *testing.T, w demo.World, x index) {
	for _, o := range w.Outings {
		here := map[domain.ID]bool{}
		for _, a := range o.Attendance {
			if _, twice := here[a.PlayerID]; twice {
				t.Fatalf("%s on %s: %s stands twice in the attendance", o.Title, o.Date, a.PlayerID)
			}
			here[a.PlayerID] = a.Present == domain.PresentYes
			if !registered(x, a.PlayerID, o.ClubID, o.Date) {
				t.Fatalf("%s on %s: %s is not registered with the club that day", o.Title, o.Date, a.PlayerID)
			}
		}
		for _, v := range o.Overs {
			if !here[v.PlayerID] {
				t.Fatalf("%s on %s: %s bowled and was not there", o.Title, o.Date, v.PlayerID)
			}
		}
		for _, v := range o.Practice {
			if !here[v.PlayerID] || v.OutingID != o.ID {
				t.Fatalf("%s on %s: %s practised and was not there", o.Title, o.Date, v.PlayerID)
			}
		}
		if o.State != domain.OutingHeld && len(o.Attendance)+len(o.Overs)+len(o.Practice) > 0 {
			t.Fatalf("%s on %s is %s and has logs", o.Title, o.Date, o.State)
		}
	}
}
