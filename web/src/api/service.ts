import type { CardDocument, ErrorsError, PlanDocument } from "./generated";
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

async function problem_of(answer: Response): Promise<Problem> {
  const body: unknown = await answer.json().catch(() => null);
  if (typeof body !== "object" || body === null) return new Problem(answer.statusText, answer.status);
  const { title, detail, errors } = body as { title?: string; detail?: string; errors?: ErrorsError[] };
  return new Problem(detail ?? title ?? answer.statusText, answer.status, errors ?? []);
}

async function ask<Document>(path: string, init: RequestInit): Promise<Document> {
  let answer: Response;
  try {
    answer = await fetch(path, { ...init, headers: { accept: "application/json", ...init.headers } });
  } catch (fault) {
    if (fault instanceof DOMException && fault.name === "AbortError") throw fault;
    throw new Problem("omniway does not answer: is the program still running?", 0);
  }
  if (!answer.ok) throw await problem_of(answer);
  return (await answer.json()) as Document;
}

function post<Document>(path: string, body: unknown, signal: AbortSignal): Promise<Document> {
  return ask(path, { method: "POST", body: JSON.stringify(body), headers: { "content-type": "application/json" }, signal });
}

/** What a flight is asked by: the body of /v1/plan and /v1/card. */
export interface PlanQuestion {
  readonly from: string;
  readonly to: string;
  readonly aircraft?: string;
  readonly wind?: string;
  readonly date?: string;
  readonly altitude_ft?: number;
  readonly via?: readonly string[];
  readonly avoid?: readonly string[];
  readonly no_ndb?: boolean;
  readonly no_dead_reckoning?: boolean;
  readonly choices?: number;
  readonly choose?: number;
}

export const about = (signal: AbortSignal) => ask<AboutDocument>("/v1/about", { signal });
export const plan = (question: PlanQuestion, signal: AbortSignal) => post<PlanDocument>("/v1/plan", question, signal);
export const card = (question: PlanQuestion, signal: AbortSignal) => post<CardDocument>("/v1/card", question, signal);
export const ribbon = (of: CardDocument, signal: AbortSignal) => post<RibbonDocument>("/v1/ribbon", { card: of }, signal);
export const panel = (of: CardDocument, signal: AbortSignal) => post<PanelDocument>("/v1/panel", { card: of }, signal);

export interface Bounds {
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
}

export const chart = (of: Bounds, signal: AbortSignal) =>
  ask<ChartDocument>(`/v1/chart?west=${of.west_deg}&south=${of.south_deg}&east=${of.east_deg}&north=${of.north_deg}`, { signal });

export interface SearchDocument {
  readonly kind: "search";
  readonly found: ReadonlyArray<{ readonly kind: string; readonly ident: string; readonly name: string }>;
}

export const search = (words: string, signal: AbortSignal) =>
  ask<SearchDocument>(`/v1/search?words=${encodeURIComponent(words)}&most=12`, { signal });
