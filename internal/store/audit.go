package store

import (
	"context"
	"time"

	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// AddAudit adds lines to the region's trail. Any scope of the region may.
func (t *Tx) AddAudit(ctx context.Context, s access.Scope, e ...domain.AuditEntry) error {
	if _, _, err := t.rows(ctx, s, &auditRow{}); err != nil {
		return err
	}
	rows := make([]auditRow, 0, len(e))
	for _, v := range e {
		rows = append(rows, auditRowOf(t.region, v))
	}
	return insert(t.fresh(ctx), rows)
}

// Audit lists the region's trail, the newest first; nothing to a scope that does not cover the region.
func (t *Tx) Audit(ctx context.Context, s access.Scope, p domain.Page) (domain.Slice[domain.AuditEntry], error) {
	db, sight, err := t.rows(ctx, s, &auditRow{})
	if err != nil {
		return domain.Slice[domain.AuditEntry]{}, err
	}
	l := listing{name: "audit", sort: []string{"happened_at", "id"}, newest: true}
	out, err := slice(sight.wholeRegion().on(db), l, p,
		func(r auditRow) []string { return []string{string(r.HappenedAt), string(r.ID)} }, auditRow.domain)
	if err != nil {
		return out, err
	}
	names, err := t.accountNames(ctx, given(out.Items, func(e domain.AuditEntry) domain.ID { return e.AccountID }))
	for i := range out.Items {
		out.Items[i].ByName = names[out.Items[i].AccountID]
	}
	return out, err
}

// Answered returns the stored answer of an Idempotency-Key of the scope's account in this region.
func (t *Tx) Answered(ctx context.Context, s access.Scope, key string) (fingerprint string, answer []byte, ok bool, err error) {
	db, _, err := t.rows(ctx, s, &answeredRequestRow{})
	if err != nil {
		return "", nil, false, err
	}
	if s.Account() == "" {
		return "", nil, false, errReach
	}
	row, err := find[answeredRequestRow](db.Where("account_id = ? AND request_key = ?", s.Account(), key))
	if domain.ErrorKindOf(err) == domain.KindNotFound {
		return "", nil, false, nil
	}
	return row.Fingerprint, row.Answer, err == nil, err
}

// KeepAnswer stores the answer to a key of the scope's account, in the transaction that has the effect. Conflict key_taken where
// the key has an answer already.
func (t *Tx) KeepAnswer(ctx context.Context, s access.Scope, key, fingerprint string, answer []byte, at time.Time) error {
	if _, _, err := t.rows(ctx, s, &answeredRequestRow{}); err != nil {
		return err
	}
	if s.Account() == "" {
		return errReach
	}
	if answer == nil {
		answer = []byte{}
	}
	row := answeredRequestRow{RegionID: t.region, AccountID: s.Account(), RequestKey: key, Fingerprint: fingerprint, Answer: answer, AnsweredAt: instantOf(at)}
	res := t.fresh(ctx).Clauses(clause.OnConflict{DoNothing: true}).Create(&row)
	if res.Error == nil && res.RowsAffected == 0 {
		return domain.Conflict("key_taken", "A request with this Idempotency-Key was answered already.")
	}
	return normal(res.Error)
}
