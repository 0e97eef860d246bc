package store

import "longspell/internal/domain"

type outingRow struct {
	RegionID    domain.ID `gorm:"primaryKey"`
	ID          domain.ID `gorm:"primaryKey"`
	ClubID      domain.ID
	SquadID     uid
	Kind        string
	State       string
	Day         day
	Title       string
	Reference   string
	HasFormat   bool
	OversASide  int
	BowlerCap   int
	BallsInOver string
	LoggedBy    uid
	Version     int
}

func (outingRow) TableName() string { return "outing" }

func outingRowOf(region domain.ID, v domain.Outing) outingRow {
	return outingRow{RegionID: region, ID: v.ID, ClubID: v.ClubID, SquadID: uid(v.SquadID), Kind: string(v.Kind), State: string(v.State),
		Day: dayOf(v.Date), Title: v.Title, Reference: v.Reference, HasFormat: v.HasFormat, OversASide: v.Format.OversASide,
		BowlerCap: v.Format.BowlerCap, BallsInOver: string(v.Format.BallsInOver), LoggedBy: uid(v.LoggedBy), Version: v.Version}
}

func (r outingRow) domain() domain.Outing {
	return domain.Outing{ID: r.ID, ClubID: r.ClubID, SquadID: domain.ID(r.SquadID), Kind: domain.OutingKind(r.Kind),
		State: domain.OutingState(r.State), Date: r.Day.date(), Title: r.Title, Reference: r.Reference, HasFormat: r.HasFormat,
		Format:   domain.MatchFormat{OversASide: r.OversASide, BowlerCap: r.BowlerCap, BallsInOver: domain.BallsInOver(r.BallsInOver)},
		LoggedBy: domain.ID(r.LoggedBy), Version: r.Version}
}

type attendanceRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	OutingID domain.ID `gorm:"primaryKey"`
	PlayerID domain.ID `gorm:"primaryKey"`
	Present  string
}

func (attendanceRow) TableName() string { return "attendance" }

func attendanceRowOf(region, outing domain.ID, v domain.Attendance) attendanceRow {
	return attendanceRow{RegionID: region, OutingID: outing, PlayerID: v.PlayerID, Present: string(v.Present)}
}

func (r attendanceRow) domain() domain.Attendance {
	return domain.Attendance{PlayerID: r.PlayerID, Present: domain.Presence(r.Present)}
}

type overRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	ID       domain.ID `gorm:"primaryKey"`
	OutingID domain.ID
	Day      day
	Innings  int
	OverNo   int
	FromEnd  string
	PlayerID domain.ID
	Kind     string
	Balls    int
	Valid    int
	BreakMin int
	Seq      int
	Version  int
}

func (overRow) TableName() string { return "over_log" }

func overRowOf(region domain.ID, v domain.OverLog) overRow {
	return overRow{RegionID: region, ID: v.ID, OutingID: v.OutingID, Day: dayOf(v.Date), Innings: v.Innings, OverNo: v.Over,
		FromEnd: v.End.String(), PlayerID: v.PlayerID, Kind: v.Kind.String(), Balls: v.Balls, Valid: v.Valid, BreakMin: v.BreakMin,
		Seq: v.Seq, Version: v.Version}
}

func (r overRow) domain() domain.OverLog {
	return domain.OverLog{ID: r.ID, OutingID: r.OutingID, Date: r.Day.date(), Innings: r.Innings, Over: r.OverNo, End: pitchEnd(r.FromEnd),
		PlayerID: r.PlayerID, Kind: bowlingKind(r.Kind), Balls: r.Balls, Valid: r.Valid, BreakMin: r.BreakMin, Seq: r.Seq,
		Version: r.Version}
}

type spellRow struct {
	RegionID  domain.ID `gorm:"primaryKey"`
	ID        domain.ID `gorm:"primaryKey"`
	OutingID  domain.ID
	Day       day
	Innings   int
	FirstOver int
	FromEnd   string
	PlayerID  domain.ID
	Kind      string
	Overs     int
	Balls     int
	Valid     int
	Version   int
}

func (spellRow) TableName() string { return "quick_spell" }

func spellRowOf(region domain.ID, v domain.QuickSpell) spellRow {
	return spellRow{RegionID: region, ID: v.ID, OutingID: v.OutingID, Day: dayOf(v.Date), Innings: v.Innings, FirstOver: v.FirstOver,
		FromEnd: v.End.String(), PlayerID: v.PlayerID, Kind: v.Kind.String(), Overs: v.Overs, Balls: v.Balls, Valid: v.Valid,
		Version: v.Version}
}

func (r spellRow) domain() domain.QuickSpell {
	return domain.QuickSpell{ID: r.ID, OutingID: r.OutingID, Date: r.Day.date(), Innings: r.Innings, FirstOver: r.FirstOver,
		End: pitchEnd(r.FromEnd), PlayerID: r.PlayerID, Kind: bowlingKind(r.Kind), Overs: r.Overs, Balls: r.Balls, Valid: r.Valid,
		Version: r.Version}
}

type practiceRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	ID       domain.ID `gorm:"primaryKey"`
	OutingID domain.ID
	PlayerID domain.ID
	Kind     string
	Balls    int
	Overs    int
	Hits     int
	Trial    string
	Effort   int
	Version  int
}

func (practiceRow) TableName() string { return "practice" }

func practiceRowOf(region domain.ID, v domain.Practice) practiceRow {
	return practiceRow{RegionID: region, ID: v.ID, OutingID: v.OutingID, PlayerID: v.PlayerID, Kind: v.Kind.String(), Balls: v.Balls,
		Overs: v.Overs, Hits: v.Hits, Trial: v.Trial, Effort: v.Effort, Version: v.Version}
}

func (r practiceRow) domain() domain.Practice {
	return domain.Practice{ID: r.ID, OutingID: r.OutingID, PlayerID: r.PlayerID, Kind: bowlingKind(r.Kind), Balls: r.Balls, Overs: r.Overs,
		Hits: r.Hits, Trial: r.Trial, Effort: r.Effort, Version: r.Version}
}

type correctionRow struct {
	RegionID    domain.ID `gorm:"primaryKey"`
	ID          domain.ID `gorm:"primaryKey"`
	OutingID    domain.ID
	HappenedAt  instant
	ByAccount   uid
	What        string
	EntryID     uid
	BeforeEntry words
	AfterEntry  words
	Reason      string
}

func (correctionRow) TableName() string { return "correction" }

func correctionRowOf(region domain.ID, v domain.Correction) correctionRow {
	return correctionRow{RegionID: region, ID: v.ID, OutingID: v.OutingID, HappenedAt: instantOf(v.At), ByAccount: uid(v.By), What: v.What,
		EntryID: uid(v.EntryID), BeforeEntry: wordsOf(v.Before), AfterEntry: wordsOf(v.After), Reason: v.Reason}
}

func (r correctionRow) domain() domain.Correction {
	return domain.Correction{ID: r.ID, OutingID: r.OutingID, At: r.HappenedAt.time(), By: domain.ID(r.ByAccount), What: r.What,
		EntryID: domain.ID(r.EntryID), Before: r.BeforeEntry.wordMap(), After: r.AfterEntry.wordMap(), Reason: r.Reason}
}

type dayLoadRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	PlayerID domain.ID `gorm:"primaryKey"`
	Day      day       `gorm:"primaryKey"`
	Kind     string    `gorm:"primaryKey"`
	Balls    int
	Valid    int
	Overs    int
}

func (dayLoadRow) TableName() string { return "day_load" }

func (r dayLoadRow) domain() domain.DayLoad {
	return domain.DayLoad{PlayerID: r.PlayerID, Day: r.Day.date(), Kind: bowlingKind(r.Kind), Balls: r.Balls, Valid: r.Valid, Overs: r.Overs}
}

type touchedDayRow struct {
	RegionID domain.ID `gorm:"primaryKey"`
	PlayerID domain.ID `gorm:"primaryKey"`
	Day      day       `gorm:"primaryKey"`
	Touches  int
}

func (touchedDayRow) TableName() string { return "touched_day" }

// pitchEnd reads a name that the database's own check has let in.
func pitchEnd(name string) domain.End {
	e, _ := domain.ParseEnd(name)
	return e
}
