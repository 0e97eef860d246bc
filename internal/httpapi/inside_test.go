package httpapi

import (
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/gin-gonic/gin"

	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
	"longspell/internal/httpapi/contract"
)

// A contract that somebody forgot to give a permission, or gave a made-up one, cannot be served.
func TestOperationWithoutPermissionCannotBeServed(t *testing.T) {
	t.Parallel()
	for _, p := range []string{"", "player.everything", "public", "self"} {
		c, err := contract.Load()
		if err != nil {
			t.Fatal(err)
		}
		c = c.With(func(o *contract.Operation) {
			if o.ID == "listPlayers" {
				o.Permission = p
			}
		})
		if err := permitted(c); err == nil || !strings.Contains(err.Error(), "listPlayers") {
			t.Errorf("with the permission %q: %v", p, err)
		}
	}
	c, err := contract.Load()
	if err != nil {
		t.Fatal(err)
	}
	renamed := c.With(func(o *contract.Operation) {
		if o.ID == signInID {
			o.ID = "SignIn"
		}
	})
	if err := permitted(renamed); err == nil || !strings.Contains(err.Error(), signInID) {
		t.Errorf("without the operation that has a limit of its own: %v", err)
	}
	if err := permitted(c); err != nil {
		t.Errorf("as it is: %v", err)
	}
}

func TestRouteOutsideTheContractCannotBeServed(t *testing.T) {
	t.Parallel()
	c, err := contract.Load()
	if err != nil {
		t.Fatal(err)
	}
	for name, register := range map[string]func(*gin.Engine){
		"one too many": func(e *gin.Engine) {
			for _, o := range c.Operations() {
				e.Handle(o.Method, o.Template, func(*gin.Context) {})
			}
			e.GET(contract.Base+"/secret", func(*gin.Context) {})
		},
		"one too few": func(e *gin.Engine) {
			for _, o := range c.Operations()[1:] {
				e.Handle(o.Method, o.Template, func(*gin.Context) {})
			}
		},
	} {
		e := gin.New()
		register(e)
		if err := (&Server{contract: c}).sameRoutes(e); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestNoAnswerIsAFault(t *testing.T) {
	t.Parallel()
	none := answered(func(*gin.Context, any) (any, error) { return nil, nil }, "GetMe")
	c, _ := gin.CreateTestContext(httptest.NewRecorder())
	c.Request = httptest.NewRequest("GET", "/", nil)
	if _, err := none(c, nil); err == nil || !strings.Contains(err.Error(), "GetMe") {
		t.Errorf("%v", err)
	}
	some := answered(func(*gin.Context, any) (any, error) { return apigen.GetMe200JSONResponse{}, nil }, "GetMe")
	if _, err := some(c, nil); err != nil {
		t.Errorf("%v", err)
	}
}

// However many addresses there are, the memory of a limit is bounded, and nobody goes without one.
func TestLimitForgetsTheIdleAndSharesTheRest(t *testing.T) {
	t.Parallel()
	now := time.Date(2026, 5, 9, 12, 0, 0, 0, time.UTC)
	l := newLimit("source", Rate{PerSecond: 1, Burst: 1})
	for i := range mostBuckets {
		l.bucket(strconv.Itoa(i), now).AllowN(now, 1)
	}
	if b := l.bucket("one more", now); b != l.overflow || len(l.buckets) != mostBuckets {
		t.Errorf("%d buckets, shared %v", len(l.buckets), b == l.overflow)
	}
	now = now.Add(time.Second) // all are full again
	if b := l.bucket("one more", now); b == l.overflow || len(l.buckets) != 1 {
		t.Errorf("%d buckets, shared %v", len(l.buckets), b == l.overflow)
	}
}

func TestEveryKindOfErrorHasAStatusAndATitle(t *testing.T) {
	t.Parallel()
	for k := domain.KindInvalid; k <= domain.KindUnavailable; k++ {
		if titles[statusOf[k]] == "" {
			t.Errorf("kind %d: status %d has no title", k, statusOf[k])
		}
	}
}
