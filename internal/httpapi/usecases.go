package httpapi

import (
	"context"

	"longspell/internal/access"
	"longspell/internal/app"
	"longspell/internal/domain"
)

// UseCases is the product as the API needs it; app.App is one.
type UseCases interface {
	SignIn(ctx context.Context, email, password string) (app.SignedIn, error)
	Refresh(ctx context.Context, plain string) (app.SignedIn, error)
	SignOut(ctx context.Context, actor access.Actor) error
	Authenticate(ctx context.Context, account, login domain.ID) (access.Actor, error)
	Me(ctx context.Context, actor access.Actor) (app.MeView, error)

	Region(ctx context.Context, c app.Call) (app.RegionView, error)
	UpdateRegion(ctx context.Context, c app.Call, r domain.Region) (app.RegionView, error)
	Seasons(ctx context.Context, c app.Call, p domain.Page) (domain.Slice[domain.Season], error)
	PutSeason(ctx context.Context, c app.Call, v domain.Season) (domain.Season, error)
	Clubs(ctx context.Context, c app.Call, p domain.Page) (domain.Slice[domain.Club], error)
	PutClub(ctx context.Context, c app.Call, v domain.Club) (domain.Club, error)
	Audit(ctx context.Context, c app.Call, p domain.Page) (domain.Slice[domain.AuditEntry], error)

	LimitSets() []app.LimitSetView
	Adoptions(ctx context.Context, c app.Call) ([]domain.Adoption, error)
	PutAdoption(ctx context.Context, c app.Call, v domain.Adoption) (domain.Adoption, error)
	SquadAllowances(ctx context.Context, c app.Call, squad domain.ID, on domain.Date) (app.AllowanceList, error)
	OutingAllowances(ctx context.Context, c app.Call, outing domain.ID, next app.Next) (app.AllowanceList, error)
	PlayerLoad(ctx context.Context, c app.Call, player domain.ID, asOf domain.Date) (app.LoadView, error)

	Squads(ctx context.Context, c app.Call, f app.SquadFilter, p domain.Page) (domain.Slice[domain.Squad], error)
	PutSquad(ctx context.Context, c app.Call, v domain.Squad) (domain.Squad, error)
	PutSquadPlayer(ctx context.Context, c app.Call, v domain.SquadPlayer) (domain.SquadPlayer, error)
	Players(ctx context.Context, c app.Call, f app.PlayerFilter, p domain.Page) (domain.Slice[app.PlayerView], error)
	Player(ctx context.Context, c app.Call, id domain.ID) (app.PlayerView, error)
	PutPlayer(ctx context.Context, c app.Call, cmd app.PutPlayer) (app.PlayerView, error)
	Registrations(ctx context.Context, c app.Call, player domain.ID) ([]domain.Registration, error)
	PutRegistration(ctx context.Context, c app.Call, v domain.Registration) (domain.Registration, error)
	Appointments(ctx context.Context, c app.Call, f app.AppointmentFilter, p domain.Page) (domain.Slice[domain.Appointment], error)
	PutAppointment(ctx context.Context, c app.Call, v domain.Appointment) (domain.Appointment, error)

	Outings(ctx context.Context, c app.Call, f app.OutingFilter, p domain.Page) (domain.Slice[domain.Outing], error)
	Outing(ctx context.Context, c app.Call, id domain.ID) (domain.Outing, error)
	PutOuting(ctx context.Context, c app.Call, cmd app.PutOuting) (domain.Outing, app.AllowanceList, error)
	PutOver(ctx context.Context, c app.Call, cmd app.PutOver) (domain.OverLog, app.AllowanceList, error)
	DeleteOver(ctx context.Context, c app.Call, outing, over domain.ID, version int) (app.AllowanceList, error)
	PutPractice(ctx context.Context, c app.Call, cmd app.PutPractice) (domain.Practice, app.AllowanceList, error)
	Corrections(ctx context.Context, c app.Call, outing domain.ID, p domain.Page) (domain.Slice[domain.Correction], error)

	Notices(ctx context.Context, c app.Call, f app.NoticeFilter, p domain.Page) (domain.Slice[app.NoticeView], error)
	Notice(ctx context.Context, c app.Call, id domain.ID) (app.NoticeView, error)
	HandleNotice(ctx context.Context, c app.Call, cmd app.HandleNotice) (app.NoticeView, error)

	ImportFile(ctx context.Context, c app.Call, cmd app.ImportFile) (app.ImportReport, error)
}

var _ UseCases = (*app.App)(nil)

// operations implements the generated interface of the contract: convert, call the use case, convert.
type operations struct {
	app   UseCases
	clock Clock
	pages pages
}
