// Package httpapi puts the use cases on HTTP: the JSON API of the contract, the built web app, health and figures. It converts and
// guards; it decides nothing.
//
// A request passes, in this order: id and log, recovery from panics, security headers, bounds on body and time, limits by source,
// refusal of other origins, sign-in, limits by account, permission, strict JSON, the contract, the operation. Every failure, wherever
// it happens, is answered by refuse as a problem document (RFC 9457).
package httpapi

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"sync/atomic"
	"time"

	"github.com/gin-gonic/gin"

	"longspell/internal/access"
	"longspell/internal/domain"
	"longspell/internal/httpapi/apigen"
	"longspell/internal/httpapi/contract"
)

// Clock tells the instant; clock.Clock is one.
type Clock interface{ Now() time.Time }

// Options are what a Server is made of.
type Options struct {
	UseCases UseCases
	// Verify checks an access token and says whose it is; its errors are unauthenticated.
	Verify func(token string) (account, login domain.ID, err error)
	// Pages hides page tokens from those who carry them, under a key of their own that all replicas have; nil = they are handed
	// out as the store makes them.
	Pages Sealer
	Clock Clock
	Log   *slog.Logger
	// Ready reports why requests cannot be served: database not reachable, schema not as it must be.
	Ready func(ctx context.Context) error

	WebApp         fs.FS          // the built web app, index.html at its root; nil = none is served
	PublicURL      *url.URL       // the origin that people type; https switches HSTS on; nil = not known
	TrustedProxies []netip.Prefix // whose X-Forwarded-For is believed; empty = nobody's
	Rates          Rates
}

// Server is the HTTP side of one process.
type Server struct {
	useCases   UseCases
	pages      pages
	verify     func(token string) (account, login domain.ID, err error)
	clock      Clock
	log        *slog.Logger
	readyCheck func(ctx context.Context) error

	contract  *contract.Contract
	origins   *http.CrossOriginProtection
	metrics   *metrics
	bySource  *limit
	byAccount *limit
	signIns   *limit
	files     *files
	draining  atomic.Bool
	readiness readiness
	engine    *gin.Engine
}

// New puts a server together. It refuses a contract with an operation that has no known permission, so that no route can exist
// without one.
func New(o Options) (*Server, error) {
	if o.UseCases == nil || o.Verify == nil || o.Clock == nil || o.Log == nil || o.Ready == nil {
		return nil, errors.New("httpapi: use cases, token check, clock, log and readiness are all needed")
	}
	c, err := contract.Load()
	if err != nil {
		return nil, err
	}
	if err := permitted(c); err != nil {
		return nil, err
	}
	rates := o.Rates.orUsual()
	s := &Server{
		useCases: o.UseCases, pages: pages{o.Pages}, verify: o.Verify, clock: o.Clock, log: o.Log, readyCheck: o.Ready, contract: c,
		origins: http.NewCrossOriginProtection(), metrics: newMetrics(),
		bySource: newLimit("source", rates.Source), byAccount: newLimit("account", rates.Account), signIns: newLimit("sign-in", rates.SignIn),
	}
	if o.PublicURL != nil {
		if err := s.origins.AddTrustedOrigin(o.PublicURL.Scheme + "://" + o.PublicURL.Host); err != nil {
			return nil, fmt.Errorf("httpapi: %w", err)
		}
	}
	if o.WebApp != nil {
		if s.files, err = readFiles(o.WebApp); err != nil {
			return nil, err
		}
	}
	if s.engine, err = s.build(o); err != nil {
		return nil, err
	}
	return s, nil
}

// permitted refuses operations without a permission that access knows, and a contract without those that are guarded by name.
func permitted(c *contract.Contract) error {
	named := map[string]bool{signInID: true, putOutingID: true, importFileID: true}
	for _, op := range c.Operations() {
		delete(named, op.ID)
		if !access.Known(access.Permission(op.Permission)) {
			return fmt.Errorf("httpapi: the operation %s has the permission %q, which is not known", op.ID, op.Permission)
		}
		region := strings.Contains(op.Path, "{regionId}")
		if wide := access.Permission(op.Permission) == access.Public || access.Permission(op.Permission) == access.Self; wide == region {
			return fmt.Errorf("httpapi: the operation %s at %s cannot have the permission %q", op.ID, op.Path, op.Permission)
		}
	}
	for id := range named {
		return fmt.Errorf("httpapi: the contract has no operation %s, whose bounds are set by that name", id)
	}
	return nil
}

// Handler is everything that the outside reaches.
func (s *Server) Handler() http.Handler { return s.engine }

func init() { gin.SetMode(gin.ReleaseMode) }

func (s *Server) build(o Options) (*gin.Engine, error) {
	e := gin.New()
	e.ContextWithFallback = true
	e.HandleMethodNotAllowed = true
	e.RedirectTrailingSlash = false
	e.RemoteIPHeaders = []string{"X-Forwarded-For"}
	var proxies []string
	for _, p := range o.TrustedProxies {
		proxies = append(proxies, p.String())
	}
	if err := e.SetTrustedProxies(proxies); err != nil {
		return nil, fmt.Errorf("httpapi: %w", err)
	}
	e.Use(s.begin, s.recovered, securityHeaders(o.PublicURL))
	e.NoMethod(s.noMethod)
	e.NoRoute(s.noRoute)
	e.GET("/healthz", s.healthz)
	e.GET("/readyz", s.readyz)
	e.GET("/openapi.yaml", s.openAPI)

	strict := apigen.NewStrictHandlerWithOptions(operations{app: s.useCases, clock: s.clock, pages: s.pages}, []apigen.StrictMiddlewareFunc{answered},
		apigen.StrictGinServerOptions{
			RequestErrorHandlerFunc:  func(c *gin.Context, err error) { refuse(c, unread(err)) },
			HandlerErrorFunc:         refuse,
			ResponseErrorHandlerFunc: refuse,
		})
	group := e.Group("", s.guards()...)
	apigen.RegisterHandlersWithOptions(group, strict, apigen.GinServerOptions{
		BaseURL:      contract.Base,
		ErrorHandler: func(c *gin.Context, err error, _ int) { refuse(c, unread(err)) },
	})
	return e, s.sameRoutes(e)
}

// sameRoutes refuses a route without an operation and an operation without a route.
func (s *Server) sameRoutes(e *gin.Engine) error {
	have := map[string]bool{}
	for _, r := range e.Routes() {
		if strings.HasPrefix(r.Path, contract.Base+"/") {
			have[r.Method+" "+r.Path] = true
		}
	}
	for _, op := range s.contract.Operations() {
		key := op.Method + " " + op.Template
		if !have[key] {
			return fmt.Errorf("httpapi: the operation %s has no route", op.ID)
		}
		delete(have, key)
	}
	for key := range have {
		return fmt.Errorf("httpapi: the route %s is not in the contract", key)
	}
	return nil
}

// answered makes a fault of an operation that returns neither an answer nor an error. The operation is given a copy of the router's
// context: the router uses its own again for the next request, and a database driver may look at a context a moment longer.
func answered(f apigen.StrictHandlerFunc, operation string) apigen.StrictHandlerFunc {
	return func(c *gin.Context, request any) (any, error) {
		response, err := f(c.Copy(), request)
		if err == nil && response == nil {
			return nil, fmt.Errorf("httpapi: %s returned no answer", operation)
		}
		return response, err
	}
}

// unread is a request that the generated code could not take in although it fits the contract.
func unread(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return err
	}
	return &refusal{status: http.StatusUnprocessableEntity, code: "invalid", detail: "Something in this request is not as it must be.", cause: err}
}

func (s *Server) noMethod(c *gin.Context) {
	refuse(c, &refusal{status: http.StatusMethodNotAllowed, code: "method_not_allowed", detail: "This address exists, but not with the method " + known(c.Request.Method) + "."})
}

func (s *Server) noRoute(c *gin.Context) {
	if s.files != nil && s.files.serve(c) {
		return
	}
	refuse(c, domain.NotFound())
}
