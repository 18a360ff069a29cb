package main

import "overhang/internal/cli"

const environment = `Exit codes: 0 done, 1 it failed, 2 the command line is wrong, 130 interrupted (a server that is
interrupted ends with 0).
OVERHANG_DATABASE_URL is the PostgreSQL to use; without it a private one starts: its data in OVERHANG_DATA_DIR,
its binaries in OVERHANG_POSTGRES_BIN.
`

var program = cli.Flag{Name: "program", Value: "CODE", About: "the program"}

// commands is all that api does.
var commands = cli.Program{Name: "api", About: "api serves Overhang: pages and API.", Notes: environment,
	Commands: []cli.Command{
		{About: "serve until Ctrl-C", Flags: []cli.Flag{
			{Name: "listen", Value: "HOST:PORT", About: "address to serve on (default: 127.0.0.1:8080)"},
			{Name: "demo", About: "load the invented season; loopback only, no sign-in"},
			{Name: "no-login", About: "everybody on this machine may do everything; loopback only"},
			{Name: "metrics", Value: "HOST:PORT", About: "a second address that serves metrics for Prometheus"},
			{Name: "no-brakes-for-tests", About: "anybody may try passwords without a limit; for tests, loopback only"},
			{Name: "drain", Value: "DURATION", About: "how long to keep answering after SIGTERM"},
			{Name: "behind-proxy", Value: "CIDR",
				About: "trust X-Forwarded-For of proxies in this network; repeatable"},
			{Name: "films", Value: "PROGRAM=FOLDER", About: "serve a program's local films from this folder; repeatable"}}},
		{Name: "print", About: "print reports into files", Flags: []cli.Flag{program,
			{Name: "opponent", Value: "CODE", About: "the opponent (default: all of them)"}, {Name: "reports", Value: "KINDS",
				About: "kinds of sheets and reports, with commas"},
			{Name: "format", Value: "FORMAT", About: "pdf, html, csv, xlsx or json"}, {Name: "out", Value: "FOLDER",
				About: "where the files go"},
			{Name: "where", Value: "FILTER", About: "narrow to a situation, as down=3"}}},
		{Name: "backup", Args: "FILE", Files: true, About: "write the whole database to a file"},
		{Name: "restore", Args: "FILE", Files: true, About: "restore a backup into an empty database",
			Flags: []cli.Flag{{Name: "sums", Value: "FILE", About: "the backup's sums, kept elsewhere (default: next to it)"}}},
		{Name: "export", Args: "FILE.zip", Files: true, About: "write one program as a zip of open files",
			Flags: []cli.Flag{program,
				{Name: "format", Value: "FORMAT", About: "csv (default) or parquet, for tools that read columns"}}},
		{Name: "import", Args: "FILE.zip", Files: true, About: "import an exported program", Flags: []cli.Flag{program}},
		{Name: "remove", Args: "FILE.zip", Files: true, About: "export a program, then delete it",
			Flags: []cli.Flag{program}},
		{Name: "invite", About: "make a link that lets one person in", Flags: []cli.Flag{program,
			{Name: "login", Value: "LOGIN", About: "the login they will have"},
			{Name: "role", Value: "ROLE", About: "reader, analyst, coordinator or owner"}, {Name: "new-password",
				About: "the login exists; let its owner set a new password"}}},
		{Name: "access", About: "list links and tokens that let somebody in, with who made each; end one",
			Flags: []cli.Flag{program, {Name: "end", Value: "ID", About: "end this link or token"}}},
		{Name: "data", About: "list, make or end database logins that can read one program",
			Flags: []cli.Flag{program, {Name: "login", Value: "NAME", About: "make this login; its address is shown once"},
				{Name: "end", Value: "NAME", About: "end this login"}}},
		{Name: "health", About: "ask a running server whether it is well", Flags: []cli.Flag{{Name: "url", Value: "URL",
			About: "where to ask"}}},
	}}
