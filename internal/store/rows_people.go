package store

import (
	"strings"
	"unicode"

	"longspell/internal/domain"
)

type playerRow struct {
	RegionID   domain.ID `gorm:"primaryKey"`
	ID         domain.ID `gorm:"primaryKey"`
	Reference  string
	Name       string
	NameSearch string
	Born       day
	Sex        string
	Arm        string
	Kind       string
	SinceDay   day
	Version    int
}

func (playerRow) TableName() string { return "player" }

func playerRowOf(region domain.ID, v domain.Player) playerRow {
	return playerRow{RegionID: region, ID: v.ID, Reference: v.Reference, Name: v.Name, NameSearch: searchForm(v.Name), Born: dayOf(v.Born),
		Sex: string(v.Sex), Arm: string(v.Arm), Kind: v.Kind.String(), SinceDay: dayOf(v.Since), Version: v.Version}
}

func (r playerRow) domain() domain.Player {
	return domain.Player{ID: r.ID, Reference: r.Reference, Name: r.Name, Born: r.Born.date(), Sex: domain.Sex(r.Sex), Arm: domain.Arm(r.Arm),
		Kind: bowlingKind(r.Kind), Since: r.SinceDay.date(), Version: r.Version}
}

type registrationRow struct {
	RegionID  domain.ID `gorm:"primaryKey"`
	ID        domain.ID `gorm:"primaryKey"`
	PlayerID  domain.ID
	ClubID    domain.ID
	SeasonID  domain.ID
	FirstClub bool
	FromDay   day
	ToDay     day
	Version   int
}

func (registrationRow) TableName() string { return "registration" }

func registrationRowOf(region domain.ID, v domain.Registration) registrationRow {
	return registrationRow{RegionID: region, ID: v.ID, PlayerID: v.PlayerID, ClubID: v.ClubID, SeasonID: v.SeasonID, FirstClub: v.First,
		FromDay: dayOf(v.From), ToDay: dayOf(v.To), Version: v.Version}
}

func (r registrationRow) domain() domain.Registration {
	return domain.Registration{ID: r.ID, PlayerID: r.PlayerID, ClubID: r.ClubID, SeasonID: r.SeasonID, First: r.FirstClub,
		From: r.FromDay.date(), To: r.ToDay.date(), Version: r.Version}
}

type appointmentRow struct {
	RegionID  domain.ID `gorm:"primaryKey"`
	ID        domain.ID `gorm:"primaryKey"`
	AccountID domain.ID
	Role      string
	ClubID    uid
	SquadID   uid
	PlayerID  uid
	FromDay   day
	ToDay     day
	Version   int
}

func (appointmentRow) TableName() string { return "appointment" }

func appointmentRowOf(region domain.ID, v domain.Appointment) appointmentRow {
	return appointmentRow{RegionID: region, ID: v.ID, AccountID: v.AccountID, Role: string(v.Role), ClubID: uid(v.ClubID),
		SquadID: uid(v.SquadID), PlayerID: uid(v.PlayerID), FromDay: dayOf(v.From), ToDay: dayOf(v.To), Version: v.Version}
}

func (r appointmentRow) domain() domain.Appointment {
	return domain.Appointment{ID: r.ID, RegionID: r.RegionID, AccountID: r.AccountID, Role: domain.Role(r.Role), ClubID: domain.ID(r.ClubID),
		SquadID: domain.ID(r.SquadID), PlayerID: domain.ID(r.PlayerID), From: r.FromDay.date(), To: r.ToDay.date(), Version: r.Version}
}

// searchForm is a name as it is searched and sorted: lower case, one blank before every word, nothing but letters and digits.
// The blank lets "begins with" be asked of any word.
func searchForm(name string) string {
	var b strings.Builder
	for _, word := range strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) }) {
		b.WriteByte(' ')
		b.WriteString(word)
	}
	return b.String()
}

// bowlingKind reads a name that the database's own check has let in.
func bowlingKind(name string) domain.BowlingKind {
	k, _ := domain.ParseBowlingKind(name)
	return k
}
