// Command api serves Overhang.
//
//	api [-demo] [-no-login] [-listen 127.0.0.1:8080] [-metrics 127.0.0.1:9090] [-drain 0s]
//
// [-behind-proxy 127.0.0.1/32] [-films program=folder]...
//
//	api backup FILE, api restore FILE
//	api export -program CODE FILE.zip, api import [-program CODE] FILE.zip, api remove -program CODE FILE.zip
//	api invite [-program CODE] [-login LOGIN] [-role owner]
//	api access -program CODE [-end ID]
//	api health [-url http://127.0.0.1:8080/healthz]
//	api print [-program demo] [-opponent CODE] [-reports stress] [-format pdf] [-out FOLDER]
//
// The last form prints reports into files and ends.
// The database is the one OVERHANG_DATABASE_URL names, else a private
// PostgreSQL that is started for it.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"regexp"
	"syscall"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"overhang/internal/ask"
	"overhang/internal/cli"
	"overhang/internal/database/setup"
	"overhang/internal/demo"
	"overhang/internal/httpapi"
	"overhang/internal/tags/film"
	"overhang/internal/tags/postgres"
)

func main() {
	if code, done := commands.Answer(os.Args[1:], os.Stdout, os.Stderr); done {
		os.Exit(code)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx); err != nil {
		if ctx.Err() != nil {
			fmt.Fprintln(os.Stderr, "api: interrupted; what was begun was not finished")
			os.Exit(cli.Interrupted)
		}
		fmt.Fprintln(os.Stderr, "api:", err)
		os.Exit(1)
	}
}

// subcommands are what the program does instead of serving, by its first word.
var subcommands = map[string]func(ctx context.Context, args []string, out io.Writer) error{
	"print": func(ctx context.Context, args []string, out io.Writer) error { return printReports(ctx, args[1:], out) },
	"backup": func(ctx context.Context, args []string, out io.Writer) error {
		return keep(ctx, args[0], args[1:], out)
	},
	"restore": func(ctx context.Context, args []string, out io.Writer) error {
		return keep(ctx, args[0], args[1:], out)
	},
	"export": func(ctx context.Context, args []string, out io.Writer) error {
		return carry(ctx, args[0], args[1:], out)
	},
	"import": func(ctx context.Context, args []string, out io.Writer) error {
		return carry(ctx, args[0], args[1:], out)
	},
	"remove": func(ctx context.Context, args []string, out io.Writer) error {
		return carry(ctx, args[0], args[1:], out)
	},
	"invite": func(ctx context.Context, args []string, out io.Writer) error { return invite(ctx, args[1:], out) },
	"access": func(ctx context.Context, args []string, out io.Writer) error { return access(ctx, args[1:], out) },
	"data":   func(ctx context.Context, args []string, out io.Writer) error { return data(ctx, args[1:], out) },
	"health": func(ctx context.Context, args []string, _ io.Writer) error { return health(ctx, args[1:]) },
}

func run(ctx context.Context) error {
	if len(os.Args) > 1 {
		if do := subcommands[os.Args[1]]; do != nil {
			return do(ctx, os.Args[1:], os.Stdout)
		}
	}
	f := readFlags()
	if err := f.check(); err != nil {
		return err
	}
	// A busy port is said before a database starts.
	listener, err := net.Listen("tcp", f.listen)
	if err != nil {
		return fmt.Errorf("%w: nothing was started; choose another address with -listen", err)
	}
	defer listener.Close()
	var figures net.Listener
	if f.metrics != "" {
		if figures, err = net.Listen("tcp", f.metrics); err != nil {
			return fmt.Errorf("%w: nothing was started; choose another address with -metrics", err)
		}
		defer figures.Close()
	}
	return f.start(ctx, setup.Log(os.Stderr), listener, figures)
}

// flags are what a server is started with.
type flags struct {
	listen, metrics string
	demo, noLogin   bool
	noBrakes        bool
	drain           time.Duration
	proxies         []*net.IPNet
	films           film.Folders
}

func readFlags() *flags {
	f := &flags{}
	flag.StringVar(&f.listen, "listen", "127.0.0.1:8080", "address to serve on")
	flag.BoolVar(&f.demo, "demo", false, "load the invented season; loopback only")
	flag.BoolVar(&f.noLogin, "no-login", false, "everybody on this machine may do everything; loopback only")
	flag.StringVar(&f.metrics, "metrics", "",
		"a second address, for this machine or its network only, that serves metrics for Prometheus at /metrics")
	flag.DurationVar(&f.drain, "drain", 0,
		"how long to keep answering after SIGTERM while /readyz says no, for a balancer in front to notice")
	flag.BoolVar(&f.noBrakes, "no-brakes-for-tests", false,
		"anybody may ask and try passwords without a limit; for tests, loopback only")
	flag.Func("behind-proxy",
		"network (CIDR) of the proxy in front, whose X-Forwarded-For is believed; repeatable", func(s string) error {
			_, n, err := net.ParseCIDR(s)
			f.proxies = append(f.proxies, n)
			return err
		})
	flag.Func("films", "program=folder: serve this program's local films from this folder; repeatable",
		f.films.Allow)
	flag.Parse()
	return f
}

// check refuses what is served to this machine only.
func (f *flags) check() error {
	if (f.demo || f.noLogin) && !loopback(f.listen) {
		return fmt.Errorf("-demo and -no-login need no login and so serve on loopback only, not on %s", f.listen)
	}
	if f.noBrakes && !loopback(f.listen) {
		return fmt.Errorf("-no-brakes-for-tests lets passwords be guessed and so serves on loopback only, not on %s",
			f.listen)
	}
	return nil
}

// start finds or starts the database and serves until ctx ends; metrics on figures, nil
// for none.
func (f *flags) start(ctx context.Context, log *slog.Logger, listener, figures net.Listener) error {
	store, closeStore, err := setup.Store(ctx, log)
	if err != nil {
		return err
	}
	defer closeStore()
	if err := f.loadDemo(ctx, log, store); err != nil {
		return err
	}
	registry := gauges()
	options := []httpapi.Option{httpapi.WithFilms(f.films), httpapi.WithEnd(ctx), httpapi.WithRates(),
		httpapi.WithProxies(f.proxies), httpapi.WithMetrics(registry)}
	traces, sendTraces, err := setup.Traces(ctx, log)
	if err != nil {
		return err
	}
	defer sendTraces()
	if traces != nil {
		options = append(options, httpapi.WithTraces(traces))
	}
	served, err := f.serving(ctx, store)
	if err != nil {
		return err
	}
	walled := served != store
	if walled {
		defer served.Close()
		options = append(options, httpapi.WithLogin(store))
	}
	if f.noBrakes {
		log.Warn("brakes are open: passwords can be guessed here")
		options = append(options, httpapi.WithoutBrakes())
	}
	served, replica, err := follow(ctx, log, served)
	if err != nil {
		return err
	}
	if replica != nil {
		defer replica.Close()
		options = append(options, httpapi.WithReplica(replica))
	}
	handler, err := httpapi.New(served, log, options...)
	if err != nil {
		return err
	}
	ease()
	tell(log, registry, figures)
	return serve(ctx, log, listener, f.drain, handler, func(address string) error {
		if !walled {
			return nil
		}
		return welcome(ctx, store, address, os.Stdout)
	})
}

// loadDemo loads the invented season where it is asked for.
func (f *flags) loadDemo(ctx context.Context, log *slog.Logger, store *postgres.Store) error {
	if !f.demo {
		return nil
	}
	if err := demo.Load(ctx, store); err != nil {
		return fmt.Errorf("demo season: %w", err)
	}
	log.Info("the invented demo season is loaded", "program", demo.Code)
	return nil
}

// tell serves what is counted on a listener of its own; nil: nobody asked for it.
func tell(log *slog.Logger, counted prometheus.Gatherer, on net.Listener) {
	if on == nil {
		return
	}
	go (&http.Server{Handler: promhttp.HandlerFor(counted, promhttp.HandlerOpts{}),
		ReadHeaderTimeout: 5 * time.Second}).Serve(on)
	log.Info("metrics", "at", "http://"+on.Addr().String()+"/metrics")
}

// gauges count what the process does. The heap as the last collection left it shows a
// leak where the heap as it is does not.
func gauges() *prometheus.Registry {
	live := collectors.GoRuntimeMetricsRule{Matcher: regexp.MustCompile(`^/gc/heap/live:bytes$`)}
	r := prometheus.NewRegistry()
	r.MustRegister(collectors.NewGoCollector(collectors.WithGoCollectorRuntimeMetrics(live)),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	gauge := func(name, help string, of func(ask.Kept) int) prometheus.Collector {
		return prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "overhang_boards_" + name, Help: help},
			func() float64 { return float64(of(ask.KeptNow())) })
	}
	counter := func(name, help string, of func(ask.Kept) uint64) prometheus.Collector {
		return prometheus.NewCounterFunc(prometheus.CounterOpts{Name: "overhang_boards_" + name, Help: help},
			func() float64 { return float64(of(ask.KeptNow())) })
	}
	r.MustRegister(
		gauge("pictures", "Pictures that are kept to play calls against.", func(k ask.Kept) int { return k.Pictures }),
		gauge("calls", "Calls that are kept with what they came to against a picture.",
			func(k ask.Kept) int { return k.Calls }),
		gauge("bytes", "Memory that both take, by what one of each was measured to take.",
			func(k ask.Kept) int { return k.Bytes }),
		counter("hits_total", "Calls against pictures that were kept.", func(k ask.Kept) uint64 { return k.Hits }),
		counter("misses_total", "Calls against pictures that had to be played.",
			func(k ask.Kept) uint64 { return k.Misses }))
	return r
}

// loopback says that only this machine can reach an address.
func loopback(address string) bool {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return false
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}
