// Thirteen calls by a client that openapi-typescript and openapi-fetch make of the document; each
// prints its name and what it counted, as the Go client does.
import createClient from "openapi-fetch";
import type { paths } from "./schema";

declare const process: { argv: string[]; exit(code: number): never };
const api = createClient<paths>({
  baseUrl: process.argv[2],
  querySerializer: { object: { style: "form", explode: true }, array: { style: "form", explode: false } },
});
const program = "demo", opponent = "alder", filters = { opponent: "alder", down: "3" };
const path = { program }, against = { program, opponent };

// What an address answers as CSV is text; without a format it is JSON.
function say<T>(name: string, got: { data?: T; error?: unknown }, of: (data: Exclude<T, string>) => number | string) {
  if (got.data === undefined) {
    console.error(name, got.error);
    process.exit(1);
  }
  console.log(name, of(got.data as Exclude<T, string>));
}

say("programs", await api.GET("/v1/programs"), (x) => x.items.map((p) => p.code).join());
say("opponents", await api.GET("/v1/programs/{program}/opponents", { params: { path } }), (x) => x.items.length);
say("games", await api.GET("/v1/programs/{program}/games", { params: { path } }), (x) => x.items.length);
say("plays", await api.GET("/v1/programs/{program}/plays", { params: { path, query: { limit: 7 } } }), (x) => x.items.length);
say("tendencies", await api.GET("/v1/programs/{program}/tendencies", { params: { path, query: { by: "called", filters } } }), (x) => x.total);
say("tells", await api.GET("/v1/programs/{program}/tells", { params: { path, query: { filters } } }), (x) => x.asked);
say("trend", await api.GET("/v1/programs/{program}/trend", { params: { path, query: { filters } } }), (x) => x.before_plays);
say("estimates", await api.GET("/v1/programs/{program}/estimates", { params: { path, query: { chain: "down,distance_band", filters } } }), (x) => x.items.length);
say("depths", await api.GET("/v1/programs/{program}/depths", { params: { path, query: { filters } } }), (x) => x.items.length);
say("likeness", await api.GET("/v1/programs/{program}/opponents/{opponent}/likeness", { params: { path: against } }), (x) => x.items.length);
say("concepts", await api.GET("/v1/programs/{program}/opponents/{opponent}/concepts", { params: { path: against } }), (x) => x.items.length);
say("board", await api.GET("/v1/programs/{program}/opponents/{opponent}/stress", { params: { path: against, query: { filters: { down: "3" } } } }), (x) => x.plays);
say("stress", await api.POST("/v1/stress", { body: { call: "quarters match", set_name: "2x2", picture: "P1 post@12, P2 dig@12" } }), (x) => x.findings.length);
