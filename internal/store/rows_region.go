package store

import "longspell/internal/domain"

type seasonRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	ID       domain.ID `gorm:"primaryKey"`
	Name     string
	FirstDay day
	LastDay  day
	Version  int
}

func (seasonRow) TableName() string { return "season" }

func seasonRowOf(region domain.ID, v domain.Season) seasonRow {
	return seasonRow{RegionID: region, ID: v.ID, Name: v.Name, FirstDay: dayOf(v.FirstDay), LastDay: dayOf(v.LastDay), Version: v.Version}
}

func (r seasonRow) domain() domain.Season {
	return domain.Season{ID: r.ID, Name: r.Name, FirstDay: r.FirstDay.date(), LastDay: r.LastDay.date(), Version: r.Version}
}

type adoptionRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	ID       domain.ID `gorm:"primaryKey"`
	LimitSet string
	FromDay  day
	ToDay    day
	Settings words
	Version  int
}

func (adoptionRow) TableName() string { return "adoption" }

func adoptionRowOf(region domain.ID, v domain.Adoption) adoptionRow {
	return adoptionRow{RegionID: region, ID: v.ID, LimitSet: v.LimitSet, FromDay: dayOf(v.From), ToDay: dayOf(v.To),
		Settings: wordsOf(v.Settings), Version: v.Version}
}

func (r adoptionRow) domain() domain.Adoption {
	return domain.Adoption{ID: r.ID, LimitSet: r.LimitSet, From: r.FromDay.date(), To: r.ToDay.date(), Settings: r.Settings.wordMap(),
		Version: r.Version}
}

type clubRow struct {
	RegionID   domain.ID `gorm:"primaryKey"`
	ID         domain.ID `gorm:"primaryKey"`
	Name       string
	NameSearch string
	ShortName  string
	Version    int
}

func (clubRow) TableName() string { return "club" }

func clubRowOf(region domain.ID, v domain.Club) clubRow {
	return clubRow{RegionID: region, ID: v.ID, Name: v.Name, NameSearch: searchForm(v.Name), ShortName: v.ShortName, Version: v.Version}
}

func (r clubRow) domain() domain.Club {
	return domain.Club{ID: r.ID, Name: r.Name, ShortName: r.ShortName, Version: r.Version}
}

type squadRow struct {
	RegionID   domain.ID `gorm:"primaryKey"`
	ID         domain.ID `gorm:"primaryKey"`
	ClubID     domain.ID
	SeasonID   domain.ID
	Name       string
	NameSearch string
	AgeGroup   string
	Version    int
}

func (squadRow) TableName() string { return "squad" }

func squadRowOf(region domain.ID, v domain.Squad) squadRow {
	return squadRow{RegionID: region, ID: v.ID, ClubID: v.ClubID, SeasonID: v.SeasonID, Name: v.Name, NameSearch: searchForm(v.Name),
		AgeGroup: v.AgeGroup, Version: v.Version}
}

func (r squadRow) domain() domain.Squad {
	return domain.Squad{ID: r.ID, ClubID: r.ClubID, SeasonID: r.SeasonID, Name: r.Name, AgeGroup: r.AgeGroup, Version: r.Version}
}

type squadPlayerRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	SquadID  domain.ID `gorm:"primaryKey"`
	PlayerID domain.ID `gorm:"primaryKey"`
	FromDay  day       `gorm:"primaryKey"`
	ToDay    day
}

func (squadPlayerRow) TableName() string { return "squad_player" }

func squadPlayerRowOf(region domain.ID, v domain.SquadPlayer) squadPlayerRow {
	return squadPlayerRow{RegionID: region, SquadID: v.SquadID, PlayerID: v.PlayerID, FromDay: dayOf(v.From), ToDay: dayOf(v.To)}
}

func (r squadPlayerRow) domain() domain.SquadPlayer {
	return domain.SquadPlayer{SquadID: r.SquadID, PlayerID: r.PlayerID, From: r.FromDay.date(), To: r.ToDay.date()}
}
