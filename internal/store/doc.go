// Package store keeps the product's data in SQLite (embedded) or PostgreSQL (production) and is the only importer of gorm.
//
// # Walls
//
// A row of a region is reached through InRegion or ReadRegion alone. Three walls of this package stand one behind the other:
// every method of Tx narrows to its access.Scope (scope.go); a gorm plugin refuses what has no region and adds the region to
// what has one (guard.go); and composite keys, on PostgreSQL also row-level security, are the database's own (package
// migrations). Each holds without the others.
//
// # Transactions
//
// A read-write transaction is SERIALIZABLE in effect on SQLite (one writer) and REPEATABLE READ on PostgreSQL; what depends on
// rows that another transaction may change at the same time updates a row of its own that the other would update too (the
// touched day, the lease, the version), so that one of them is run again. A function given to InRegion must therefore have no
// effect outside its transaction.
//
// # Forms
//
// Days are dates without time; instants are UTC in whole microseconds; ids are UUIDs made by the application. On SQLite all three
// are text. Blank names of ids, days and instants are NULL. Sorting is by bytes, lower case, on both.
package store
