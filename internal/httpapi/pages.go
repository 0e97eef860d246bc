package httpapi

import (
	"fmt"

	"github.com/gin-gonic/gin"
	"github.com/oapi-codegen/nullable"

	"longspell/internal/domain"
)

// Sealer hides a text from whoever carries it.
type Sealer interface {
	Seal(plain string) (string, error)
	Unseal(sealed string) (string, error)
}

// pages seals page tokens: the place where a page ended may be a child's name, and addresses are kept by proxies and browsers.
type pages struct{ sealer Sealer }

const pageTokenParam = "pageToken"

// next is the token of the page after; null at the end.
func (p pages) next(after string) nullable.Nullable[string] {
	switch {
	case after == "":
		return nullable.NewNullNullable[string]()
	case p.sealer == nil:
		return nullable.NewNullableWithValue(after)
	}
	sealed, err := p.sealer.Seal(after)
	if err != nil {
		panic(fmt.Errorf("httpapi: a page token cannot be sealed: %w", err))
	}
	return nullable.NewNullableWithValue(sealed)
}

// open puts the place where the page before ended into the query of a request that has a page token.
func (p pages) open(c *gin.Context) {
	q := c.Request.URL.Query()
	if p.sealer == nil || !q.Has(pageTokenParam) {
		return
	}
	after, err := p.sealer.Unseal(q.Get(pageTokenParam))
	if err != nil {
		refuse(c, &domain.Error{Kind: domain.KindInvalid, Code: "page_token", Message: "This page token is not of this list and filter. Begin at the first page.",
			Fields: []domain.FieldError{{Pointer: "/query/" + pageTokenParam, Detail: "not a token of this service"}}, Err: err})
		return
	}
	q.Set(pageTokenParam, after)
	c.Request.URL.RawQuery = q.Encode()
}
