package httpapi

import (
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// metrics counts requests by route template and status; nothing in it names a person, a club or a region.
type metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
}

func newMetrics() *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "longspell_http_requests_total", Help: "Requests answered, by method, route template and status.",
		}, []string{"method", "route", "status"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "longspell_http_request_seconds", Help: "Time to answer a request, by method and route template.",
			Buckets: []float64{.005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10, 30},
		}, []string{"method", "route"}),
	}
	m.registry.MustRegister(m.requests, m.seconds, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

func (m *metrics) count(method, route string, status int, took time.Duration) {
	m.requests.WithLabelValues(known(method), route, strconv.Itoa(status)).Inc()
	m.seconds.WithLabelValues(known(method), route).Observe(took.Seconds())
}

// MetricsHandler serves /metrics. It belongs on a listener of its own that the outside does not reach.
func (s *Server) MetricsHandler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(s.metrics.registry, promhttp.HandlerOpts{Registry: s.metrics.registry}))
	return mux
}

// Registry is where other parts of the process register figures of their own.
func (s *Server) Registry() *prometheus.Registry { return s.metrics.registry }
