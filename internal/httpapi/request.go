package httpapi

import (
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"

	"github.com/gin-gonic/gin"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/httpapi/contract"
)

// request is what is known about the request under way.
type request struct {
	id     string
	op     *contract.Operation // nil outside the contract
	actor  access.Actor
	code   string // of the problem that was answered
	cause  error  // of the problem, for the log
	status int    // where it differs from what was written

	dropCookie bool // the sign-in behind the cookie has ended
}

const requestKey = "longspell.request"

func requestOf(c *gin.Context) *request {
	r, ok := c.Get(requestKey)
	if !ok {
		panic("httpapi: a handler ran before the request was begun")
	}
	return r.(*request)
}

// begin gives the request its id, logs it when it is done, and counts it. It is the outermost step, so that nothing is missed.
func (s *Server) begin(c *gin.Context) {
	start := s.clock.Now()
	r := &request{id: string(domain.NewID(start))}
	c.Set(requestKey, r)
	c.Header("X-Request-Id", r.id)
	c.Next()
	took := s.clock.Now().Sub(start)
	status := c.Writer.Status()
	if r.status != 0 {
		status = r.status
	}
	route := c.FullPath()
	if route == "" {
		route = "unmatched"
	}
	s.metrics.count(c.Request.Method, route, status, took)

	attrs := []slog.Attr{
		slog.String("request", r.id), slog.String("method", known(c.Request.Method)), slog.String("route", route), slog.Int("status", status),
		slog.Float64("ms", float64(took.Microseconds())/1000), slog.Int("bytes", max(c.Writer.Size(), 0)), slog.String("from", c.ClientIP()),
	}
	if r.actor.Account != "" {
		attrs = append(attrs, slog.String("account", string(r.actor.Account)))
	}
	if region, ok := domain.ParseID(c.Param("regionId")); ok {
		attrs = append(attrs, slog.String("region", string(region)))
	}
	level := slog.LevelInfo
	if r.code != "" {
		attrs = append(attrs, slog.String("code", r.code))
		level = slog.LevelWarn
	}
	if status >= 500 {
		level = slog.LevelError
		attrs = append(attrs, slog.String("cause", fmt.Sprint(r.cause)))
	}
	s.log.LogAttrs(c.Request.Context(), level, "request", attrs...)
}

// known keeps made-up methods out of the log and the figures.
func known(method string) string {
	switch method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return method
	}
	return "other"
}

// recovered turns a panic into a fault that the caller is told nothing about.
func (s *Server) recovered(c *gin.Context) {
	defer func() {
		p := recover()
		if p == nil {
			return
		}
		if p == http.ErrAbortHandler {
			panic(p)
		}
		refuse(c, fmt.Errorf("panic: %v\n%s", p, debug.Stack()))
	}()
	c.Next()
}
