package store

import "longspell/internal/domain"

type noticeRow struct {
	RegionID     domain.ID `gorm:"primaryKey"`
	ID           domain.ID `gorm:"primaryKey"`
	Kind         string
	PlayerID     domain.ID
	Matter       string
	LimitSet     string
	LimitName    string
	Weight       string
	FirstDay     day
	LastDay      day
	OpenedOn     day
	VisibleUntil day
	State        string
	TakenUpBy    uid
	TakenUpAt    instant
	EndReason    string
	EndedBy      uid
	EndedAt      instant
	Late         bool
	Version      int
}

func (noticeRow) TableName() string { return "notice" }

func noticeRowOf(region domain.ID, v domain.Notice) noticeRow {
	return noticeRow{RegionID: region, ID: v.ID, Kind: string(v.Kind), PlayerID: v.PlayerID, Matter: v.Matter, LimitSet: v.LimitSet,
		LimitName: v.Limit, Weight: v.Weight, FirstDay: dayOf(v.FirstDay), LastDay: dayOf(v.LastDay), OpenedOn: dayOf(v.OpenedOn),
		VisibleUntil: dayOf(v.VisibleUntil), State: string(v.State), TakenUpBy: uid(v.TakenUpBy), TakenUpAt: instantOf(v.TakenUpAt),
		EndReason: string(v.EndReason), EndedBy: uid(v.EndedBy), EndedAt: instantOf(v.EndedAt), Late: v.Late, Version: v.Version}
}

func (r noticeRow) domain() domain.Notice {
	return domain.Notice{ID: r.ID, Kind: domain.NoticeKind(r.Kind), PlayerID: r.PlayerID, Matter: r.Matter, LimitSet: r.LimitSet,
		Limit: r.LimitName, Weight: r.Weight, FirstDay: r.FirstDay.date(), LastDay: r.LastDay.date(), OpenedOn: r.OpenedOn.date(),
		VisibleUntil: r.VisibleUntil.date(), State: domain.NoticeState(r.State), TakenUpBy: domain.ID(r.TakenUpBy),
		TakenUpAt: r.TakenUpAt.time(), EndReason: domain.EndReason(r.EndReason), EndedBy: domain.ID(r.EndedBy), EndedAt: r.EndedAt.time(),
		Late: r.Late, Version: r.Version}
}

type noticeFactRow struct {
	RegionID  domain.ID `gorm:"primaryKey"`
	ID        domain.ID `gorm:"primaryKey"`
	NoticeID  domain.ID
	PlayerID  domain.ID
	FactKey   string
	Day       day
	OutingID  uid
	Innings   int
	OverNo    int
	Allowed   int
	Actual    int
	Earliest  int
	AgeGroup  string
	Says      string
	Source    string
	Late      bool
	Withdrawn bool
}

func (noticeFactRow) TableName() string { return "notice_fact" }

func noticeFactRowOf(region domain.ID, v domain.NoticeFact) noticeFactRow {
	return noticeFactRow{RegionID: region, ID: v.ID, NoticeID: v.NoticeID, PlayerID: v.PlayerID, FactKey: v.Key, Day: dayOf(v.Date),
		OutingID: uid(v.OutingID), Innings: v.Innings, OverNo: v.Over, Allowed: v.Allowed, Actual: v.Actual, Earliest: v.Earliest,
		AgeGroup: v.AgeGroup, Says: v.Says, Source: v.Source, Late: v.Late, Withdrawn: v.Withdrawn}
}

func (r noticeFactRow) domain() domain.NoticeFact {
	return domain.NoticeFact{ID: r.ID, NoticeID: r.NoticeID, PlayerID: r.PlayerID, Key: r.FactKey, Date: r.Day.date(),
		OutingID: domain.ID(r.OutingID), Innings: r.Innings, Over: r.OverNo, Allowed: r.Allowed, Actual: r.Actual, Earliest: r.Earliest,
		AgeGroup: r.AgeGroup, Says: r.Says, Source: r.Source, Late: r.Late, Withdrawn: r.Withdrawn}
}

type jobDoneRow struct {
	RegionID  domain.ID `gorm:"primaryKey"`
	Job       string    `gorm:"primaryKey"`
	LocalDate day       `gorm:"primaryKey"`
	Fence     int64
	DoneAt    instant
}

func (jobDoneRow) TableName() string { return "job_done" }

type jobLeaseRow struct {
	RegionID  domain.ID `gorm:"primaryKey"`
	Job       string    `gorm:"primaryKey"`
	Holder    string
	ExpiresAt instant
	Fence     int64
}

func (jobLeaseRow) TableName() string { return "job_lease" }

type auditRow struct {
	RegionID   domain.ID `gorm:"primaryKey"`
	ID         domain.ID `gorm:"primaryKey"`
	HappenedAt instant
	AccountID  uid
	Role       string
	Action     string
	What       string
	EntryID    uid
	Detail     words
}

func (auditRow) TableName() string { return "audit" }

func auditRowOf(region domain.ID, v domain.AuditEntry) auditRow {
	return auditRow{RegionID: region, ID: v.ID, HappenedAt: instantOf(v.At), AccountID: uid(v.AccountID), Role: v.Role, Action: v.Action,
		What: v.What, EntryID: uid(v.EntryID), Detail: wordsOf(v.Detail)}
}

func (r auditRow) domain() domain.AuditEntry {
	return domain.AuditEntry{ID: r.ID, At: r.HappenedAt.time(), AccountID: domain.ID(r.AccountID), Role: r.Role, Action: r.Action, What: r.What,
		EntryID: domain.ID(r.EntryID), Detail: r.Detail.wordMap()}
}

type answeredRequestRow struct {
	RegionID    domain.ID `gorm:"primaryKey"`
	AccountID   domain.ID `gorm:"primaryKey"`
	RequestKey  string    `gorm:"primaryKey"`
	Fingerprint string
	Answer      []byte
	AnsweredAt  instant
}

func (answeredRequestRow) TableName() string { return "answered_request" }
