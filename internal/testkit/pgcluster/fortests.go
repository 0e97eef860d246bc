package pgcluster

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
)

// EnvVar names a server to use in place of a cluster of one's own: a URL or keyword address of an administrator's database.
const EnvVar = "LONGSPELL_TEST_POSTGRES"

// FromEnv returns the address in EnvVar, and whether it is set.
func FromEnv() (adminDSN string, ok bool) {
	adminDSN = strings.TrimSpace(os.Getenv(EnvVar))
	return adminDSN, adminDSN != ""
}

var shared = sync.OnceValues(func() (*Cluster, error) {
	return Start(context.Background(), Options{})
})

// ForTests returns the address of an administrator's database (superuser rights: roles and databases can be made). It is the one
// in EnvVar, or that of a cluster which the test binary starts once, shares among its tests, and which goes when the
// binary ends. Where neither can be had the test fails: PostgreSQL is never skipped.
//
// The server of EnvVar is shared between test binaries that run at the same time: names of roles and databases must be
// chosen so that they do not meet.
func ForTests(t testing.TB) (adminDSN string) {
	t.Helper()
	if dsn, ok := FromEnv(); ok {
		return dsn
	}
	c, err := shared()
	if err != nil {
		t.Fatalf("tests need PostgreSQL %d or later (or %s): %v", OldestMajor, EnvVar, err)
	}
	return c.AdminDSN()
}

// WithDatabase is the address adminDSN with another database and user, in the form that it has; "" leaves either as it is. A
// password in it is dropped when the user changes.
func WithDatabase(adminDSN, dbname, user string) (string, error) {
	if !strings.HasPrefix(adminDSN, "postgres://") && !strings.HasPrefix(adminDSN, "postgresql://") {
		return withKeywords(adminDSN, dbname, user), nil
	}
	u, err := url.Parse(adminDSN)
	if err != nil {
		return "", fmt.Errorf("pgcluster: address of the server: %w", err)
	}
	q := u.Query()
	if dbname != "" {
		u.Path = "/" + dbname
		q.Del("dbname")
	}
	if user != "" {
		u.User = url.User(user)
		q.Del("user")
		q.Del("password")
	}
	u.RawQuery = q.Encode()
	return u.String(), nil
}

// withKeywords adds to the end of a keyword address: the last value of a keyword is the one that counts.
func withKeywords(dsn, dbname, user string) string {
	if dbname != "" {
		dsn += " dbname=" + quoteKeyword(dbname)
	}
	if user != "" {
		dsn += " user=" + quoteKeyword(user) + " password=''"
	}
	return dsn
}

func quoteKeyword(v string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, `'`, `\'`).Replace(v) + "'"
}

// socketURL is the address of a server that listens on a unix socket in dir.
func socketURL(dir, dbname, user string) string {
	u := url.URL{Scheme: "postgres", User: url.User(user), Path: "/" + dbname}
	u.RawQuery = url.Values{"host": {dir}, "port": {port}, "sslmode": {"disable"}}.Encode()
	return u.String()
}
