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

	"overhang/internal/cli"
	"overhang/internal/database/setup"
	"overhang/internal/demo"
	"overhang/internal/httpapi"
	"overhang/internal/tags/film"
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

func run(ctx context.Context) error {
	if len(os.Args) > 1 && os.Args[1] == "print" {
		return printReports(ctx, os.Args[2:], os.Stdout)
	}
	if len(os.Args) > 1 && (os.Args[1] == "backup" || os.Args[1] == "restore") {
		return keep(ctx, os.Args[1], os.Args[2:], os.Stdout)
	}
	if len(os.Args) > 1 && (os.Args[1] == "export" || os.Args[1] == "import" || os.Args[1] == "remove") {
		return carry(ctx, os.Args[1], os.Args[2:], os.Stdout)
	}
	if len(os.Args) > 1 && os.Args[1] == "invite" {
		return invite(ctx, os.Args[2:], os.Stdout)
	}
	if len(os.Args) > 1 && os.Args[1] == "access" {
		return access(ctx, os.Args[2:], os.Stdout)
	}
	if len(os.Args) > 1 && os.Args[1] == "health" {
		return health(ctx, os.Args[2:])
	}
	listen := flag.String("listen", "127.0.0.1:8080", "address to serve on")
	withDemo := flag.Bool("demo", false, "load the invented season; loopback only")
	noLogin := flag.Bool("no-login", false, "everybody on this machine may do everything; loopback only")
	metrics := flag.String("metrics", "",
		"a second address, for this machine or its network only, that serves metrics for Prometheus at /metrics")
	drain := flag.Duration("drain", 0,
		"how long to go on answering after SIGTERM while /readyz says no, for a balancer in front to notice")
	noBrakes := flag.Bool("no-brakes-for-tests", false,
		"anybody may ask and try passwords as often as he likes; for tests, loopback only")
	var proxies []*net.IPNet
	flag.Func("behind-proxy",
		"network (CIDR) of the proxy in front, whose X-Forwarded-For is believed; may be given again", func(s string) error {
			_, n, err := net.ParseCIDR(s)
			proxies = append(proxies, n)
			return err
		})
	var films film.Folders
	flag.Func("films", "program=folder: serve this program's local films from this folder; may be given again",
		films.Allow)
	flag.Parse()
	if (*withDemo || *noLogin) && !loopback(*listen) {
		return fmt.Errorf("-demo and -no-login need no login and so serve on loopback only, not on %s", *listen)
	}
	if *noBrakes && !loopback(*listen) {
		return fmt.Errorf("-no-brakes-for-tests lets passwords be guessed and so serves on loopback only, not on %s", *listen)
	}
	// A busy port is said before a database starts.
	listener, err := net.Listen("tcp", *listen)
	if err != nil {
		return fmt.Errorf("%w: nothing was started; choose another address with -listen", err)
	}
	defer listener.Close()
	var figures net.Listener
	if *metrics != "" {
		if figures, err = net.Listen("tcp", *metrics); err != nil {
			return fmt.Errorf("%w: nothing was started; choose another address with -metrics", err)
		}
		defer figures.Close()
	}
	log := setup.Log(os.Stderr)
	store, closeStore, err := setup.Store(ctx, log)
	if err != nil {
		return err
	}
	defer closeStore()
	if *withDemo {
		if err := demo.Load(ctx, store); err != nil {
			return fmt.Errorf("demo season: %w", err)
		}
		log.Info("the invented demo season is loaded", "program", demo.Code)
	}
	options := []httpapi.Option{httpapi.WithFilms(films), httpapi.WithEnd(ctx), httpapi.WithRates(),
		httpapi.WithProxies(proxies)}
	traces, sendTraces, err := setup.Traces(ctx, log)
	if err != nil {
		return err
	}
	defer sendTraces()
	if traces != nil {
		options = append(options, httpapi.WithTraces(traces))
	}
	served := store
	if !*withDemo && !*noLogin {
		if served, err = setup.Walled(ctx, store); err != nil {
			return err
		}
		defer served.Close()
		options = append(options, httpapi.WithLogin(store))
	}
	if *noBrakes {
		log.Warn("brakes are open: passwords can be guessed here")
		options = append(options, httpapi.WithoutBrakes())
	}
	walled := served != store
	served, replica, err := follow(ctx, log, served)
	if err != nil {
		return err
	}
	if replica != nil {
		defer replica.Close()
		options = append(options, httpapi.WithReplica(replica))
	}
	registry := prometheus.NewRegistry()
	// The heap as the last collection left it shows a leak where the heap as it is does not.
	goFigures := collectors.NewGoCollector(collectors.WithGoCollectorRuntimeMetrics(collectors.GoRuntimeMetricsRule{Matcher: regexp.MustCompile(`^/gc/heap/live:bytes$`)}))
	registry.MustRegister(goFigures, collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	options = append(options, httpapi.WithMetrics(registry))
	handler, err := httpapi.New(served, log, options...)
	if err != nil {
		return err
	}
	if figures != nil {
		go (&http.Server{Handler: promhttp.HandlerFor(registry, promhttp.HandlerOpts{}),
			ReadHeaderTimeout: 5 * time.Second}).Serve(figures)
		log.Info("metrics", "at", "http://"+figures.Addr().String()+"/metrics")
	}
	return serve(ctx, log, listener, *drain, handler, func(address string) error {
		if !walled {
			return nil
		}
		return welcome(ctx, store, address, os.Stdout)
	})
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
