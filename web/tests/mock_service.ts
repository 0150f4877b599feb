// A stand-in for the service: the built page, and documents of the demo region as the service answers them. It computes nothing.
import { createReadStream, existsSync, readFileSync } from "node:fs";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync } from "node:zlib";

const built = fileURLToPath(new URL("../dist/", import.meta.url));
const kept = fileURLToPath(new URL("documents/", import.meta.url));
const types: Readonly<Record<string, string>> = { ".html": "text/html", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml" };

/** As strict as the service's own: a page that needs more fails here. */
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

export interface MockService {
  readonly address: string;
  /** What was asked, in order: the path and the body. */
  readonly asked: Array<{ readonly path: string; readonly body: unknown }>;
  /** What to answer in place of a document from now on. */
  readonly instead: Map<string, { readonly status: number; readonly body: unknown }>;
  close(): Promise<void>;
}

async function body_of(request: IncomingMessage): Promise<unknown> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  const text = Buffer.concat(parts).toString("utf8");
  return text === "" ? null : (JSON.parse(text) as unknown);
}

function send(response: ServerResponse, status: number, body: string): void {
  response.writeHead(status, { "content-type": status < 400 ? "application/json" : "application/problem+json" });
  response.end(body);
}

/** Tells how far it is, then the answer; of more flights than a person waits for, progress alone and no end. */
function send_events(response: ServerResponse, document: string, flights: number): void {
  response.writeHead(200, { "content-type": "text/event-stream" });
  response.write('event: progress\ndata: {"stage":"60 flights","share":0.5}\n\n');
  if (flights < 100_000) response.end(`event: answer\ndata: ${document}\n\n`);
}

function send_file(response: ServerResponse, path: string): void {
  const file = join(built, normalize(path === "/" ? "/index.html" : path));
  if (!file.startsWith(built) || !existsSync(file)) return send(response, 404, JSON.stringify({ title: "Not found", status: 404 }));
  response.writeHead(200, { "content-type": types[extname(file)] ?? "application/octet-stream", "content-security-policy": policy });
  createReadStream(file).pipe(response);
}

interface Body {
  readonly at?: string;
  readonly route?: string;
  readonly choices?: number;
  readonly choose?: number;
}
const of_body = (body: Body | null) => body?.at ?? body?.route ?? (body?.choices ? `${body.choices} ${body.choose ?? 1}` : undefined);

/** What is kept of just this question, by the ident, the route or the number of the flight that is asked for; else what is kept for any. */
function document_of(name: string, query: URLSearchParams, body: unknown): string | null {
  const of = query.get("ident") ?? query.get("words") ?? of_body(body as Body | null);
  const names = [...(of ? [kept_name(name, of)] : []), name];
  return names.map((one) => join(kept, `${one}.json.gz`)).find((file) => existsSync(file)) ?? null;
}

/** The name under which the document of one question is kept. */
export const kept_name = (name: string, of: string): string => `${name}@${of.replaceAll(/[^A-Z0-9]+/g, "_")}`;

const document_text = (name: string) => gunzipSync(readFileSync(join(kept, `${name}.json.gz`))).toString("utf8");

/** The page as it was built, with the kept documents in it. */
function send_card_page(response: ServerResponse): void {
  const put = (page: string, id: string) => page.replace(`id="${id}">`, (begins) => begins + document_text(id).replaceAll("<", "\\u003c"));
  response.writeHead(200, { "content-type": "text/html; charset=utf-8", "content-disposition": 'attachment; filename="omniway-card.html"' });
  response.end(["card", "groundspeed-check"].reduce(put, readFileSync(join(built, "card-page.html"), "utf8")));
}

export async function mock_service(port = 0): Promise<MockService> {
  const asked: MockService["asked"] = [];
  const instead: MockService["instead"] = new Map();
  const answer = async (request: IncomingMessage, response: ServerResponse) => {
    const { pathname: path, searchParams: query } = new URL(request.url ?? "/", "http://localhost");
    if (!path.startsWith("/v1/")) return send_file(response, path);
    const body = await body_of(request);
    asked.push({ path, body });
    const other = instead.get(path);
    if (other) return send(response, other.status, JSON.stringify(other.body));
    if (path === "/v1/card-page") return send_card_page(response);
    const document = document_of(path.slice("/v1/".length), query, body);
    if (!document) return send(response, 404, JSON.stringify({ title: "Not found", status: 404, detail: `the stand-in has no ${path}` }));
    const text = gunzipSync(readFileSync(document)).toString("utf8");
    if (path === "/v1/rehearse") return send_events(response, text, (body as { flights: number }).flights);
    send(response, 200, text);
  };
  const server: Server = createServer((request, response) => {
    answer(request, response).catch((fault: unknown) => send(response, 500, JSON.stringify({ title: String(fault), status: 500 })));
  });
  await new Promise<void>((done) => server.listen(port, "127.0.0.1", done));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    asked,
    instead,
    close: () =>
      new Promise((done) => {
        server.close(() => done());
        server.closeAllConnections();
      }),
  };
}
