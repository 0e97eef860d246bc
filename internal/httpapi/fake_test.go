package httpapi_test

import (
	"context"
	"io"
	"sync"
	"time"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/domain"
)

// Ids of the invented little world that the fake answers with.
const (
	regionID  = domain.ID("0198f0c0-0001-7000-8000-000000000001")
	clubID    = domain.ID("0198f0c0-0002-7000-8000-000000000002")
	squadID   = domain.ID("0198f0c0-0003-7000-8000-000000000003")
	playerID  = domain.ID("0198f0c0-0004-7000-8000-000000000004")
	outingID  = domain.ID("0198f0c0-0005-7000-8000-000000000005")
	entryID   = domain.ID("0198f0c0-0006-7000-8000-000000000006")
	noticeID  = domain.ID("0198f0c0-0007-7000-8000-000000000007")
	accountID = domain.ID("0198f0c0-0008-7000-8000-000000000008")
	loginID   = domain.ID("0198f0c0-0009-7000-8000-000000000009")
	seasonID  = domain.ID("0198f0c0-000a-7000-8000-00000000000a")
	elsewhere = domain.ID("0198f0c0-00ff-7000-8000-0000000000ff")
)

var (
	start = time.Date(2026, 5, 9, 17, 30, 0, 0, time.UTC)
	today = domain.MustDate("2026-05-09")
)

// fake answers every use case with something full, or with err where it is set. It remembers what it was called with.
type fake struct {
	mu    sync.Mutex
	err   error
	actor access.Actor
	got   any             // the last command or filter
	ctx   context.Context // of the last call
	calls int
	read  []byte // content of the last import

	player *app.PlayerView
	panics any
}

func (f *fake) called(ctx context.Context, got any) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.calls++
	f.got, f.ctx = got, ctx
	if f.panics != nil {
		panic(f.panics)
	}
	return f.err
}

// appointed is a person with these roles at the club.
func appointed(roles ...domain.Role) access.Actor {
	a := access.Actor{Account: accountID, Login: loginID, DisplayName: "Ada Quill"}
	for _, r := range roles {
		p := domain.Appointment{ID: entryID, RegionID: regionID, RegionName: "Vale", AccountID: accountID, Holder: "Ada Quill", Role: r, From: today, Version: 1}
		if r != domain.RegionOfficer {
			p.ClubID, p.ClubName = clubID, "Wren CC"
		}
		if r == domain.Guardian {
			p.PlayerID = playerID
		}
		a.Appointments = append(a.Appointments, p)
	}
	return a
}

func (f *fake) signedIn() app.SignedIn {
	return app.SignedIn{Actor: f.actor, AccessToken: "access", AccessExpires: start.Add(10 * time.Minute), RefreshToken: "refresh-token-of-the-login", RefreshExpires: start.Add(time.Hour)}
}

func (f *fake) SignIn(ctx context.Context, email, password string) (app.SignedIn, error) {
	return f.signedIn(), f.called(ctx, email+" "+password)
}

func (f *fake) Refresh(ctx context.Context, plain string) (app.SignedIn, error) {
	return f.signedIn(), f.called(ctx, plain)
}

func (f *fake) SignOut(ctx context.Context, actor access.Actor) error { return f.called(ctx, actor) }

// Authenticate does not fail with err: that is for the operation behind it.
func (f *fake) Authenticate(_ context.Context, account, login domain.ID) (access.Actor, error) {
	if account != accountID || login != loginID {
		return access.Actor{}, domain.Unauthenticated("signed_out", "You are signed out.")
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.actor, nil
}

func (f *fake) Me(ctx context.Context, actor access.Actor) (app.MeView, error) {
	return app.MeView{Account: actor.Account, DisplayName: actor.DisplayName, Appointments: actor.Appointments}, f.called(ctx, nil)
}

func (f *fake) regionView() app.RegionView {
	return app.RegionView{Region: domain.Region{ID: regionID, Name: "Vale", TimeZone: "Europe/London", SeasonStartMonth: 4, SeasonStartDay: 1, Version: 1}, Today: today}
}

func (f *fake) Region(ctx context.Context, c app.Call) (app.RegionView, error) {
	return f.regionView(), f.called(ctx, c)
}

func (f *fake) UpdateRegion(ctx context.Context, _ app.Call, r domain.Region) (app.RegionView, error) {
	return f.regionView(), f.called(ctx, r)
}

func slice[T any](v ...T) domain.Slice[T] { return domain.Slice[T]{Items: v, Next: "further"} }

func (f *fake) season() domain.Season {
	return domain.Season{ID: seasonID, Name: "2026", FirstDay: today, LastDay: today, Version: 1}
}

func (f *fake) Seasons(ctx context.Context, _ app.Call, p domain.Page) (domain.Slice[domain.Season], error) {
	return slice(f.season()), f.called(ctx, p)
}

func (f *fake) PutSeason(ctx context.Context, _ app.Call, v domain.Season) (domain.Season, error) {
	return f.season(), f.called(ctx, v)
}

func (f *fake) Clubs(ctx context.Context, _ app.Call, p domain.Page) (domain.Slice[domain.Club], error) {
	return domain.Slice[domain.Club]{}, f.called(ctx, p)
}

func (f *fake) PutClub(ctx context.Context, _ app.Call, v domain.Club) (domain.Club, error) {
	return v, f.called(ctx, v)
}

func (f *fake) Audit(ctx context.Context, _ app.Call, p domain.Page) (domain.Slice[domain.AuditEntry], error) {
	return slice(domain.AuditEntry{ID: entryID, At: start, Role: "coach", Action: "created", What: "outing"},
		domain.AuditEntry{ID: entryID, At: start, ByName: "Ada Quill", Role: "coach", Action: "changed", What: "outing", EntryID: outingID, Detail: map[string]string{"a": "b"}}), f.called(ctx, p)
}

func (f *fake) LimitSets() []app.LimitSetView {
	five := 5
	return []app.LimitSetView{{ID: "x-2026", Title: "A set", Publisher: "A body", Year: 2026, Address: "an address", ValidFrom: today, FastKinds: []domain.BowlingKind{domain.SeamBack},
		AgeRule: "a rule", NewSpellAfterMin: 40, Bands: []app.LimitBandView{{UpTo: "U13", SpellOvers: &five}}, Settings: []app.LimitSettingView{{Name: "a", Value: "b", Values: []string{"b"}, Says: "c"}}},
		{ID: "y-2026"}}
}

func (f *fake) adoption() domain.Adoption {
	return domain.Adoption{ID: entryID, LimitSet: "x-2026", From: today, Settings: map[string]string{}, Version: 1}
}

func (f *fake) Adoptions(ctx context.Context, _ app.Call) ([]domain.Adoption, error) {
	return []domain.Adoption{f.adoption(), {ID: entryID, LimitSet: "y-2026", From: today, To: today, Version: 1}}, f.called(ctx, nil)
}

func (f *fake) PutAdoption(ctx context.Context, _ app.Call, v domain.Adoption) (domain.Adoption, error) {
	return f.adoption(), f.called(ctx, v)
}

func (f *fake) allowances() app.AllowanceList {
	n := 3
	finding := app.FindingView{Date: today, Limit: "day_overs", LimitSet: "x-2026", Title: "A set", Publisher: "A body", Year: 2026, Weight: "limit", Actual: 11, Allowed: &n, Says: "says", Source: "source"}
	return app.AllowanceList{Date: today, Caution: "caution", Next: &app.Next{Innings: 1, Over: 4, End: domain.EndB}, Bowlers: []app.Allowance{
		{PlayerID: playerID, Name: "Mia", Kind: domain.WristSpin, AgeGroup: "U13", Sets: []app.SetAllowance{{LimitSet: "x-2026", Judged: true, SpellOvers: &n}},
			Next: []app.NextCheck{{Kind: domain.SeamBack, Breaks: []app.FindingView{finding}}, {Kind: domain.WristSpin}}},
		{PlayerID: playerID, Name: "Jo"}}}
}

func (f *fake) SquadAllowances(ctx context.Context, _ app.Call, squad domain.ID, on domain.Date) (app.AllowanceList, error) {
	return app.AllowanceList{Date: today}, f.called(ctx, on)
}

func (f *fake) OutingAllowances(ctx context.Context, _ app.Call, _ domain.ID, next app.Next) (app.AllowanceList, error) {
	return f.allowances(), f.called(ctx, next)
}

func (f *fake) PlayerLoad(ctx context.Context, _ app.Call, _ domain.ID, asOf domain.Date) (app.LoadView, error) {
	n, usual := 2, 30.25
	return app.LoadView{AsOf: today, Last: today, DaysSince: &n, UsualWeekBalls: &usual, ByDay: []app.LoadDay{{Date: today, Balls: 6}}, Caution: "caution"}, f.called(ctx, asOf)
}

func (f *fake) squad() domain.Squad {
	return domain.Squad{ID: squadID, ClubID: clubID, SeasonID: seasonID, Name: "U13", Version: 1}
}

func (f *fake) Squads(ctx context.Context, _ app.Call, q domain.SquadFilter, _ domain.Page) (domain.Slice[domain.Squad], error) {
	return slice(f.squad()), f.called(ctx, q)
}

func (f *fake) PutSquad(ctx context.Context, _ app.Call, v domain.Squad) (domain.Squad, error) {
	return f.squad(), f.called(ctx, v)
}

func (f *fake) PutSquadPlayer(ctx context.Context, _ app.Call, v domain.SquadPlayer) (domain.SquadPlayer, error) {
	return v, f.called(ctx, v)
}

func (f *fake) playerView() app.PlayerView {
	if f.player != nil {
		return *f.player
	}
	return app.PlayerView{Player: domain.Player{ID: playerID, Name: "Mia", Version: 1}, Named: true}
}

func (f *fake) Players(ctx context.Context, _ app.Call, q domain.PlayerFilter, _ domain.Page) (domain.Slice[app.PlayerView], error) {
	return slice(f.playerView()), f.called(ctx, q)
}

func (f *fake) Player(ctx context.Context, _ app.Call, id domain.ID) (app.PlayerView, error) {
	return f.playerView(), f.called(ctx, id)
}

func (f *fake) PutPlayer(ctx context.Context, _ app.Call, cmd app.PutPlayer) (app.PlayerView, error) {
	return f.playerView(), f.called(ctx, cmd)
}

func (f *fake) Registrations(ctx context.Context, _ app.Call, id domain.ID) ([]domain.Registration, error) {
	return []domain.Registration{{ID: entryID, PlayerID: id, ClubID: clubID, SeasonID: seasonID, From: today, Version: 1}}, f.called(ctx, id)
}

func (f *fake) PutRegistration(ctx context.Context, _ app.Call, v domain.Registration) (domain.Registration, error) {
	return v, f.called(ctx, v)
}

func (f *fake) Appointments(ctx context.Context, _ app.Call, q domain.AppointmentFilter, _ domain.Page) (domain.Slice[domain.Appointment], error) {
	return slice(appointed(domain.RegionOfficer, domain.Guardian).Appointments...), f.called(ctx, q)
}

func (f *fake) PutAppointment(ctx context.Context, c app.Call, v domain.Appointment) (domain.Appointment, error) {
	v.RegionID = c.Region
	return v, f.called(ctx, v)
}

func (f *fake) outing() domain.Outing {
	return domain.Outing{ID: outingID, ClubID: clubID, Kind: domain.OutingMatch, State: domain.OutingHeld, Date: today, HasFormat: true, Version: 1,
		Format: domain.MatchFormat{OversASide: 20, BallsInOver: domain.SixValid}, Attendance: []domain.Attendance{{PlayerID: playerID, Present: domain.PresentYes}},
		Overs:  []domain.OverLog{f.over()},
		Spells: []domain.QuickSpell{{ID: entryID, Date: today, Innings: 1, PlayerID: playerID, Overs: 2, Balls: 12, Valid: 12}}, Practice: []domain.Practice{f.practice()}}
}

func (f *fake) over() domain.OverLog {
	return domain.OverLog{ID: entryID, Date: today, Innings: 1, Over: 2, PlayerID: playerID, Balls: 7, Valid: 6, Version: 1}
}

func (f *fake) practice() domain.Practice {
	return domain.Practice{ID: entryID, PlayerID: playerID, Kind: domain.FingerSpin, Balls: 24, Hits: -1, Effort: 0, Version: 1}
}

func (f *fake) Outings(ctx context.Context, _ app.Call, q domain.OutingFilter, _ domain.Page) (domain.Slice[domain.Outing], error) {
	return slice(f.outing(), domain.Outing{ID: outingID, ClubID: clubID, SquadID: squadID, Kind: domain.OutingNets, State: domain.OutingPlanned, Date: today}), f.called(ctx, q)
}

func (f *fake) Outing(ctx context.Context, _ app.Call, id domain.ID) (domain.Outing, error) {
	return f.outing(), f.called(ctx, id)
}

func (f *fake) PutOuting(ctx context.Context, _ app.Call, cmd app.PutOuting) (domain.Outing, app.AllowanceList, error) {
	return domain.Outing{ID: outingID, ClubID: clubID, Kind: domain.OutingNets, State: domain.OutingHeld, Date: today, Version: 1}, f.allowances(), f.called(ctx, cmd)
}

func (f *fake) PutOver(ctx context.Context, _ app.Call, cmd app.PutOver) (domain.OverLog, app.AllowanceList, error) {
	return f.over(), f.allowances(), f.called(ctx, cmd)
}

func (f *fake) DeleteOver(ctx context.Context, _ app.Call, _, over domain.ID, version int) (app.AllowanceList, error) {
	return f.allowances(), f.called(ctx, version)
}

func (f *fake) PutPractice(ctx context.Context, _ app.Call, cmd app.PutPractice) (domain.Practice, app.AllowanceList, error) {
	return f.practice(), f.allowances(), f.called(ctx, cmd)
}

func (f *fake) Corrections(ctx context.Context, _ app.Call, _ domain.ID, p domain.Page) (domain.Slice[domain.Correction], error) {
	return slice(domain.Correction{ID: entryID, At: start, ByName: "Ada Quill", What: "over", EntryID: entryID, Before: map[string]string{"balls": "6"}}), f.called(ctx, p)
}

func (f *fake) notice() app.NoticeView {
	n := domain.Notice{ID: noticeID, Kind: domain.BowledTooMuch, PlayerID: playerID, Limit: "day_overs", LimitSet: "x-2026", Weight: "limit", FirstDay: today, LastDay: today,
		OpenedOn: today, VisibleUntil: today, State: domain.NoticeEnded, EndReason: domain.EndReturned, EndedBy: accountID, EndedByName: "Ada Quill", EndedAt: start, Version: 2}
	return app.NoticeView{Notice: n, PlayerName: "Mia", Says: "says", Caution: "caution", Facts: []app.NoticeFactView{
		{NoticeFact: domain.NoticeFact{ID: entryID, Date: today, OutingID: outingID, Allowed: -1, Actual: 11}, Limit: "day_overs"},
		{NoticeFact: domain.NoticeFact{ID: entryID, Date: today, OutingID: outingID, Allowed: 10, Actual: 11, Innings: 1, Over: 3, Earliest: 9}, Limit: "day_overs", ShowOuting: true}}}
}

func (f *fake) Notices(ctx context.Context, _ app.Call, q domain.NoticeFilter, _ domain.Page) (domain.Slice[app.NoticeView], error) {
	return slice(f.notice()), f.called(ctx, q)
}

func (f *fake) Notice(ctx context.Context, _ app.Call, id domain.ID) (app.NoticeView, error) {
	return f.notice(), f.called(ctx, id)
}

func (f *fake) HandleNotice(ctx context.Context, _ app.Call, cmd app.HandleNotice) (app.NoticeView, error) {
	return f.notice(), f.called(ctx, cmd)
}

func (f *fake) ImportFile(ctx context.Context, _ app.Call, cmd app.ImportFile) (app.ImportReport, error) {
	read, err := io.ReadAll(cmd.Content)
	if err != nil {
		return app.ImportReport{}, err
	}
	f.read = read
	return app.ImportReport{Kind: cmd.Kind, FileName: cmd.FileName, DryRun: cmd.DryRun, Errors: []app.ImportError{{File: "f", Line: 1, Column: "c", Value: "v", Reason: "r"}}}, f.called(ctx, cmd)
}
