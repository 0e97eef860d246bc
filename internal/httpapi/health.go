package httpapi

import (
	"context"
	"errors"
	"net/http"
	"sync"
	"time"

	"github.com/gin-gonic/gin"

	"longspell/api"
)

const (
	readyFresh   = time.Second     // how long an answer of /readyz is kept, so that asking costs the database nothing
	readyPatient = 3 * time.Second // how long the database may take to answer
)

// readiness is the last answer to whether requests can be served.
type readiness struct {
	mu    sync.Mutex
	asked time.Time
	err   error
	known bool
}

var errDraining = errors.New("the service is stopping")

// Drain makes /readyz say no from now on, so that a balancer sends nothing new; requests are served as before.
func (s *Server) Drain() { s.draining.Store(true) }

// healthz says that the process is up, and nothing about the rest.
func (s *Server) healthz(c *gin.Context) { c.String(http.StatusOK, "ok\n") }

// readyz says whether this process should be sent requests: not stopping, database reachable, schema as it must be.
func (s *Server) readyz(c *gin.Context) {
	if err := s.ready(c.Request.Context()); err != nil {
		r := requestOf(c)
		r.code, r.cause = "not_ready", err
		c.String(http.StatusServiceUnavailable, "not ready\n")
		return
	}
	c.String(http.StatusOK, "ready\n")
}

func (s *Server) ready(ctx context.Context) error {
	if s.draining.Load() {
		return errDraining
	}
	r := &s.readiness
	r.mu.Lock()
	defer r.mu.Unlock()
	now := s.clock.Now()
	if r.known && now.Sub(r.asked) < readyFresh && !now.Before(r.asked) {
		return r.err
	}
	// Somebody who hangs up must not leave an answer behind that says more about them than about the database.
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), readyPatient)
	defer cancel()
	r.err, r.asked, r.known = s.readyCheck(ctx), now, true
	return r.err
}

// openAPI serves the contract as it is written.
func (s *Server) openAPI(c *gin.Context) { c.Data(http.StatusOK, "application/yaml", api.OpenAPI) }
