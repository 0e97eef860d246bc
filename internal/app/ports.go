package app

import (
	"context"
	"time"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Store is the database as the use cases need it. Rows of a region are reached only through InRegion, which confines one
// transaction to the scope's region (and, on PostgreSQL, tells the database so).
//
// Errors: what a caller may be told is a *domain.Error (not_found, version_stale, reference_taken, …); anything else is a
// fault. A transaction that the database aborts because of a concurrent one is run again by the store, so fn must have no
// effect outside the transaction.
type Store interface {
	// InRegion runs fn in one read-write transaction.
	InRegion(ctx context.Context, s access.Scope, fn func(tx Tx) error) error
	// ReadRegion runs fn in one read-only transaction, one snapshot.
	ReadRegion(ctx context.Context, s access.Scope, fn func(tx Tx) error) error

	Identity
	Ledger
}

// Identity is what is global: logins, and which regions an account has to do with. It knows nothing of any child.
type Identity interface {
	AccountByEmail(ctx context.Context, email string) (domain.Account, error) // not_found
	AccountByID(ctx context.Context, id domain.ID) (domain.Account, error)    // not_found
	CreateAccount(ctx context.Context, a domain.Account) error                // conflict email_taken
	// RecordSignIn stores FailedInRow, WaitUntil and, when it changed, PasswordHash.
	RecordSignIn(ctx context.Context, a domain.Account) error
	// RegionsOf lists the regions in which the account holds or held an appointment.
	RegionsOf(ctx context.Context, account domain.ID) ([]domain.ID, error)

	CreateLogin(ctx context.Context, l domain.Login, first domain.RefreshToken) error
	LoginByID(ctx context.Context, id domain.ID) (domain.Login, error)          // not_found
	RefreshToken(ctx context.Context, hash string) (domain.RefreshToken, error) // not_found
	// Rotate marks old as used and stores its successor, unless somebody did so first: then it changes nothing and
	// returns false, so that one token never has two successors.
	Rotate(ctx context.Context, old domain.RefreshToken, next domain.RefreshToken, at time.Time) (bool, error)
	EndLogin(ctx context.Context, id domain.ID, at time.Time, reason string) error
}

// Ledger decides which nightly run is still to be done, and by whom. It carries no data of any child.
type Ledger interface {
	// Regions lists all regions; the nightly run and the operator's commands start from it.
	Regions(ctx context.Context) ([]domain.Region, error)
	CreateRegion(ctx context.Context, r domain.Region) error
	// LastDone returns the latest local date that a job has done for a region; zero if none.
	LastDone(ctx context.Context, s access.Scope, job string) (domain.Date, error)
	// Done reports whether a job is done for one local date.
	Done(ctx context.Context, s access.Scope, job string, date domain.Date) (bool, error)
	// TakeLease takes or renews the lease of a job in a region until now+ttl and returns its fencing number, which grows
	// with every change of holder; false if somebody else holds it.
	TakeLease(ctx context.Context, s access.Scope, job, holder string, now time.Time, ttl time.Duration) (fence int64, ok bool, err error)
	ReleaseLease(ctx context.Context, s access.Scope, job, holder string, fence int64) error
}

// Tx is one transaction in one region. Every method takes the scope that limits which rows it may touch; lists and single
// reads see nothing outside it. Put methods follow one rule for versions: Version 0 creates; if the id exists already
// and the caller may see it, the same content gives the stored row (a repeat is harmless) and other content is a conflict
// (version_stale); an id that exists outside the scope is not_found. Version n > 0 changes the row if n is still its
// version, else version_stale. The stored row, with its new version, is returned.
type Tx interface {
	Region(ctx context.Context, s access.Scope) (domain.Region, error)
	UpdateRegion(ctx context.Context, s access.Scope, r domain.Region) (domain.Region, error)
	Seasons(ctx context.Context, s access.Scope, p domain.Page) (domain.Slice[domain.Season], error)
	PutSeason(ctx context.Context, s access.Scope, v domain.Season) (domain.Season, error)
	Adoptions(ctx context.Context, s access.Scope) ([]domain.Adoption, error) // by From, then limit set
	PutAdoption(ctx context.Context, s access.Scope, v domain.Adoption) (domain.Adoption, error)
	Clubs(ctx context.Context, s access.Scope, p domain.Page) (domain.Slice[domain.Club], error) // by name
	PutClub(ctx context.Context, s access.Scope, v domain.Club) (domain.Club, error)

	Squads(ctx context.Context, s access.Scope, f SquadFilter, p domain.Page) (domain.Slice[domain.Squad], error)
	Squad(ctx context.Context, s access.Scope, id domain.ID) (domain.Squad, error)
	PutSquad(ctx context.Context, s access.Scope, v domain.Squad) (domain.Squad, error)
	PutSquadPlayer(ctx context.Context, s access.Scope, v domain.SquadPlayer) (domain.SquadPlayer, error)

	Players(ctx context.Context, s access.Scope, f PlayerFilter, p domain.Page) (domain.Slice[domain.Player], error) // by name
	Player(ctx context.Context, s access.Scope, id domain.ID) (domain.Player, error)
	// PlayersByID returns those of ids that are inside the scope, in no order.
	PlayersByID(ctx context.Context, s access.Scope, ids []domain.ID) ([]domain.Player, error)
	// PlayersByReference looks through the whole region (operator and counting scopes), or a club's own (an actor's scope).
	PlayersByReference(ctx context.Context, s access.Scope, refs []string) (map[string]domain.Player, error)
	PutPlayer(ctx context.Context, s access.Scope, v domain.Player) (domain.Player, error)
	// Registrations returns the registrations, inside the scope, of the given players.
	Registrations(ctx context.Context, s access.Scope, players []domain.ID) ([]domain.Registration, error)
	PutRegistration(ctx context.Context, s access.Scope, v domain.Registration) (domain.Registration, error)
	// SquadsOf returns current squad memberships, inside the scope, of the given players.
	SquadsOf(ctx context.Context, s access.Scope, players []domain.ID) ([]domain.SquadPlayer, error)

	Appointments(ctx context.Context, s access.Scope, f AppointmentFilter, p domain.Page) (domain.Slice[domain.Appointment], error)
	Appointment(ctx context.Context, s access.Scope, id domain.ID) (domain.Appointment, error)
	PutAppointment(ctx context.Context, s access.Scope, v domain.Appointment) (domain.Appointment, error)

	Outings(ctx context.Context, s access.Scope, f OutingFilter, p domain.Page) (domain.Slice[domain.Outing], error) // newest first, without logs
	// Outing reads an outing whole: attendance, overs (innings, over, seq), spells, practice.
	Outing(ctx context.Context, s access.Scope, id domain.ID) (domain.Outing, error)
	OutingsByReference(ctx context.Context, s access.Scope, club domain.ID, refs []string) (map[string]domain.Outing, error)
	// PutOuting stores the outing's own columns; attendance and logs are stored by the methods below.
	PutOuting(ctx context.Context, s access.Scope, v domain.Outing) (domain.Outing, error)
	// ReplaceAttendance makes the attendance exactly this.
	ReplaceAttendance(ctx context.Context, s access.Scope, outing domain.ID, a []domain.Attendance) error
	PutOver(ctx context.Context, s access.Scope, v domain.OverLog) (domain.OverLog, error) // conflict over_taken: this bowler stands in this over already
	DeleteOver(ctx context.Context, s access.Scope, outing, id domain.ID, version int) error
	PutSpell(ctx context.Context, s access.Scope, v domain.QuickSpell) (domain.QuickSpell, error)
	DeleteSpell(ctx context.Context, s access.Scope, outing, id domain.ID, version int) error
	PutPractice(ctx context.Context, s access.Scope, v domain.Practice) (domain.Practice, error)
	DeletePractice(ctx context.Context, s access.Scope, outing, id domain.ID, version int) error
	// AddLogs inserts the logs of new outings in bulk (imports, demo); ids must be new.
	AddLogs(ctx context.Context, s access.Scope, attendance map[domain.ID][]domain.Attendance, overs []domain.OverLog, practice []domain.Practice) error
	AddCorrections(ctx context.Context, s access.Scope, c []domain.Correction) error
	Corrections(ctx context.Context, s access.Scope, outing domain.ID, p domain.Page) (domain.Slice[domain.Correction], error) // newest first

	// RefreshRollup works out the daily rollup of the given players and days again from the logs and marks those days as
	// touched for the nightly run. It is called in the transaction that changed the logs.
	RefreshRollup(ctx context.Context, s access.Scope, days []domain.TouchedDay) error
	// DayLoads streams the rollup of players (counting scopes) from one day to another, ordered by player, day, kind.
	DayLoads(ctx context.Context, s access.Scope, from, to domain.Date, fn func(domain.DayLoad) error) error
	// BowlingRecord reads what was bowled by the scope's counted players from one day to another, at every club.
	BowlingRecord(ctx context.Context, s access.Scope, from, to domain.Date) (domain.BowlingRecord, error)
	// TouchedPlayers lists players with touched days up to a date, in order of id after "after", with their first touched day.
	TouchedPlayers(ctx context.Context, s access.Scope, upTo domain.Date, after domain.ID, limit int) ([]domain.TouchedDay, error)
	// ClearTouched forgets the touched days of these players up to a date.
	ClearTouched(ctx context.Context, s access.Scope, players []domain.ID, upTo domain.Date) error

	Notices(ctx context.Context, s access.Scope, f NoticeFilter, p domain.Page) (domain.Slice[domain.Notice], error) // last day, newest first, with facts
	Notice(ctx context.Context, s access.Scope, id domain.ID) (domain.Notice, error)
	// NoticesOf returns all notices, ended ones too, of the given players with their facts (overnight and counting scopes).
	NoticesOf(ctx context.Context, s access.Scope, players []domain.ID) ([]domain.Notice, error)
	// PutNotice stores the notice's own columns by the version rule; facts are stored by PutNoticeFacts.
	PutNotice(ctx context.Context, s access.Scope, v domain.Notice) (domain.Notice, error)
	// PutNoticeFacts inserts new facts and stores changed ones (same id); a key that the player has already is left alone.
	PutNoticeFacts(ctx context.Context, s access.Scope, f []domain.NoticeFact) error

	// CheckFence fails with conflict lease_lost if the lease has a newer fencing number; it locks the lease row, so that no
	// newer holder can start before this transaction ends.
	CheckFence(ctx context.Context, s access.Scope, job string, fence int64) error
	MarkDone(ctx context.Context, s access.Scope, job string, date domain.Date, fence int64, at time.Time) error

	AddAudit(ctx context.Context, s access.Scope, e ...domain.AuditEntry) error
	Audit(ctx context.Context, s access.Scope, p domain.Page) (domain.Slice[domain.AuditEntry], error) // newest first

	// Answered returns the stored answer of an Idempotency-Key of this account; KeepAnswer stores it in the transaction
	// that has the effect. fingerprint tells a different request under the same key.
	Answered(ctx context.Context, s access.Scope, key string) (fingerprint string, answer []byte, ok bool, err error)
	KeepAnswer(ctx context.Context, s access.Scope, key, fingerprint string, answer []byte, at time.Time) error
}

// SquadFilter narrows a list of squads; zero fields do not narrow.
type SquadFilter = domain.SquadFilter

// PlayerFilter narrows a list of players; zero fields do not narrow.
type PlayerFilter = domain.PlayerFilter

// AppointmentFilter narrows a list of appointments; zero fields do not narrow.
type AppointmentFilter = domain.AppointmentFilter

// OutingFilter narrows a list of outings; zero fields do not narrow.
type OutingFilter = domain.OutingFilter

// NoticeFilter narrows a list of notices.
type NoticeFilter = domain.NoticeFilter
