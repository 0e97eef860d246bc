package demo_test

import (
	"testing"

	"longspell/internal/demo"
	"longspell/internal/domain"
)

// checkOvers holds every innings against the Laws (no bowler bowls two overs running: Marylebone Cricket Club, The Laws of
// Cricket, 2017 Code, Law 17.6, from memory) and against the format that the outing names.
func checkOvers(t *testing.T, w demo.World) {
	shared, extras, intervals, drinks := 0, 0, 0, 0
	for _, o := range w.Outings {
		if o.HasFormat != (o.Kind == domain.OutingMatch) || o.State == domain.OutingHeld && o.Kind == domain.OutingMatch && len(o.Overs) == 0 {
			t.Fatalf("%s on %s: format %v, %d rows", o.Title, o.Date, o.HasFormat, len(o.Overs))
		}
		bowled := map[domain.ID]int{}
		rows := map[int][]domain.OverLog{}
		for i, v := range o.Overs {
			if v.OutingID != o.ID || v.Date != o.Date || v.Seq != i+1 || v.Kind == domain.KindUnknown || v.Innings != o.Overs[0].Innings {
				t.Fatalf("%s on %s: row %+v does not belong there", o.Title, o.Date, v)
			}
			if want := []domain.End{domain.EndB, domain.EndA}[v.Over%2]; v.End != want {
				t.Fatalf("%s on %s: over %d from end %s", o.Title, o.Date, v.Over, v.End)
			}
			for _, u := range append(rows[v.Over], rows[v.Over-1]...) {
				if u.PlayerID == v.PlayerID {
					t.Fatalf("%s on %s: %s stands twice in over %d, or bowled the one before", o.Title, o.Date, v.PlayerID, v.Over)
				}
			}
			rows[v.Over] = append(rows[v.Over], v)
			if bowled[v.PlayerID]++; o.Format.BowlerCap > 0 && bowled[v.PlayerID] > o.Format.BowlerCap {
				t.Fatalf("%s on %s: %s bowled %d overs, the format allows %d", o.Title, o.Date, v.PlayerID, bowled[v.PlayerID], o.Format.BowlerCap)
			}
			switch v.BreakMin {
			case 10:
				drinks++
			case 40:
				intervals++
			case 0:
			default:
				t.Fatalf("a break of %d minutes", v.BreakMin)
			}
		}
		for over := 1; over <= len(rows); over++ {
			extras += checkBalls(t, o, over, rows[over])
			if len(rows[over]) > 1 {
				shared++
			}
		}
		if o.Format.OversASide > 0 && len(rows) > o.Format.OversASide {
			t.Fatalf("%s on %s: %d overs of %d", o.Title, o.Date, len(rows), o.Format.OversASide)
		}
	}
	if shared == 0 || extras == 0 || intervals == 0 || drinks == 0 {
		t.Errorf("%d shared overs, %d wides and no-balls, %d intervals, %d drinks; want some of each", shared, extras, intervals, drinks)
	}
}

// checkBalls holds one over, shared or not, against the format and gives its wides and no-balls.
func checkBalls(t *testing.T, o domain.Outing, over int, rows []domain.OverLog) int {
	t.Helper()
	balls, valid := 0, 0
	for _, v := range rows {
		if v.Balls < 1 || v.Valid < 0 || v.Valid > v.Balls {
			t.Fatalf("%s on %s: over %d has %d balls, %d valid", o.Title, o.Date, over, v.Balls, v.Valid)
		}
		balls += v.Balls
		valid += v.Valid
	}
	if !lawful(o.Format.BallsInOver, balls, valid) {
		t.Fatalf("%s on %s: over %d has %d balls, %d valid under %s", o.Title, o.Date, over, balls, valid, o.Format.BallsInOver)
	}
	return balls - valid
}

// lawful reports whether an over of a junior format may have gone so.
func lawful(rule domain.BallsInOver, balls, valid int) bool {
	switch rule {
	case domain.SixFixed:
		return balls == 6
	case domain.FiveFixed:
		return balls == 5
	case domain.AtMost7:
		return valid == 6 && balls <= 7 || valid < 6 && balls == 7
	case domain.AtMost8:
		return valid == 6 && balls <= 8 || valid < 6 && balls == 8
	case domain.SixValid:
		return valid == 6 || balls == 12 // the umpire has had enough
	}
	return false
}

func checkPractice(t *testing.T, w demo.World, today domain.Date) {
	effort, home, schooled, drifted := 0, 0, 0, 0
	usual := map[domain.ID]domain.BowlingKind{}
	for _, p := range w.Players {
		usual[p.ID] = p.Kind
		if p.Kind.IsSpin() != !p.Since.IsZero() && p.Kind.IsSpin() || p.Since.After(today) {
			t.Fatalf("%s bowls %s since %q", p.Name, p.Kind, p.Since)
		}
	}
	for _, o := range w.Outings {
		for _, v := range o.Practice {
			if v.Balls < 6 || v.Balls > 60 || v.Kind == domain.KindUnknown || v.Hits != -1 || v.Effort < -1 || v.Effort > 10 {
				t.Fatalf("%s on %s: practice %+v", o.Title, o.Date, v)
			}
			if (o.Kind == domain.OutingSchool) != (v.Overs > 0) {
				t.Fatalf("%s on %s: %d overs of practice", o.Title, o.Date, v.Overs)
			}
			if v.Effort >= 0 {
				effort++
			}
			if usual[v.PlayerID].IsSpin() && !v.Kind.IsSpin() {
				drifted++
			}
		}
		switch {
		case o.Kind == domain.OutingHome:
			home++
		case o.Kind == domain.OutingSchool:
			schooled++
		}
	}
	if effort == 0 || home == 0 || schooled == 0 || drifted == 0 {
		t.Errorf("effort %d, home %d, school %d, seam of spinners %d; want some of each", effort, home, schooled, drifted)
	}
}
