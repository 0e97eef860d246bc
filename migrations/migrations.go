// Package migrations holds the schema of both databases as plain SQL, in folders of equal numbers and names. Files are
// added, never changed once released, and go one way: the way back is the backup that is made before.
//
// schema.sql in each folder is a snapshot of what the files lead to; internal/store tests that it is true.
package migrations

import (
	"embed"
	"fmt"
	"io/fs"
)

//go:embed postgres/0*.sql sqlite/0*.sql
var files embed.FS

// For returns the migrations of a dialect, "postgres" or "sqlite".
func For(dialect string) (fs.FS, error) {
	switch dialect {
	case "postgres", "sqlite":
		return fs.Sub(files, dialect)
	}
	return nil, fmt.Errorf("migrations: no dialect %q", dialect)
}
