package store

import (
	"context"
	"strings"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/domain"
)

// AccountByEmail finds an account by its e-mail address, small and capital letters alike; not_found.
func (s *Store) AccountByEmail(ctx context.Context, email string) (domain.Account, error) {
	row, err := find[accountRow](s.read.WithContext(ctx).Model(&accountRow{}).Where("email = ?", strings.ToLower(email)))
	return row.domain(), err
}

// AccountByID finds an account; not_found.
func (s *Store) AccountByID(ctx context.Context, id domain.ID) (domain.Account, error) {
	row, err := find[accountRow](s.read.WithContext(ctx).Model(&accountRow{}).Where("id = ?", id))
	return row.domain(), err
}

// CreateAccount stores a new account with its address in lower case; conflict email_taken.
func (s *Store) CreateAccount(ctx context.Context, a domain.Account) error {
	row := accountRowOf(a)
	row.Email = strings.ToLower(row.Email)
	return s.global(ctx, func(tx *gorm.DB) error {
		res := tx.Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
		if res.Error == nil && res.RowsAffected == 0 {
			return domain.Conflict("email_taken", "There is an account for this e-mail address already.")
		}
		return res.Error
	})
}

// RecordSignIn stores FailedInRow, WaitUntil and, unless it is blank, PasswordHash; not_found.
func (s *Store) RecordSignIn(ctx context.Context, a domain.Account) error {
	set := map[string]any{"failed_in_row": a.FailedInRow, "wait_until": instantOf(a.WaitUntil)}
	if a.PasswordHash != "" {
		set["password_hash"] = a.PasswordHash
	}
	return s.global(ctx, func(tx *gorm.DB) error {
		return mustChange(tx.Model(&accountRow{}).Where("id = ?", a.ID).Updates(set))
	})
}

// RegionsOf lists the regions in which the account holds or held an appointment, in order of id.
func (s *Store) RegionsOf(ctx context.Context, account domain.ID) ([]domain.ID, error) {
	return all(s.read.WithContext(ctx).Model(&accountRegionRow{}).Where("account_id = ?", account).Order("region_id"),
		func(r accountRegionRow) domain.ID { return r.RegionID })
}

// CreateLogin stores a login with the first token of its chain.
func (s *Store) CreateLogin(ctx context.Context, l domain.Login, first domain.RefreshToken) error {
	login, token := loginRowOf(l), refreshTokenRowOf(first)
	return s.global(ctx, func(tx *gorm.DB) error {
		if err := tx.Create(&login).Error; err != nil {
			return err
		}
		return tx.Create(&token).Error
	})
}

// LoginByID finds a login; not_found.
func (s *Store) LoginByID(ctx context.Context, id domain.ID) (domain.Login, error) {
	row, err := find[loginRow](s.read.WithContext(ctx).Model(&loginRow{}).Where("id = ?", id))
	return row.domain(), err
}

// RefreshToken finds a token by its hash; not_found.
func (s *Store) RefreshToken(ctx context.Context, hash string) (domain.RefreshToken, error) {
	row, err := find[refreshTokenRow](s.read.WithContext(ctx).Model(&refreshTokenRow{}).Where("hash = ?", hash))
	return row.domain(), err
}

// Rotate marks old as used at an instant, keeps old.NextSeal with it, and stores its successor next, unless somebody did so first:
// then it changes nothing and returns false. The login counts as used at that instant, and the seal that led to old is
// forgotten.
func (s *Store) Rotate(ctx context.Context, old, next domain.RefreshToken, at time.Time) (bool, error) {
	token := refreshTokenRowOf(next)
	var won bool
	err := s.global(ctx, func(tx *gorm.DB) error {
		res := tx.Model(&refreshTokenRow{}).Where("hash = ? AND used_at IS NULL", old.Hash).
			Updates(map[string]any{"used_at": instantOf(at), "next_hash": next.Hash, "next_seal": old.NextSeal})
		if won = res.RowsAffected == 1; res.Error != nil || !won {
			return res.Error
		}
		if err := tx.Model(&refreshTokenRow{}).Where("login_id = ? AND next_hash = ?", next.LoginID, old.Hash).
			Updates(map[string]any{"next_seal": ""}).Error; err != nil {
			return err
		}
		if err := tx.Create(&token).Error; err != nil {
			return err
		}
		return mustChange(tx.Model(&loginRow{}).Where("id = ?", next.LoginID).Updates(map[string]any{"last_used_at": instantOf(at)}))
	})
	return won && err == nil, err
}

// EndLogin ends a login at an instant for a reason; one that has ended already stays as it is. not_found.
func (s *Store) EndLogin(ctx context.Context, id domain.ID, at time.Time, reason string) error {
	return s.global(ctx, func(tx *gorm.DB) error {
		res := tx.Model(&loginRow{}).Where("id = ? AND ended_at IS NULL", id).
			Updates(map[string]any{"ended_at": instantOf(at), "end_reason": reason})
		if res.Error != nil || res.RowsAffected == 1 {
			return res.Error
		}
		_, err := find[loginRow](tx.Model(&loginRow{}).Where("id = ?", id))
		return err
	})
}

// mustChange is not_found where a statement changed nothing.
func mustChange(res *gorm.DB) error {
	if res.Error == nil && res.RowsAffected == 0 {
		return domain.NotFound()
	}
	return res.Error
}
