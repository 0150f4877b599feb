import { EventParts, type StreamEvent } from "./events";
import type {
  CardDocument,
  DebriefDocument,
  ErrorsError,
  FindDocument,
  GroundspeedCheckDocument,
  JudgeDocument,
  NextDocument,
  PlanDocument,
  RasterDocument,
  RehearseDocument,
  ReplayDocument,
  SearchDocument,
  ShowDocument,
} from "./generated";
import type { AboutDocument, ChartDocument, PanelDocument, RibbonDocument } from "./pictures";

/** Why the service gave no answer: a problem of RFC 9457, or that nothing was heard of it at all. */
export class Problem extends Error {
  constructor(
    override readonly message: string,
    /** 0 where no answer came. */
    readonly status: number,
    readonly errors: readonly ErrorsError[] = [],
  ) {
    super(message);
  }
}

function problem_said(body: unknown, status: number, otherwise: string): Problem {
  if (typeof body !== "object" || body === null) return new Problem(otherwise, status);
  const { title, detail, errors } = body as { title?: string; detail?: string; errors?: ErrorsError[] };
  return new Problem(detail ?? title ?? otherwise, status, errors ?? []);
}

/** Whatever was thrown while something was asked, as a problem. */
export const problem_of = (fault: unknown): Problem => (fault instanceof Problem ? fault : new Problem(String(fault), 0));

/** What becomes of a connection that ends: given up by us it stays so, else nothing was heard. */
function silence_of(fault: unknown): unknown {
  if (fault instanceof DOMException && fault.name === "AbortError") return fault;
  return new Problem("omniway does not answer: is the program still running?", 0);
}

async function answer_of(path: string, init: RequestInit): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, { ...init, headers: { accept: "application/json", ...init.headers } });
  } catch (fault) {
    throw silence_of(fault);
  }
  if (!answer.ok) throw problem_said(await answer.json().catch(() => null), answer.status, answer.statusText);
  return answer;
}

async function ask<Document>(path: string, init: RequestInit): Promise<Document> {
  return (await (await answer_of(path, init)).json()) as Document;
}

const posted = (body: unknown, signal: AbortSignal | null = null): RequestInit => ({
  method: "POST",
  body: JSON.stringify(body),
  headers: { "content-type": "application/json" },
  signal,
});

const post = <Document>(path: string, body: unknown, signal: AbortSignal): Promise<Document> => ask(path, posted(body, signal));

/** Each event as it comes. */
async function* events_of(answer: Response): AsyncGenerator<StreamEvent> {
  const reader = answer.body?.pipeThrough(new TextDecoderStream()).getReader();
  const parts = new EventParts();
  for (;;) {
    const piece = await reader?.read().catch((fault: unknown) => {
      throw silence_of(fault);
    });
    if (!piece || piece.done) return;
    yield* parts.take(piece.value);
  }
}

/** How far it has come: the stage in the service's word, and the share of it that is done. */
export interface Progress {
  readonly stage: string;
  readonly share: number;
}

/** A question that takes its time: tells how far it is, then answers. Ending the signal closes the connection, and the service gives it up. */
async function post_and_watch<Document>(path: string, body: unknown, signal: AbortSignal, progress: (now: Progress) => void): Promise<Document> {
  for await (const { name, data } of events_of(await answer_of(path, posted(body, signal)))) {
    if (name === "progress") progress(JSON.parse(data) as Progress);
    if (name === "answer") return JSON.parse(data) as Document;
    if (name === "problem") throw problem_said(JSON.parse(data), 0, "no answer");
  }
  throw silence_of(null);
}

/** What a flight is asked by: the body of /v1/plan and /v1/card. */
export interface PlanQuestion {
  readonly from: string;
  readonly to: string;
  readonly aircraft?: string;
  readonly wind?: string;
  readonly date?: string;
  readonly winds?: readonly string[];
  readonly winds_station?: string;
  readonly altitude_ft?: number;
  readonly highest_altitude_ft?: number;
  readonly minimum_altitude_ft?: number;
  readonly obstacle_allowance_ft?: number;
  readonly via?: readonly string[];
  readonly avoid?: readonly string[];
  readonly avoid_airways?: readonly string[];
  readonly avoid_areas?: readonly string[];
  readonly without?: readonly string[];
  readonly departure_runway?: string;
  readonly departure?: string;
  readonly arrival?: string;
  readonly approach?: string;
  readonly landing_runway?: string;
  readonly criteria?: string;
  readonly reception?: string;
  readonly dead_reckoning_nm?: number;
  readonly dead_reckoning_min?: number;
  readonly no_ndb?: boolean;
  readonly no_dead_reckoning?: boolean;
  readonly survive_any?: boolean;
  readonly choices?: number;
  readonly choose?: number;
  /** Texts of files. */
  readonly minima?: string;
  readonly winds_bulletin?: string;
}

/** A route by hand with what is asked of it: the body of /v1/judge, and of /v1/card beside a plan's. */
export interface RouteQuestion extends Omit<PlanQuestion, "via" | "choices" | "choose" | "survive_any"> {
  readonly route: string;
}

/** A card, and its aircraft as the text of a file where that is not a shipped one. */
export interface CardFlown {
  readonly card: CardDocument;
  readonly aircraft?: string;
}

export const about = (signal: AbortSignal) => ask<AboutDocument>("/v1/about", { signal });
export const plan = (question: PlanQuestion, signal: AbortSignal) => post<PlanDocument>("/v1/plan", question, signal);
export const card = (question: PlanQuestion, signal: AbortSignal) => post<CardDocument>("/v1/card", question, signal);
export const judge = (question: RouteQuestion, signal: AbortSignal) => post<JudgeDocument>("/v1/judge", question, signal);
export const card_by_hand = (question: RouteQuestion, signal: AbortSignal) => post<CardDocument>("/v1/card", question, signal);
export const ribbon = (of: CardFlown, signal: AbortSignal) => post<RibbonDocument>("/v1/ribbon", of, signal);
export const panel = (of: CardFlown, signal: AbortSignal) => post<PanelDocument>("/v1/panel", of, signal);

/** What a rehearsal is asked by, and one flight of it: the body of /v1/rehearse and, with its number as `example`, of /v1/replay. */
export interface RehearsalQuestion extends CardFlown {
  readonly seed: number;
  readonly errors: string;
  readonly no_runway: boolean;
  readonly fail: readonly string[];
}

export const rehearse = (question: RehearsalQuestion & { readonly flights: number }, signal: AbortSignal, progress: (now: Progress) => void) =>
  post_and_watch<RehearseDocument>("/v1/rehearse", question, signal, progress);
export const replay = (question: RehearsalQuestion & { readonly example: number }, signal: AbortSignal) => post<ReplayDocument>("/v1/replay", question, signal);

/** Where the aircraft is, in the words of `omniway find`. */
export interface FindQuestion {
  readonly words: readonly string[];
  readonly date?: string;
  readonly card?: CardDocument;
  /** The text of its file; the name of a shipped one is among the words. */
  readonly aircraft?: string;
}

export const find = (question: FindQuestion, signal: AbortSignal) => post<FindDocument>("/v1/find", question, signal);

/** A flown track, as the text of its file, against the card it was flown by. */
export interface DebriefQuestion extends CardFlown {
  readonly track: string;
  readonly flight_of_track?: number;
}

export const debrief = (question: DebriefQuestion, signal: AbortSignal) => post<DebriefDocument>("/v1/debrief", question, signal);

export const groundspeed_check = (of: CardDocument, signal: AbortSignal) => post<GroundspeedCheckDocument>("/v1/groundspeed-check", { card: of }, signal);

/** A card as one file that is flown from without the service. */
export async function card_page(of: CardDocument): Promise<Blob> {
  return (await answer_of("/v1/card-page", posted({ card: of }))).blob();
}

export interface Bounds {
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
}

export const chart = (of: Bounds, signal: AbortSignal) =>
  ask<ChartDocument>(`/v1/chart?west=${of.west_deg}&south=${of.south_deg}&east=${of.east_deg}&north=${of.north_deg}`, { signal });

/** What may stand behind a point of a route; behind the departure airport alone where `at` is left out. */
export interface NextQuestion {
  readonly from: string;
  readonly to: string;
  readonly at?: string;
  readonly aircraft?: string;
}

export const next = (of: NextQuestion, signal: AbortSignal) => post<NextDocument>("/v1/next", of, signal);

export const show = (ident: string, signal: AbortSignal) => ask<ShowDocument>(`/v1/show?ident=${encodeURIComponent(ident)}`, { signal });

/** Part of the earth and into how many cells it is parted from west to east. */
export interface RasterAsked extends Bounds {
  readonly width: number;
}

const area_of = (of: RasterAsked) => `west=${of.west_deg}&south=${of.south_deg}&east=${of.east_deg}&north=${of.north_deg}&width=${of.width}`;

export const terrain = (of: RasterAsked, signal: AbortSignal) => ask<RasterDocument>(`/v1/terrain?${area_of(of)}`, { signal });
export const heard = (what: "coverage" | "fix-accuracy", altitude_ft: number, of: RasterAsked, signal: AbortSignal) =>
  ask<RasterDocument>(`/v1/${what}?${area_of(of)}&altitude_ft=${altitude_ft}`, { signal });

export const search = (words: string, signal: AbortSignal) =>
  ask<SearchDocument>(`/v1/search?words=${encodeURIComponent(words)}&most=12`, { signal });
