package store

import (
	"context"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// Regions lists all regions in the order in which they were made.
func (s *Store) Regions(ctx context.Context) ([]domain.Region, error) {
	return all(s.read.WithContext(ctx).Model(&regionRow{}).Order("id"), regionRow.domain)
}

// CreateRegion stores a new region; conflict region_taken where the id is there already.
func (s *Store) CreateRegion(ctx context.Context, r domain.Region) error {
	row := regionRowOf(r)
	row.Version = 1
	return s.global(ctx, func(tx *gorm.DB) error {
		res := tx.Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
		if res.Error == nil && res.RowsAffected == 0 {
			return domain.Conflict("region_taken", "There is a region of this id already.")
		}
		return res.Error
	})
}

// forService reports a fault unless the scope is the service's own for a whole region.
func forService(s access.Scope) error {
	if !s.Valid() {
		return errScope
	}
	if !s.Overnight() && !s.Operator() {
		return errReach
	}
	return nil
}

// LastDone returns the latest local date that a job has done for the scope's region; zero if none.
func (s *Store) LastDone(ctx context.Context, sc access.Scope, job string) (domain.Date, error) {
	if err := forService(sc); err != nil {
		return domain.Date{}, err
	}
	var last domain.Date
	err := s.ReadRegion(ctx, sc, func(t *Tx) error {
		row, err := find[jobDoneRow](t.all(ctx, &jobDoneRow{}).Where("job = ?", job).Order("local_date DESC"))
		if domain.ErrorKindOf(err) == domain.KindNotFound {
			return nil
		}
		last = row.LocalDate.date()
		return err
	})
	return last, err
}

// Done reports whether a job is done for one local date of the scope's region.
func (s *Store) Done(ctx context.Context, sc access.Scope, job string, date domain.Date) (bool, error) {
	if err := forService(sc); err != nil {
		return false, err
	}
	var done bool
	err := s.ReadRegion(ctx, sc, func(t *Tx) (err error) {
		done, err = exists(t.all(ctx, &jobDoneRow{}).Where("job = ? AND local_date = ?", job, dayOf(date)))
		return err
	})
	return done, err
}

// TakeLease takes or renews the lease of a job in the scope's region until now+ttl and returns its fencing number, which grows with
// every change of holder; false if somebody else holds it at now.
func (s *Store) TakeLease(ctx context.Context, sc access.Scope, job, holder string, now time.Time, ttl time.Duration) (int64, bool, error) {
	if err := forService(sc); err != nil {
		return 0, false, err
	}
	if holder == "" {
		return 0, false, errReach
	}
	var fence int64
	var taken bool
	err := s.InRegion(ctx, sc, func(t *Tx) error {
		row := jobLeaseRow{RegionID: t.region, Job: job, Holder: holder, ExpiresAt: instantOf(now.Add(ttl)), Fence: 1}
		res := t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
		if fence, taken = row.Fence, res.RowsAffected == 1; res.Error != nil || taken {
			return normal(res.Error)
		}
		res = t.all(ctx, &jobLeaseRow{}).Where("job = ? AND (holder = ? OR expires_at <= ?)", job, holder, instantOf(now)).
			Updates(map[string]any{"holder": holder, "expires_at": row.ExpiresAt,
				"fence": gorm.Expr("CASE WHEN holder = ? THEN fence ELSE fence + 1 END", holder)})
		if fence, taken = 0, res.RowsAffected == 1; res.Error != nil || !taken {
			return normal(res.Error)
		}
		row, err := find[jobLeaseRow](t.all(ctx, &jobLeaseRow{}).Where("job = ?", job))
		fence = row.Fence
		return err
	})
	if err != nil {
		return 0, false, err
	}
	return fence, taken, nil
}

// ReleaseLease gives a lease back, unless somebody else has it by now. The row stays, so that the fencing number goes on growing.
func (s *Store) ReleaseLease(ctx context.Context, sc access.Scope, job, holder string, fence int64) error {
	if err := forService(sc); err != nil {
		return err
	}
	return s.InRegion(ctx, sc, func(t *Tx) error {
		return normal(t.all(ctx, &jobLeaseRow{}).Where("job = ? AND holder = ? AND fence = ?", job, holder, fence).
			Updates(map[string]any{"holder": "", "expires_at": instantOf(time.Unix(1, 0))}).Error)
	})
}

// CheckFence fails with conflict lease_lost unless fence is still the lease's; the lease row stays locked until the transaction ends,
// so that no newer holder can start before.
func (t *Tx) CheckFence(ctx context.Context, s access.Scope, job string, fence int64) error {
	db, _, err := t.rows(ctx, s, &jobLeaseRow{})
	if err != nil {
		return err
	}
	if err := forService(s); err != nil {
		return err
	}
	lost := domain.Conflict("lease_lost", "Another process has taken this work over.")
	row, err := find[jobLeaseRow](db.Clauses(clause.Locking{Strength: "UPDATE"}).Where("job = ?", job))
	switch {
	case domain.ErrorKindOf(err) == domain.KindNotFound:
		return lost
	case err != nil:
		return err
	case row.Fence != fence:
		return lost
	}
	return nil
}

// MarkDone enters that a job is done for a local date; a date that is entered already stays as it is.
func (t *Tx) MarkDone(ctx context.Context, s access.Scope, job string, date domain.Date, fence int64, at time.Time) error {
	if _, _, err := t.rows(ctx, s, &jobDoneRow{}); err != nil {
		return err
	}
	if err := forService(s); err != nil {
		return err
	}
	row := jobDoneRow{RegionID: t.region, Job: job, LocalDate: dayOf(date), Fence: fence, DoneAt: instantOf(at)}
	return normal(t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&row).Error)
}
