package store

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"strings"

	"gorm.io/gorm"

	"longspell/internal/domain"
)

const (
	tokenVersion = 1
	largestPage  = 100
)

// listing is one list in one order: its name and filter, and the columns that it is sorted by, the last of them unique in the
// region.
type listing struct {
	name   string
	filter any
	sort   []string
	newest bool // descending
}

// pageToken is where a page ended. Hash tells the list and the filter it belongs to.
type pageToken struct {
	Version int      `json:"v"`
	Hash    string   `json:"h"`
	Values  []string `json:"k"`
}

func (l listing) hash() string {
	b, err := json.Marshal([]any{l.name, l.filter, l.sort, l.newest})
	if err != nil { // filters are structs of texts
		panic("store: " + err.Error())
	}
	sum := sha256.Sum256(b)
	return base64.RawURLEncoding.EncodeToString(sum[:9])
}

// page sorts, begins where the page before ended and takes one row more than asked for, which tells whether more follow.
func (l listing) page(db *gorm.DB, p domain.Page) (*gorm.DB, error) {
	if p.Size < 1 || p.Size > largestPage {
		return nil, domain.Invalid("page_size", fmt.Sprintf("A page has 1 to %d entries.", largestPage))
	}
	way, than := "", ">"
	if l.newest {
		way, than = " DESC", "<"
	}
	for _, c := range l.sort {
		db = db.Order(c + way)
	}
	if p.After != "" {
		values, err := l.read(p.After)
		if err != nil {
			return nil, err
		}
		marks := strings.TrimSuffix(strings.Repeat("?,", len(l.sort)), ",")
		db = db.Where("("+strings.Join(l.sort, ",")+") "+than+" ("+marks+")", values...)
	}
	return db.Limit(p.Size + 1), nil
}

func (l listing) read(token string) ([]any, error) {
	bad := domain.Invalid("page_token", "This page token is not of this list and filter. Begin at the first page.")
	b, err := base64.RawURLEncoding.DecodeString(token)
	if err != nil {
		return nil, bad
	}
	var t pageToken
	if err := json.Unmarshal(b, &t); err != nil || t.Version != tokenVersion || t.Hash != l.hash() || len(t.Values) != len(l.sort) {
		return nil, bad
	}
	if _, ok := domain.ParseID(t.Values[len(t.Values)-1]); !ok {
		return nil, bad
	}
	values := make([]any, len(t.Values))
	for i, v := range t.Values {
		values[i] = v
	}
	return values, nil
}

func (l listing) token(values []string) string {
	b, err := json.Marshal(pageToken{Version: tokenVersion, Hash: l.hash(), Values: values})
	if err != nil { // texts alone
		panic("store: " + err.Error())
	}
	return base64.RawURLEncoding.EncodeToString(b)
}

// slice reads a page of rows. sorted gives a row's values of the listing's sort columns, in order.
func slice[R, T any](db *gorm.DB, l listing, p domain.Page, sorted func(R) []string, convert func(R) T) (domain.Slice[T], error) {
	db, err := l.page(db, p)
	if err != nil {
		return domain.Slice[T]{}, err
	}
	var rows []R
	if err := db.Find(&rows).Error; err != nil {
		return domain.Slice[T]{}, normal(err)
	}
	out := domain.Slice[T]{Items: make([]T, 0, min(len(rows), p.Size))}
	for _, r := range rows[:min(len(rows), p.Size)] {
		out.Items = append(out.Items, convert(r))
	}
	if len(rows) > p.Size {
		out.Next = l.token(sorted(rows[p.Size-1]))
	}
	return out, nil
}
