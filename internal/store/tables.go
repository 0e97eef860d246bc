package store

import "reflect"

// table is one table with the row type that alone may be used to reach it.
type table struct {
	name   string
	row    any
	tenant bool   // its rows belong to a region
	grants string // what the runtime role may do; everything else is refused by PostgreSQL
}

// tables is every table of the schema. What is kept as a trail (audit, correction) can be added to, and nothing else.
var tables = []table{
	{name: "account", row: accountRow{}, grants: "SELECT, INSERT, UPDATE"},
	{name: "login", row: loginRow{}, grants: "SELECT, INSERT, UPDATE"},
	{name: "refresh_token", row: refreshTokenRow{}, grants: "SELECT, INSERT, UPDATE"},
	{name: "region", row: regionRow{}, grants: "SELECT, INSERT, UPDATE"},
	{name: "account_region", row: accountRegionRow{}, grants: "SELECT, INSERT"},

	{name: "season", row: seasonRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "adoption", row: adoptionRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "club", row: clubRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "squad", row: squadRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "player", row: playerRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "squad_player", row: squadPlayerRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "registration", row: registrationRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "appointment", row: appointmentRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "outing", row: outingRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "attendance", row: attendanceRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE, DELETE"},
	{name: "over_log", row: overRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE, DELETE"},
	{name: "quick_spell", row: spellRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE, DELETE"},
	{name: "practice", row: practiceRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE, DELETE"},
	{name: "correction", row: correctionRow{}, tenant: true, grants: "SELECT, INSERT"},
	{name: "day_load", row: dayLoadRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE, DELETE"},
	{name: "touched_day", row: touchedDayRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE, DELETE"},
	{name: "notice", row: noticeRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "notice_fact", row: noticeFactRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "job_done", row: jobDoneRow{}, tenant: true, grants: "SELECT, INSERT"},
	{name: "job_lease", row: jobLeaseRow{}, tenant: true, grants: "SELECT, INSERT, UPDATE"},
	{name: "audit", row: auditRow{}, tenant: true, grants: "SELECT, INSERT"},
	{name: "answered_request", row: answeredRequestRow{}, tenant: true, grants: "SELECT, INSERT"},
}

// tableOf finds the table of a row type.
var tableOf = func() map[reflect.Type]table {
	m := make(map[reflect.Type]table, len(tables))
	for _, t := range tables {
		m[reflect.TypeOf(t.row)] = t
	}
	return m
}()
