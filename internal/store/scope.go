package store

import (
	"context"
	"strings"

	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"longspell/internal/access"
	"longspell/internal/domain"
)

// condition is a piece of a WHERE with its values. Its text is written in this package alone and never holds a value. The
// zero condition holds for every row.
type condition struct {
	sql  string
	args []any
}

// nothing holds for no row.
var nothing = condition{sql: "1 = 0"}

func (c condition) on(db *gorm.DB) *gorm.DB {
	if c.sql == "" {
		return db
	}
	return db.Where(clause.Expr{SQL: "(" + c.sql + ")", Vars: c.args, WithoutParentheses: true})
}

// anyOf holds where one of several conditions does; none of them is nothing.
func anyOf(conds ...condition) condition {
	var parts []string
	var args []any
	for _, c := range conds {
		if c.sql == "" {
			return condition{}
		}
		if c.sql != nothing.sql {
			parts, args = append(parts, c.sql), append(args, c.args...)
		}
	}
	if len(parts) == 0 {
		return nothing
	}
	return condition{sql: strings.Join(parts, " OR "), args: args}
}

// sight is what a scope may see, as conditions on the tables. Where the scope covers the region every condition is the zero
// one. Otherwise:
//
//   - a club is seen by its own people; a squad by its club's and by its own coach;
//   - a player is seen by the clubs of a registration that is current today, by the coaches of a squad that the player is in
//     today, and where the scope names the child;
//   - what is the player's is seen with the player; registrations and squads only as far as the club is, except by the guardian
//     (a counting scope names children too, but for their figures alone);
//   - an outing is seen by its club, and by its squad's coach.
type sight struct {
	s      access.Scope
	d      dialect
	region domain.ID
	today  day
}

// rows begins a statement on the table of model, confined to the region, and says what the scope may see of it.
func (t *Tx) rows(ctx context.Context, s access.Scope, model any) (*gorm.DB, sight, error) {
	if !s.Valid() || s.Region() != t.region {
		return nil, sight{}, errScope
	}
	return t.all(ctx, model), sight{s: s, d: t.d, region: t.region, today: dayOf(s.Today())}, nil
}

// all begins a statement on the rows of the region, for use after rows has judged the scope.
func (t *Tx) all(ctx context.Context, model any) *gorm.DB {
	return t.db.WithContext(withRegion(ctx, t.region)).Model(model).Where("region_id = ?", t.region)
}

// fresh begins a statement that inserts.
func (t *Tx) fresh(ctx context.Context) *gorm.DB { return t.db.WithContext(withRegion(ctx, t.region)) }

func (v sight) players(column string) condition {
	if v.s.All() {
		return condition{}
	}
	return v.byName(column)
}

// byName holds for the players whom the scope reaches otherwise than by an officer's appointment.
func (v sight) byName(column string) condition {
	return anyOf(v.registered(column, v.s.Clubs()), v.inSquads(column, v.s.Squads()), v.d.among(column, v.s.Players()))
}

// registered holds where the player in column has a registration with one of the clubs that is current today.
func (v sight) registered(column string, clubs []domain.ID) condition {
	if len(clubs) == 0 {
		return nothing
	}
	in := v.d.among("r.club_id", clubs)
	return condition{
		sql: "EXISTS (SELECT 1 FROM registration r WHERE r.region_id = ? AND r.player_id = " + column + " AND " + in.sql +
			" AND r.from_day <= ? AND (r.to_day IS NULL OR r.to_day >= ?))",
		args: append(append([]any{v.region}, in.args...), v.today, v.today),
	}
}

// inSquads holds where the player in column is in one of the squads today.
func (v sight) inSquads(column string, squads []domain.ID) condition {
	if len(squads) == 0 {
		return nothing
	}
	in := v.d.among("m.squad_id", squads)
	return condition{
		sql: "EXISTS (SELECT 1 FROM squad_player m WHERE m.region_id = ? AND m.player_id = " + column + " AND " + in.sql +
			" AND m.from_day <= ? AND (m.to_day IS NULL OR m.to_day >= ?))",
		args: append(append([]any{v.region}, in.args...), v.today, v.today),
	}
}

// children are those that a guardian's scope names.
func (v sight) children() []domain.ID {
	if v.s.Counting() {
		return nil
	}
	return v.s.Players()
}

func (v sight) clubs(column string) condition {
	if v.s.All() {
		return condition{}
	}
	return anyOf(v.d.among(column, v.s.Clubs()), v.clubsOfSquads(column), v.clubsOfChildren(column))
}

func (v sight) clubsOfSquads(column string) condition {
	if len(v.s.Squads()) == 0 {
		return nothing
	}
	in := v.d.among("q.id", v.s.Squads())
	return condition{sql: column + " IN (SELECT q.club_id FROM squad q WHERE q.region_id = ? AND " + in.sql + ")",
		args: append([]any{v.region}, in.args...)}
}

func (v sight) clubsOfChildren(column string) condition {
	if len(v.children()) == 0 {
		return nothing
	}
	in := v.d.among("r.player_id", v.children())
	return condition{
		sql: column + " IN (SELECT r.club_id FROM registration r WHERE r.region_id = ? AND " + in.sql +
			" AND r.from_day <= ? AND (r.to_day IS NULL OR r.to_day >= ?))",
		args: append(append([]any{v.region}, in.args...), v.today, v.today),
	}
}

func (v sight) squads() condition {
	if v.s.All() {
		return condition{}
	}
	return anyOf(v.d.among("squad.club_id", v.s.Clubs()), v.d.among("squad.id", v.s.Squads()), v.squadsOfChildren())
}

func (v sight) squadsOfChildren() condition {
	if len(v.children()) == 0 {
		return nothing
	}
	in := v.d.among("m.player_id", v.children())
	return condition{
		sql: "squad.id IN (SELECT m.squad_id FROM squad_player m WHERE m.region_id = ? AND " + in.sql +
			" AND m.from_day <= ? AND (m.to_day IS NULL OR m.to_day >= ?))",
		args: append(append([]any{v.region}, in.args...), v.today, v.today),
	}
}

// squadPlayers holds for memberships of squads that the scope covers, and for the guardian's child.
func (v sight) squadPlayers() condition {
	if v.s.All() {
		return condition{}
	}
	ofClubs := nothing
	if clubs := v.s.Clubs(); len(clubs) > 0 {
		in := v.d.among("q.club_id", clubs)
		ofClubs = condition{sql: "squad_player.squad_id IN (SELECT q.id FROM squad q WHERE q.region_id = ? AND " + in.sql + ")",
			args: append([]any{v.region}, in.args...)}
	}
	return anyOf(ofClubs, v.d.among("squad_player.squad_id", v.s.Squads()), v.d.among("squad_player.player_id", v.children()))
}

// registrations holds for those with the scope's clubs, for those of the squad's players with the squad's club, and for the
// guardian's child.
func (v sight) registrations() condition {
	if v.s.All() {
		return condition{}
	}
	ofSquads := nothing
	if squads := v.s.Squads(); len(squads) > 0 {
		in := v.d.among("q.id", squads)
		ofSquads = condition{
			sql: "EXISTS (SELECT 1 FROM squad_player m JOIN squad q ON q.region_id = m.region_id AND q.id = m.squad_id" +
				" WHERE m.region_id = ? AND m.player_id = registration.player_id AND q.club_id = registration.club_id AND " + in.sql +
				" AND m.from_day <= ? AND (m.to_day IS NULL OR m.to_day >= ?))",
			args: append(append([]any{v.region}, in.args...), v.today, v.today),
		}
	}
	return anyOf(v.d.among("registration.club_id", v.s.Clubs()), ofSquads, v.d.among("registration.player_id", v.children()))
}

func (v sight) appointments() condition {
	if v.s.All() {
		return condition{}
	}
	return anyOf(v.d.among("appointment.club_id", v.s.Clubs()), v.d.among("appointment.squad_id", v.s.Squads()))
}

func (v sight) outings() condition {
	if v.s.All() {
		return condition{}
	}
	return anyOf(v.d.among("outing.club_id", v.s.Clubs()), v.d.among("outing.squad_id", v.s.Squads()))
}

// wholeRegion holds for scopes that cover the region, and for nobody else.
func (v sight) wholeRegion() condition {
	if v.s.All() {
		return condition{}
	}
	return nothing
}
