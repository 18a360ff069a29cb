package httpapi

import (
	"math"
	"overhang/internal/lanes"
	"overhang/internal/wire"
	"strconv"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/prometheus/client_golang/prometheus"
	"go.opentelemetry.io/otel/trace"
)

// metrics count requests by route, never by what was asked.
type metrics struct {
	seconds *prometheus.HistogramVec
	running prometheus.Gauge
	refused *prometheus.CounterVec
	reads   *prometheus.CounterVec
}

// WithMetrics counts requests, and the connections of the store's pool, in r.
func WithMetrics(r prometheus.Registerer) Option {
	return func(s *server) {
		m := &metrics{
			prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "overhang_request_seconds", Help: "How long answers took.",
				Buckets: []float64{.005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10, 25}}, []string{"method", "route", "status"}),
			prometheus.NewGauge(prometheus.GaugeOpts{Name: "overhang_requests_running", Help: "Requests being answered."}),
			prometheus.NewCounterVec(prometheus.CounterOpts{Name: "overhang_requests_refused_total",
				Help: "Requests refused for the load, by lane and bound."}, []string{"lane", "bound"}),
			prometheus.NewCounterVec(prometheus.CounterOpts{Name: "overhang_questions_read_total",
				Help: "Costly questions by the database they were put to, where there is a replica."}, []string{"database"}),
		}
		pool := func(name, help string, of func() float64) prometheus.Collector {
			return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "overhang_pool_" + name, Help: help}, of)
		}
		r.MustRegister(m.seconds, m.running, m.refused, m.reads,
			pool("connections", "Connections to the database.", func() float64 { return float64(s.store.Pool().TotalConns()) }),
			pool("busy", "Connections in use.", func() float64 { return float64(s.store.Pool().AcquiredConns()) }),
			pool("waited", "How often a request had to wait for a connection.",
				func() float64 { return float64(s.store.Pool().EmptyAcquireCount()) }))
		r.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "overhang_replica_behind_seconds",
			Help: "How old at most what the replica knows is; infinite when there is none or it is away."}, s.behind))
		for _, l := range s.lanes.List() {
			gauge := func(name, help string, of func() int) prometheus.Collector {
				return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "overhang_lane_" + name, Help: help,
					ConstLabels: prometheus.Labels{"lane": l.Name}}, func() float64 { return float64(of()) })
			}
			r.MustRegister(gauge("running", "Requests of a lane that have their turn.",
				func() int { return min(l.Inside(), l.Running) }),
				gauge("waiting", "Requests of a lane that wait for their turn.",
					func() int { return max(0, l.Inside()-l.Running) }))
		}
		s.metrics = m
	}
}

// start counts a request in, and returns what counts it out.
func (m *metrics) start(c echo.Context) func() {
	if m == nil {
		return func() {}
	}
	from := time.Now()
	m.running.Inc()
	return func() {
		m.running.Dec()
		route := c.Path() // the pattern; "" where nothing is served, whatever was asked
		m.seconds.WithLabelValues(wire.Known(c.Request().Method, "other"), route,
			strconv.Itoa(c.Response().Status)).Observe(time.Since(from).Seconds())
	}
}

// WithTraces makes a span of every request (wire.Span); the store hangs its statements below it.
func WithTraces(p trace.TracerProvider) Option {
	return func(s *server) { s.tracer = p.Tracer("overhang/internal/httpapi") }
}

// refuse counts a request that was refused for the load.
func (m *metrics) refuse(lane string, why lanes.Refusal) {
	if m != nil {
		m.refused.WithLabelValues(lane, string(why)).Inc()
	}
}

// read counts a costly question by where it was put to.
func (m *metrics) read(database string) {
	if m != nil {
		m.reads.WithLabelValues(database).Inc()
	}
}

func (s *server) behind() float64 {
	if s.reader != nil {
		if d, known := s.reader.replica.Behind(); known {
			return d.Seconds()
		}
	}
	return math.Inf(1)
}
