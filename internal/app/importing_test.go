package app_test

import (
	"strconv"
	"strings"
	"testing"

	"longspell/internal/app"
	"longspell/internal/domain"
	"longspell/internal/store"
	"longspell/internal/testkit/db"
	"longspell/internal/testkit/world"
)

const (
	playersFile = "\xef\xbb\xbfplayer,name,born,sex,arm,kind,club,squad,since\r\n" +
		"p1,\"Quill, A\",2012-10-01,f,right,wrist_spin,Mine,U13,2023-05-01\r\n" +
		"p2,Rook,2011-01-05,m,left,seam_back,Mine,,\r\n"
	oversFile = "match,date,day,overs_a_side,bowler_cap,innings,over,end,player,kind,balls,valid,break_min\n" +
		"m1,2026-05-09,,20,4,1,1,,p1,,6,6,\n" +
		"m1,2026-05-09,,20,4,1,2,,p2,seam_up,7,6,\n" +
		"m1,2026-05-09,,20,4,1,3,A,p1,wrist_spin,8,6,10\n"
	outingsFile = "outing,date,club,squad,kind_of_outing,state,player,present,bowling_kind,balls,overs,hits,trial,effort\n" +
		"n1,2026-05-07,,U13,nets,held,p1,yes,,36,,7,stock ball,5\n" +
		"n1,2026-05-07,,U13,nets,held,p2,no,,,,,,\n"
	matchFile = `{"meta":{"data_version":"1.0.0"},"info":{"dates":["2026-05-10"],"overs":20},"innings":[{"team":"x","overs":[
		{"over":0,"deliveries":[{"bowler":"p2"},{"bowler":"p2","extras":{"wides":1}},{"bowler":"p2"}]},
		{"over":1,"deliveries":[{"bowler":"Somebody Else"}]}]}]}`
)

func importFile(t *testing.T, w *world.World, c app.Call, cmd app.ImportFile, content string) app.ImportReport {
	t.Helper()
	cmd.Content = strings.NewReader(content)
	if cmd.FileName == "" {
		cmd.FileName = string(cmd.Kind) + ".csv"
	}
	rep, err := w.App.ImportFile(t.Context(), c, cmd)
	if err != nil {
		t.Fatalf("%s: %v", cmd.Kind, err)
	}
	return rep
}

// A club's season by file: players, nets and matches go in once, whatever is sent again; a dry run stores nothing; and what a
// file says otherwise later is kept as a correction.
func TestImportOfAClub(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Mine")
		lead := w.Lead(club)
		ctx := t.Context()
		file := func(kind app.ImportKind, key, content string) app.ImportReport {
			name := ""
			if kind == app.ImportMatch {
				name = "m2.json"
			}
			return importFile(t, w, lead, app.ImportFile{Kind: kind, ClubID: club, FileName: name, DryRun: key == "", IdempotencyKey: key}, content)
		}
		count := func() (players, outings int) {
			p, err := w.App.Players(ctx, lead, app.PlayerFilter{}, domain.Page{Size: 100})
			if err != nil {
				t.Fatal(err)
			}
			o, err := w.App.Outings(ctx, lead, app.OutingFilter{}, domain.Page{Size: 100})
			if err != nil {
				t.Fatal(err)
			}
			return len(p.Items), len(o.Items)
		}
		if rep := file(app.ImportPlayers, "", playersFile); !rep.Accepted || rep.Created != 2 {
			t.Fatalf("dry run: %+v", rep)
		}
		if p, _ := count(); p != 0 {
			t.Fatalf("a dry run stored %d players", p)
		}
		for i, want := range []app.ImportReport{{Created: 2}, {Unchanged: 2}} {
			rep := file(app.ImportPlayers, "key-players-"+string(rune('0'+i)), playersFile)
			if rep.Created != want.Created || rep.Unchanged != want.Unchanged || !rep.Accepted {
				t.Fatalf("players, time %d: %+v", i, rep)
			}
		}
		for _, k := range []struct {
			kind    app.ImportKind
			content string
		}{{app.ImportOvers, oversFile}, {app.ImportOutings, outingsFile}, {app.ImportMatch, matchFile}} {
			first, again := file(k.kind, "key-one-"+string(k.kind), k.content), file(k.kind, "key-two-"+string(k.kind), k.content)
			if !first.Accepted || first.Created != 1 || !again.Accepted || again.Unchanged != 1 || again.Created+again.Changed != 0 {
				t.Errorf("%s: first %+v, again %+v", k.kind, first, again)
			}
		}
		if p, o := count(); p != 2 || o != 3 {
			t.Errorf("%d players and %d outings, want 2 and 3", p, o)
		}
		players, err := w.App.Players(ctx, lead, app.PlayerFilter{Name: "qui"}, domain.Page{Size: 10})
		if err != nil || len(players.Items) != 1 || players.Items[0].Name != "Quill, A" || len(players.Items[0].SquadIDs) != 1 {
			t.Fatalf("%+v, %v", players.Items, err)
		}
		load, err := w.App.PlayerLoad(ctx, lead, players.Items[0].ID, domain.MustDate("2026-05-11"))
		if err != nil || load.Days7.Balls != 36+6+8 || load.Days7.Overs != 2 || load.Days7.Days != 2 {
			t.Errorf("load: %+v, %v", load, err)
		}

		changed := strings.Replace(oversFile, "1,3,A,p1,wrist_spin,8,6", "1,3,A,p1,wrist_spin,9,6", 1)
		if rep := file(app.ImportOvers, "key-changed", changed); rep.Changed != 1 {
			t.Fatalf("changed: %+v", rep)
		}
		var id domain.ID
		os, err := w.App.Outings(ctx, lead, app.OutingFilter{From: domain.MustDate("2026-05-09"), To: domain.MustDate("2026-05-09")}, domain.Page{Size: 10})
		if err != nil || len(os.Items) != 1 {
			t.Fatalf("%+v, %v", os.Items, err)
		}
		id = os.Items[0].ID
		corr, err := w.App.Corrections(ctx, lead, id, domain.Page{Size: 10})
		if err != nil || len(corr.Items) != 1 || corr.Items[0].Before["balls"] != "8" || corr.Items[0].After["balls"] != "9" {
			t.Errorf("corrections: %+v, %v", corr.Items, err)
		}
	})
}

// Bad rows are all named, and nothing of the file is stored: neither what the file itself gives away nor what only the region
// knows.
func TestImportRefusesWholeFiles(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club, other := w.Club("Mine"), w.Club("Theirs")
		lead := w.Lead(club)
		w.Player("p1", "2012-10-01", domain.WristSpin, club)
		w.Player("p2", "2012-10-01", domain.WristSpin, other)
		header := strings.SplitAfter(oversFile, "\n")[0]
		cases := map[string]struct {
			kind    app.ImportKind
			content string
			want    []string // LINE:column:value
		}{
			"two faults of the file": {app.ImportOvers, header + "m1,2026-05-09,,,,1,0,,p1,,6,6,\nm1,20260-05-09,,,,1,1,,p1,,6,6,\n",
				[]string{"2:over:0", "3:date:20260-05-09"}},
			"a player of nobody, one of another club": {app.ImportOvers, header + "m1,2026-05-09,,,,1,1,,p9,,6,6,\nm1,2026-05-09,,,,1,2,,p2,,6,6,\nm1,2026-05-09,,,,1,3,,p1,,6,6,\n",
				[]string{"2:player:p9", "3:player:p2"}},
			"a day to come": {app.ImportOvers, header + "m1,2026-05-12,,,,1,1,,p1,,6,6,\n", []string{"2:date:2026-05-12"}},
			"two formats in one match": {app.ImportOvers, header + "m1,2026-05-09,,20,4,1,1,,p1,,6,6,\nm1,2026-05-09,,40,8,1,3,,p1,,6,6,\n",
				[]string{"3:overs_a_side:40"}},
			"another club's name":           {app.ImportPlayers, "player,born,club\nx1,2012-01-01,Theirs\n", []string{"2:club:Theirs"}},
			"a reference of another club's": {app.ImportPlayers, "player,born\np2,2012-01-01\n", []string{"2:player:p2"}},
			"an outing in two kinds":        {app.ImportOutings, "outing,date,kind_of_outing,state,player\nn,2026-05-09,nets,held,p1\nn,2026-05-09,home,held,p9\n", []string{"3:player:p9"}},
			"a match nobody here bowled in": {app.ImportMatch, `{"info":{"dates":["2026-05-09"]},"innings":[{"overs":[{"over":0,"deliveries":[{"bowler":"Nobody"}]}]}]}`, []string{"1:innings:"}},
		}
		for name, c := range cases {
			rep := importFile(t, w, lead, app.ImportFile{Kind: c.kind, ClubID: club, FileName: "f.json", IdempotencyKey: "key " + name}, c.content)
			var got []string
			for _, e := range rep.Errors {
				got = append(got, strings.Join([]string{strconv.Itoa(e.Line), e.Column, e.Value}, ":"))
				if e.Reason == "" || e.File != "f.json" {
					t.Errorf("%s: %+v", name, e)
				}
			}
			if rep.Accepted || strings.Join(got, " ") != strings.Join(c.want, " ") {
				t.Errorf("%s: accepted %v, %v; want %v", name, rep.Accepted, got, c.want)
			}
		}
		out, err := w.App.Outings(t.Context(), lead, app.OutingFilter{}, domain.Page{Size: 10})
		if err != nil || len(out.Items) != 0 {
			t.Errorf("a refused file left %d outings, %v", len(out.Items), err)
		}
	})
}

// The same key with the same file gives the first answer again, with another file it is refused, and without a key nothing is
// stored at all.
func TestImportKeys(t *testing.T) {
	t.Parallel()
	db.Each(t, func(t *testing.T, st *store.Store) {
		w := world.New(t, st)
		club := w.Club("Mine")
		lead, coach := w.Lead(club), w.Coach(club)
		cmd := app.ImportFile{Kind: app.ImportPlayers, ClubID: club, FileName: "p.csv", IdempotencyKey: "the same key"}
		for range 2 {
			if rep := importFile(t, w, lead, cmd, playersFile); rep.Created != 2 || rep.Unchanged != 0 {
				t.Errorf("%+v", rep)
			}
		}
		cmd.Content = strings.NewReader("player,born\nx,2012-01-01\n")
		if _, err := w.App.ImportFile(t.Context(), lead, cmd); domain.ErrorCodeOf(err) != "idempotency_key_reused" {
			t.Errorf("another file under the key: %v", err)
		}
		cmd.IdempotencyKey, cmd.Content = "", strings.NewReader(playersFile)
		if _, err := w.App.ImportFile(t.Context(), lead, cmd); domain.ErrorCodeOf(err) != "idempotency_key_missing" {
			t.Errorf("no key: %v", err)
		}
		if _, err := w.App.ImportFile(t.Context(), coach, cmd); domain.ErrorKindOf(err) != domain.KindForbidden {
			t.Errorf("a coach imports: %v", err)
		}
		cmd.ClubID = w.Club("Theirs")
		if _, err := w.App.ImportFile(t.Context(), lead, cmd); domain.ErrorKindOf(err) != domain.KindNotFound {
			t.Errorf("into another club: %v", err)
		}
	})
}
