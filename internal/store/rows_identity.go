package store

import "longspell/internal/domain"

// What is global. Each row type names its table; tables.go lists them all.

type accountRow struct {
	ID           domain.ID `gorm:"primaryKey"`
	Email        string
	DisplayName  string
	PasswordHash string
	FailedInRow  int
	WaitUntil    instant
	Closed       bool
	CreatedAt    instant `gorm:"autoCreateTime:false"`
}

func (accountRow) TableName() string { return "account" }

func accountRowOf(a domain.Account) accountRow {
	return accountRow{ID: a.ID, Email: a.Email, DisplayName: a.DisplayName, PasswordHash: a.PasswordHash, FailedInRow: a.FailedInRow,
		WaitUntil: instantOf(a.WaitUntil), Closed: a.Closed, CreatedAt: instantOf(a.CreatedAt)}
}

func (r accountRow) domain() domain.Account {
	return domain.Account{ID: r.ID, Email: r.Email, DisplayName: r.DisplayName, PasswordHash: r.PasswordHash, FailedInRow: r.FailedInRow,
		WaitUntil: r.WaitUntil.time(), Closed: r.Closed, CreatedAt: r.CreatedAt.time()}
}

type loginRow struct {
	ID         domain.ID `gorm:"primaryKey"`
	AccountID  domain.ID
	CreatedAt  instant `gorm:"autoCreateTime:false"`
	LastUsedAt instant
	ExpiresAt  instant
	EndedAt    instant
	EndReason  string
}

func (loginRow) TableName() string { return "login" }

func loginRowOf(l domain.Login) loginRow {
	return loginRow{ID: l.ID, AccountID: l.AccountID, CreatedAt: instantOf(l.CreatedAt), LastUsedAt: instantOf(l.LastUsedAt),
		ExpiresAt: instantOf(l.ExpiresAt), EndedAt: instantOf(l.EndedAt), EndReason: l.EndReason}
}

func (r loginRow) domain() domain.Login {
	return domain.Login{ID: r.ID, AccountID: r.AccountID, CreatedAt: r.CreatedAt.time(), LastUsedAt: r.LastUsedAt.time(),
		ExpiresAt: r.ExpiresAt.time(), EndedAt: r.EndedAt.time(), EndReason: r.EndReason}
}

type refreshTokenRow struct {
	Hash      string `gorm:"primaryKey"`
	LoginID   domain.ID
	IssuedAt  instant
	ExpiresAt instant
	UsedAt    instant
	NextHash  string
	NextSeal  string
}

func (refreshTokenRow) TableName() string { return "refresh_token" }

func refreshTokenRowOf(t domain.RefreshToken) refreshTokenRow {
	return refreshTokenRow{Hash: t.Hash, LoginID: t.LoginID, IssuedAt: instantOf(t.IssuedAt), ExpiresAt: instantOf(t.ExpiresAt),
		UsedAt: instantOf(t.UsedAt), NextHash: t.NextHash, NextSeal: t.NextSeal}
}

func (r refreshTokenRow) domain() domain.RefreshToken {
	return domain.RefreshToken{Hash: r.Hash, LoginID: r.LoginID, IssuedAt: r.IssuedAt.time(), ExpiresAt: r.ExpiresAt.time(),
		UsedAt: r.UsedAt.time(), NextHash: r.NextHash, NextSeal: r.NextSeal}
}

type accountRegionRow struct {
	AccountID domain.ID `gorm:"primaryKey"`
	RegionID  domain.ID `gorm:"primaryKey"`
}

func (accountRegionRow) TableName() string { return "account_region" }

type regionRow struct {
	ID               domain.ID `gorm:"primaryKey"`
	Name             string
	TimeZone         string
	SeasonStartMonth int
	SeasonStartDay   int
	Demo             bool
	CreatedAt        instant `gorm:"autoCreateTime:false"`
	Version          int
}

func (regionRow) TableName() string { return "region" }

func regionRowOf(r domain.Region) regionRow {
	return regionRow{ID: r.ID, Name: r.Name, TimeZone: r.TimeZone, SeasonStartMonth: r.SeasonStartMonth, SeasonStartDay: r.SeasonStartDay,
		Demo: r.Demo, CreatedAt: instantOf(r.CreatedAt), Version: r.Version}
}

func (r regionRow) domain() domain.Region {
	return domain.Region{ID: r.ID, Name: r.Name, TimeZone: r.TimeZone, SeasonStartMonth: r.SeasonStartMonth, SeasonStartDay: r.SeasonStartDay,
		Demo: r.Demo, CreatedAt: r.CreatedAt.time(), Version: r.Version}
}
